"""A filled copy of a work package: shown first, recorded whole or not at all, taken back as one."""

from __future__ import annotations

import ctypes
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from annual_planner.__main__ import main
from annual_planner.exchange import form_fields
from annual_planner.exchange.filled_package import FilledPreview, preview
from annual_planner.exchange.form_fields import fields_in, read_form
from annual_planner.paper.package import package_pdf
from annual_planner.planning.paper_fields import plan_digest
from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject
from annual_planner.store.card_reads import notes, results
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_line, card_lines
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made
from tests.paper.sample import sample_view
from tests.statements import statements

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
NUMBER = "N012AP-2026-1"
READING = {"name": "Reading at 80 psi", "unit": "psi", "low": "60", "high": "80", "per": "cylinder",
           "note": "", "count": 4}  # fmt: skip


class Bench:
    """A fleet with a package of three cards, and its paper."""

    def __init__(self, path: Path) -> None:
        self.path = path / "shop.fleet"
        self.fleet: Fleet = open_fleet(self.path, create=True)
        self.plane = made(self.fleet, airplane())
        self.mel = made(self.fleet, AddPerson("Mel Rook", ("mechanic",)))
        self.ina = made(self.fleet, AddPerson("Ina Marsh", ("mechanic",)))
        of = Subject("card", "card", self.plane)
        values: dict[str, object] = {
            "aircraft_id": self.plane, "number": NUMBER, "title": "Annual", "start_on": TODAY,
            "horizon_on": TODAY.replace(year=2027), "state": "planning", "hours_at_start": None,
        }  # fmt: skip
        self.package = made(self.fleet, AddRow(of, "work_package", values))
        self.cards = [self._card(of, n, [READING] if n == 1 else []) for n in (1, 2, 3)]

    def _card(self, of: Subject, number: int, measured: list[object]) -> int:
        values: dict[str, object] = {
            "package_id": self.package, "number": number, "key": f"c{number}", "title": f"Work {number}",
            "zone": "fuselage", "phase": "service", "kind": "service", "hours_low": Decimal(1),
            "hours_likely": Decimal(2), "hours_high": Decimal(3), "content": {"measurements": measured},
            "origin": "annual", "doer": "mechanic", "signer": "mechanic", "included": True,
        }  # fmt: skip
        return made(self.fleet, AddRow(of, "work_card", values))

    def paper(self) -> bytes:
        with self.fleet.reading() as work:
            cards = tuple(card_lines(work, self.package))
        view = sample_view(cards=3)
        target = BytesIO()
        package_pdf(replace(view, cards=cards, package=replace(view.package, number=NUMBER)), target)
        return target.getvalue()

    def name(self, card: int, what: str) -> str:
        with self.fleet.reading() as work:
            return f"{NUMBER}/{plan_digest(card_lines(work, self.package))}/{card}/{what}"

    def filled(self, values: Mapping[tuple[int, str], str]) -> bytes:
        return filled_in(self.paper(), {self.name(*key): value for key, value in values.items()})

    def seen(self, content: bytes) -> FilledPreview:
        with self.fleet.reading() as work:
            return preview(work, read_form(content), self.mel, NOON)

    def states(self) -> list[str]:
        with self.fleet.reading() as work:
            return [card_line(work, card).state for card in self.cards]

    def stored(self) -> tuple[dict[str, str], list[str], list[str]]:
        with self.fleet.reading() as work:
            found = {line.measurement: line.typed for line in results(work, self.cards[0])}
            told = [line.text for card in self.cards for line in notes(work, card)]
        return found, told, self.states()


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made_here = Bench(tmp_path)
    yield made_here
    made_here.fleet.close()


def filled_in(content: bytes, values: Mapping[str, str]) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
    for page in writer.pages:
        writer.update_page_form_field_values(page, dict(values), auto_regenerate=False)
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


WHOLE = {
    (1, "m0-0"): "72", (1, "m0-3"): "58 psi", (1, "done"): "/Yes", (1, "initials"): "im",
    (2, "not applicable"): "not fitted", (3, "notes"): "watch the seal",
}  # fmt: skip


