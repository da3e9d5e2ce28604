from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from math import inf
from pathlib import Path

import pytest
from pypdf import PdfReader

from annual_planner.library.label_sheets import PAPERS
from annual_planner.paper.engine import SHEETS, engine_pdf
from annual_planner.paper.engine_sheets.chart import Mark, _reached
from annual_planner.paper.engine_sheets.figure import figure_of
from annual_planner.paper.engine_sheets.tray_sheet import field_of, strips_of
from annual_planner.paper.look import sheet_of
from annual_planner.paper.package import package_pdf
from annual_planner.planning.engine_view import EngineView, GasketCount, LookView, TraySlot, TrayView
from annual_planner.planning.package_engines import plugs_to_buy
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.engines import Place, Row
from annual_planner.trade.plug_set import Reach
from annual_planner.trade.plugs import Verdict
from annual_planner.trade.refused import Refused
from tests.paper.engine_sample import BY_CYLINDERS, sample_engine
from tests.paper.sample import sample_view

SAFE = ("treat the propeller as live", "hot engine", "compressed air")


def made(view: EngineView, *, page_size: str = "letter", sheets: tuple[str, ...] = SHEETS) -> bytes:
    target = BytesIO()
    engine_pdf(view, target, page_size=page_size, sheets=sheets)
    return target.getvalue()


def pages_of(pdf: bytes) -> list[str]:
    return [re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(BytesIO(pdf)).pages]


def text_of(view: EngineView, *sheets: str) -> str:
    return " ".join(pages_of(made(view, sheets=sheets or SHEETS)))


@pytest.fixture(scope="module", params=sorted(BY_CYLINDERS))
def view(request: pytest.FixtureRequest) -> EngineView:
    return sample_engine(request.param)