def test_what_was_filled_in_comes_back_as_one_edit_and_goes_as_one(bench: Bench) -> None:
    seen = bench.seen(bench.filled(WHOLE))
    assert seen.faults == ()
    assert [str(line) for line in seen.lines][1].endswith("58 psi (OUT of limits)")
    assert bench.stored() == ({}, [], ["open"] * 3), "nothing is recorded by looking"
    changed = apply(bench.fleet, seen.edit(), ANN, TODAY)
    after = (
        {"Reading at 80 psi, cylinder 1": "72", "Reading at 80 psi, cylinder 4": "58 psi"},
        ["watch the seal"],
        ["done", "not applicable", "open"],
    )
    assert bench.stored() == after
    with bench.fleet.reading() as work:
        assert card_line(work, bench.cards[0]).done_by_id == bench.ina, "the initials say who did it"
    assert changed.back is not None
    apply(bench.fleet, changed.back, ANN, TODAY)
    assert bench.stored() == ({}, [], ["open"] * 3)


def test_read_twice_there_is_nothing_left_to_record(bench: Bench) -> None:
    copy = bench.filled(WHOLE)
    apply(bench.fleet, bench.seen(copy).edit(), ANN, TODAY)
    again = bench.seen(copy)
    assert (again.lines, again.faults, again.same) == ((), (), 5)
    with pytest.raises(Refused, match="nothing that isn't recorded"):
        again.edit()


def test_a_value_that_differs_is_shown_with_what_stands(bench: Bench) -> None:
    apply(bench.fleet, bench.seen(bench.filled({(1, "m0-0"): "72"})).edit(), ANN, TODAY)
    line = bench.seen(bench.filled({(1, "m0-0"): "74"})).lines[0]
    assert (line.stands, line.wants) == ("72", "74 (within limits)")


def test_a_copy_with_much_written_on_it_takes_as_many_queries_as_one_with_little(bench: Bench) -> None:
    notes_of = {(card, "notes"): f"seen on card {card}" for card in (1, 2, 3)}
    little, much = queries(bench, {(1, "notes"): "seen"}), queries(bench, WHOLE | notes_of)
    assert little == much


def queries(bench: Bench, values: Mapping[tuple[int, str], str]) -> int:
    content = bench.filled(values)
    with statements(bench.fleet) as sent:
        assert bench.seen(content).faults == ()
    return len(sent)


def test_refusals_name_page_and_field_and_nothing_is_recorded(bench: Bench) -> None:
    wrong = {(1, "m0-1"): "72 parsecs", (1, "m0-0"): "70", (2, "initials"): "zz", (3, "done"): "/Yes",
             (3, "not applicable"): "none"}  # fmt: skip
    seen = bench.seen(bench.filled(wrong))
    told = [str(fault) for fault in seen.faults]
    assert len(told) == 3
    assert all(each.startswith("page ") for each in told)
    assert "cylinder 2: The card asks for psi" in told[0]
    with pytest.raises(Refused, match="page"):
        seen.edit()
    assert bench.stored()[0] == {}


def test_a_copy_of_another_plan_or_of_no_package_is_refused(bench: Bench) -> None:
    copy = bench.filled(WHOLE)
    of = Subject("card", "card", bench.plane)
    apply(bench.fleet, ChangeRow(of, "work_card", bench.cards[2], {}, {"title": "Other work"}), ANN, TODAY)
    with pytest.raises(Refused, match="planned anew"):
        bench.seen(copy)
    with pytest.raises(Refused, match="no work package"), bench.fleet.reading() as work:
        preview(work, (), bench.mel, NOON)


def test_what_another_program_types_into_the_fields_is_read(bench: Bench) -> None:
    """pdfium focuses the blank, types, saves; its own reader then finds the text drawn too."""
    document = pypdfium2.PdfDocument(bench.paper())
    document.init_forms()
    form = document.formenv
    assert form is not None
    name, page_number = bench.name(1, "m0-2"), 0
    for number, page in enumerate(PdfReader(BytesIO(bench.paper())).pages):
        for each in page.get("/Annots") or ():
            if each.get_object().get("/T") == name:
                page_number, rect = number, [float(side) for side in each.get_object()["/Rect"]]
    page = document[page_number]
    x, y = (rect[0] + rect[2]) / 2, (rect[1] + rect[3]) / 2
    pdfium.FORM_OnLButtonDown(form.raw, page.raw, 0, x, y)
    pdfium.FORM_OnLButtonUp(form.raw, page.raw, 0, x, y)
    for letter in "71 psi":
        pdfium.FORM_OnChar(form.raw, page.raw, ctypes.c_int(ord(letter)).value, 0)
    pdfium.FORM_ForceToKillFocus(form.raw)
    target = BytesIO()
    document.save(target)
    assert [(line.card, line.wants) for line in bench.seen(target.getvalue()).lines] == [
        (1, "71 psi (within limits)")
    ]


def test_the_command_shows_first_and_writes_when_asked(
    bench: Bench, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "filled.pdf"
    copy.write_bytes(bench.filled(WHOLE))
    bench.fleet.close()
    words = ["read-package", "--fleet", str(bench.path), str(copy), "--person", "Mel Rook"]
    assert main(words) == 0
    assert "nothing was recorded" in capsys.readouterr().out
    assert main([*words, "--write"]) == 0
    assert "5 to record" in capsys.readouterr().out
    assert main(words) == 0
    assert "0 to record, 5 as they stand" in capsys.readouterr().out
    assert main([*words[:-1], "Nobody Known"]) == 2


def bomb(size: int = 400_000_000) -> bytes:
    packed = zlib.compress(b"0" * (size // 8), 9)
    head = b"%PDF-1.7\n1 0 obj<</Type/ObjStm/N 1/First 4/Filter/FlateDecode/Length "
    return (
        head
        + str(len(packed)).encode()
        + b">>stream\n"
        + packed
        + b"\nendstream endobj\ntrailer<</Root 1 0 R>>"
    )


def with_script(content: bytes) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
    script = DictionaryObject(
        {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("app.alert(1)")}
    )
    writer.root_object[NameObject("/OpenAction")] = script
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def locked(content: bytes) -> bytes:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
    writer.encrypt("secret")
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"no pdf",
        b"%PDF-1.7\n",
        b"%PDF-1.7\nxref\n0 99999999\ntrailer<</Size 99999999/Root 1 0 R>>startxref 9\n%%EOF",
        b"%PDF-1.7\n1 0 obj" + b"<</A " * 5_000 + b"1" + b">>" * 5_000 + b"endobj trailer<</Root 1 0 R>>",
        b"%PDF-1.7\n1 0 obj" + b"[" * 100_000 + b"endobj trailer<</Root 1 0 R>>",
        b"%PDF-1.7\n1 0 obj<</Pages 1 0 R/Kids[1 0 R]/Count 1/Type/Pages>>endobj trailer<</Root 1 0 R>>",
        b"%PDF-" + b" " * (form_fields.MOST_BYTES + 1),
        bomb(),
    ],
    ids=["empty", "text", "head alone", "xref", "deep tables", "deep lists", "ring of pages", "huge", "bomb"],
)
def test_a_hostile_file_gets_one_clear_line(content: bytes) -> None:
    with pytest.raises(Refused) as refused:
        read_form(content)
    assert "\n" not in str(refused.value)


def test_a_locked_copy_is_refused_and_a_script_is_not_run(bench: Bench) -> None:
    with pytest.raises(Refused, match="encrypted"):
        read_form(locked(bench.paper()))
    assert bench.seen(with_script(bench.filled(WHOLE))).lines


def test_fields_beyond_count_length_and_depth_are_refused(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = bench.filled({(1, "notes"): "x" * 900})
    monkeypatch.setattr(form_fields, "LONGEST_VALUE", 800)
    with pytest.raises(Refused, match="more than 800 letters"):
        fields_in(copy)
    monkeypatch.setattr(form_fields, "MOST_FIELDS", 5)
    with pytest.raises(Refused, match="more than 5 fields"):
        fields_in(copy)
    writer = PdfWriter(clone_from=PdfReader(BytesIO(copy)))
    for page in writer.pages:
        for each in page.get("/Annots") or ():
            each.get_object()[NameObject("/Parent")] = each
    target = BytesIO()
    writer.write(target)
    monkeypatch.setattr(form_fields, "MOST_FIELDS", 500)
    with pytest.raises(Refused, match="nested too deep"):
        fields_in(target.getvalue())


PAPER: list[bytes] = []


@settings(max_examples=40)
@given(st.integers(0, 10**9), st.binary(min_size=1, max_size=8))
def test_a_paper_with_any_bytes_changed_is_read_or_refused(at: int, change: bytes) -> None:
    if not PAPER:
        target = BytesIO()
        package_pdf(sample_view(cards=1), target)
        PAPER.append(target.getvalue())
    place = at % len(PAPER[0])
    broken = PAPER[0][:place] + change + PAPER[0][place + len(change) :]
    try:
        assert isinstance(fields_in(broken), list)
    except Refused as refused:
        assert "\n" not in str(refused)  # noqa: PT017 - being read is right, too