@pytest.mark.parametrize("page_size", sorted(PAPERS))
def test_airplane_engine_and_page_stand_on_every_page(view: EngineView, page_size: str) -> None:
    pdf = made(view, page_size=page_size)
    pages = pages_of(pdf)
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
        assert view.registration in page
        assert view.engine_title in page
    wide, high = PAPERS[page_size]
    box = PdfReader(BytesIO(pdf)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((wide, high), abs=0.01)


def test_the_plug_box_has_every_place_tag_and_last_gap(view: EngineView) -> None:
    text = text_of(view, "tray")
    for seat in view.places:
        assert re.search(rf"\b{seat.place}\b", text)
        assert f"goes to {seat.next_place}" in text
        if seat.plug:
            assert seat.plug.tag in text
            assert f"last gap {seat.plug.last_gap_in:.3f}" in text
    count = len(view.places)
    for blank in ("condition no.", "gap found", "gap set", "gasket"):
        assert text.count(blank) >= count


def test_the_fields_lie_as_the_plugs_in_the_box(view: EngineView) -> None:
    strips = strips_of(view)
    assert sorted(at for strip in strips for at in strip) == sorted(view.engine_type.places)
    for upper, lower in zip(strips[::2], strips[1::2], strict=True):
        assert [at.cylinder for at in upper] == [at.cylinder for at in lower]
        assert {at.row for at in upper} == {view.engine_type.rows[0].row}


def test_the_plug_box_of_up_to_nine_cylinders_is_one_sheet() -> None:
    for cylinders in (4, 6, 9):
        for page_size in PAPERS:
            assert len(pages_of(made(sample_engine(cylinders), page_size=page_size, sheets=("tray",)))) == 1


def test_the_rotation_sheet_lists_every_move_with_its_plug(view: EngineView) -> None:
    text = text_of(view, "rotation")
    for move in view.scheme.value.moves:
        assert f"{move.old} → {move.new}" in text
    for seat in view.places:
        assert seat.plug is None or seat.plug.tag in text
    assert f"{view.torque.value.low_nm:.1f} N·m" in text
    assert f"{len(view.places)} new gaskets" in text
    assert view.scheme.value.scheme.title in text


def test_the_compression_sheet_has_readings_limit_restrictor_and_ladder(view: EngineView) -> None:
    text = text_of(view, "compression")
    assert text.index("Safety first") < text.index("Today, psi")
    assert f"Restrictor {view.restrictor.value:.3f} in" in text
    for cylinder in view.cylinders:
        assert cylinder.latest is not None
        assert f"{cylinder.latest.line.reading_psi:g}/80, 2 May 2026" in text
    for step in view.ladder:
        assert step.title in text
    limit = "master restrictor" if view.rule.master_floor else "60 psi"
    assert limit in text


def test_the_history_sheet_has_a_chart_for_each_cylinder_and_place(view: EngineView) -> None:
    text = text_of(view, "history")
    for cylinder in view.cylinders:
        assert f"Cylinder {cylinder.cylinder}" in text
    for seat in view.places:
        assert f"{seat.place} {seat.plug.tag}" in text if seat.plug else str(seat.place) in text
    assert "no steady direction" in text
    assert "too few readings: 2 more needed" in text
    assert "could be reached" in text


@pytest.mark.parametrize("sheet", ["tray", "rotation"])
def test_the_cautions_are_printed(view: EngineView, sheet: str) -> None:
    text = text_of(view, sheet).lower()
    assert all(words in text for words in SAFE)


def test_the_compression_sheet_prints_its_cautions_in_full(view: EngineView) -> None:
    text = text_of(view, "compression")
    for words in ("Air pressure turns the propeller", "Treat the propeller as live", "Hot engine"):
        assert f"Caution: {words}" in text
    assert "Air off and released before the blade is let go" in text


@pytest.mark.parametrize("page_size", sorted(PAPERS))
def test_the_same_engine_gives_the_same_bytes(page_size: str) -> None:
    assert made(sample_engine(9), page_size=page_size) == made(sample_engine(9), page_size=page_size)


def test_the_bytes_are_the_same_in_another_process() -> None:
    code = (
        "import hashlib; from io import BytesIO; from tests.paper.engine_sample import sample_engine;"
        "from annual_planner.paper.engine import engine_pdf; t = BytesIO();"
        "engine_pdf(sample_engine(4), t); print(hashlib.sha256(t.getvalue()).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1


def test_an_engine_without_records_prints_blanks_and_says_so() -> None:
    view = sample_engine(6, bare=True)
    text = text_of(view)
    assert text.count("no plug on record") == len(view.places)
    assert "none on record" in text
    assert "no test on record" in text
    assert "No plug is on record." in text
    for at in view.engine_type.places:
        assert str(at) in text


def test_only_the_sheets_asked_for_are_printed() -> None:
    text = text_of(sample_engine(4), "rotation")
    assert "Rotation, engine" in text
    assert "Plug box" not in text
    with pytest.raises(Refused, match="no engine sheet 'tea'"):
        made(sample_engine(4), sheets=("tea",))
    with pytest.raises(Refused, match="No engine sheet"):
        made(sample_engine(4), sheets=())


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    target = tmp_path / "engine.pdf"
    pages = engine_pdf(sample_engine(4), target)
    assert len(PdfReader(target).pages) == pages
    assert list(tmp_path.iterdir()) == [target]


def with_tray(view: EngineView, at: Place) -> EngineView:
    """The same engine with the plug of one place in the tray, rejected."""
    seat = view.at(at)
    assert seat.plug is not None
    assert seat.stay is not None
    look: LookView = replace(seat.plug.looks[0], verdict=Verdict.REPLACE)
    slot = TraySlot(at, seat.plug, replace(seat.stay, gasket_out=True), look, None, Verdict.REPLACE, None)
    line = replace(view.rotations[0], state="out")
    return replace(view, tray=TrayView(line, (slot,), GasketCount(1, 1, (), ()), None, ""))


def test_what_is_known_of_an_open_tray_is_printed() -> None:
    at = Place(2, Row.BOTTOM)
    view = with_tray(sample_engine(4), at)
    plug = view.at(at).plug
    assert plug is not None
    box, moves = text_of(view, "tray"), text_of(view, "rotation")
    assert "rejected: a new plug" in box
    assert box.count("✓") == 2  # new, and its gasket
    assert f"new plug for {plug.tag}" in moves


def test_the_firing_end_is_told_as_it_was_before_cleaning() -> None:
    view = with_tray(sample_engine(4), Place(2, Row.BOTTOM))
    assert view.tray is not None
    slot = view.tray.slots[0]
    assert slot.before is not None
    before = replace(slot.before.line, conditions=("lead fouled",), gaps_in=(0.018, 0.022), set_gap_in=None)
    after = replace(slot.before.line, conditions=("normal",), gaps_in=(0.022,), set_gap_in=0.017)
    looked = replace(
        slot,
        before=replace(slot.before, line=before),
        after=replace(slot.before, line=after),
        verdict=Verdict.CLEAN,
        next_place=Place(4, Row.TOP),
    )
    field = field_of(replace(view, tray=replace(view.tray, slots=(looked,))), slot.place)
    assert (field.condition, field.found, field.set_to) == ("5", ".018–.022", "0.017")
    assert (field.goes, field.verdict, field.gasket) == ("goes to 4T", Verdict.CLEAN, True)


def test_plugs_that_fall_short_or_are_rejected_are_parts_with_their_reason() -> None:
    at = Place(2, Row.BOTTOM)
    view = with_tray(sample_engine(4), at)
    short = [str(s.place) for s in view.places if s.reach in (Reach.SHORT, Reach.WORN) and s.place != at]
    needs = plugs_to_buy([view], [])
    assert sum(need.quantity for need in needs) == Decimal(len(short) + 1)
    said = " ".join(need.reason for need in needs)
    assert f"{at}: rejected at the look" in said
    assert short
    assert all(place in said for place in short)


def test_the_package_of_a_twin_holds_the_sheets_of_both_engines_after_the_cards() -> None:
    engines = tuple(sample_engine(6, position=each, engines=2) for each in (1, 2))
    view = replace(sample_view(cards=12), engines=engines, parts=plugs_to_buy(engines, []))
    target, without = BytesIO(), BytesIO()
    package_pdf(view, target)
    package_pdf(view, without, engine_sheets=False)
    pages = pages_of(target.getvalue())
    titles = [
        f"{what}, engine {each} Wrenlake O-6"
        for each in (1, 2)
        for what in ("Plug box", "Rotation", "Compression", "History")
    ]
    first = [next(n for n, page in enumerate(pages) if n and f"· {title}" in page) for title in titles]
    cards = next(n for n, page in enumerate(pages) if "· Work cards in order" in page)
    assert cards < first[0]
    assert first == sorted(first)
    assert all(title in pages[0] for title in titles)
    assert "won't reach the next annual" in " ".join(pages)
    assert not any("Plug box" in page for page in pages_of(without.getvalue()))


def test_a_drawing_keeps_to_its_room_and_its_plugs_apart(view: EngineView) -> None:
    width = sheet_of("letter").frame_width / 2 - 7
    figure = figure_of(view.engine_type, width, most_high=235)
    assert figure.height <= 235.01
    spots = [figure.plug(at) for at in view.engine_type.places]
    for x, y in spots:
        assert 0 <= x <= width
        assert 0 <= y <= figure.height
    near = [abs(a[0] - b[0]) + abs(a[1] - b[1]) for n, a in enumerate(spots) for b in spots[n + 1 :]]
    assert min(near) > 8


def test_a_forecast_is_drawn_no_further_than_the_readings_carry() -> None:
    last = Mark(1000.0, 70.0)
    assert _reached(last, 60.0, 200.0, 400.0) == (1200.0, 60.0)
    assert _reached(last, 60.0, 800.0, 400.0) == (1400.0, 65.0)
    assert _reached(last, 60.0, inf, 400.0) == (1400.0, 70.0)


def test_the_compression_sheet_says_the_safety_steps_that_are_ticked_in_the_window(view: EngineView) -> None:
    printed = " ".join(" ".join(pages_of(made(view, sheets=("compression",)))).split())
    for step in SAFETY_STEPS:
        assert step.text.replace("'", "’") in printed.replace("'", "’")
