from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from io import BytesIO
from itertools import combinations
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from annual_planner.library.look import load_look
from annual_planner.paper.look import BOX, MM, sheet_of
from annual_planner.paper.package import package_pdf, sections
from annual_planner.planning.package_view import PackageView, ToolNeed
from annual_planner.trade.refused import Refused
from tests.paper.sample import LONG_TITLE, sample_view

SIZES = ("letter", "a4")


def made(view: PackageView, page_size: str = "letter") -> bytes:
    target = BytesIO()
    package_pdf(view, target, page_size=page_size)
    return target.getvalue()


@pytest.fixture(scope="module")
def view() -> PackageView:
    return sample_view()


@pytest.fixture(scope="module", params=SIZES)
def reader(request: pytest.FixtureRequest, view: PackageView) -> PdfReader:
    return PdfReader(BytesIO(made(view, request.param)))


@pytest.fixture(scope="module")
def texts(reader: PdfReader) -> list[str]:
    return [page.extract_text() for page in reader.pages]


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def test_every_part_is_there_and_the_cover_names_its_page(texts: list[str], view: PackageView) -> None:
    cover = flat(texts[0])
    for section in sections(view, sheet_of("letter"))[1:]:
        found = re.search(re.escape(section.title) + r" (\d+)", cover)
        assert found, section.title
        assert section.title in flat(texts[int(found.group(1)) - 1])


def test_every_sheet_says_page_airplane_package_and_version(texts: list[str]) -> None:
    for number, text in enumerate(texts, 1):
        assert f"Page {number} of {len(texts)}" in text
        assert "N012AP" in text
        assert "AP-2026-014" in text
        assert "Annual Planner" in text
        assert "advises, never approves" in text


def test_the_demo_is_marked_on_every_sheet_and_only_the_demo(texts: list[str], view: PackageView) -> None:
    assert all("DEMONSTRATION" in text for text in texts)
    real = PdfReader(BytesIO(made(replace(view, demo=False, cards=view.cards[:3]))))
    assert not any("DEMONSTRATION" in page.extract_text() for page in real.pages)


def test_the_same_package_gives_the_same_bytes(view: PackageView) -> None:
    few = replace(view, cards=view.cards[:20])
    assert made(few) == made(few)
    assert made(few) != made(replace(few, today=few.horizon_on))


def test_every_card_is_there_with_its_steps_and_its_code(texts: list[str], view: PackageView) -> None:
    whole = flat(" ".join(texts))
    for card in view.cards:
        assert f"AP-2026-014/{card.number} " in whole
    assert flat(LONG_TITLE) in whole, "a long title wraps and loses nothing"


def test_a_signature_is_asked_only_where_one_is_owed(texts: list[str], view: PackageView) -> None:
    whole = flat(" ".join(texts))
    for entry in ("43.9", "43.11"):
        owed = [card for card in view.cards if card.entry == entry]
        assert len(re.findall(rf"Signature owed: [^·]+ · entry {re.escape(entry)}(?!\d)", whole)) == len(owed)


def test_plugs_and_cylinders_get_a_blank_each(view: PackageView) -> None:
    test_card = next(card for card in view.cards if card.kind == "test")
    alone = PdfReader(BytesIO(made(replace(view, cards=(test_card,)))))
    text = flat(" ".join(page.extract_text() for page in alone.pages))
    assert "1T 2T 3T 4T 5T 6T" in text
    assert "1B 2B 3B 4B 5B 6B" in text
    assert "at least 60 psi" in text
    assert "0.016 to 0.021 in" in text


def test_viewers_print_it_at_its_size_show_its_title_and_know_its_language(reader: PdfReader) -> None:
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en-US"
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 - a value of the PDF library
    assert reader.metadata is not None
    assert "N012AP" in str(reader.metadata.title)


def test_only_own_faces_are_used_and_all_are_embedded(reader: PdfReader) -> None:
    family = load_look().family.replace(" ", "")
    for page in reader.pages:
        resources = page["/Resources"]
        assert isinstance(resources, DictionaryObject)
        for font in resources["/Font"].values():
            told = font.get_object()
            assert family in str(told["/BaseFont"])
            assert "/FontFile2" in told["/FontDescriptor"]


def test_each_card_has_one_code_drawn_as_one_path(reader: PdfReader, view: PackageView) -> None:
    codes = 0
    for page in reader.pages:
        contents = page.get_contents()
        assert contents is not None
        codes += len(re.findall(r"(?:[\d.\- ]+ re\s+){80,}f", contents.get_data().decode("latin-1")))
    assert codes == len(view.cards)


@pytest.mark.parametrize("page_size", SIZES)
def test_no_text_leaves_its_frame(view: PackageView, page_size: str) -> None:
    sheet = sheet_of(page_size)
    document = pypdfium2.PdfDocument(made(view, page_size))
    for page in document:
        text = page.get_textpage()
        for number in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(number)
            assert left >= sheet.side - 1
            assert right <= sheet.width - sheet.side + 1
            assert bottom >= 10 * MM - 0.2, "printers reach no further"
            assert top <= sheet.height - 10 * MM + 0.2
    document.close()


def test_long_registrations_and_numbers_stay_within_the_frame_on_every_sheet(view: PackageView) -> None:
    wide = "N0" + "W" * 40
    plane, package = replace(view.aircraft, registration=wide), replace(view.package, number=f"{wide}-2026-1")
    sheet = sheet_of("letter")
    document = pypdfium2.PdfDocument(
        made(replace(view, aircraft=plane, package=package, cards=view.cards[:2]))
    )
    for page in document:
        text = page.get_textpage()
        rects = [text.get_rect(number) for number in range(text.count_rects())]
        assert all(sheet.side - 1 <= rect[0] <= rect[2] <= sheet.width - sheet.side + 1 for rect in rects)
        head = [rect for rect in rects if rect[3] > sheet.height - sheet.top]
        assert not any(_overlap(one, other) for one, other in combinations(head, 2))
    document.close()


@pytest.mark.parametrize("page_size", SIZES)
def test_no_two_lines_of_text_lie_over_one_another(view: PackageView, page_size: str) -> None:
    document = pypdfium2.PdfDocument(made(replace(view, cards=view.cards[:40]), page_size))
    for page in document:
        text = page.get_textpage()
        rects = sorted((text.get_rect(n) for n in range(text.count_rects())), key=lambda rect: rect[3])
        for one, other in combinations(rects, 2):
            assert not _overlap(one, other), (page_size, one, other)
    document.close()


def _overlap(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > 0.5 and high > 1.5


def test_boxes_to_tick_are_six_millimetres_and_more() -> None:
    assert BOX / MM >= 6


def test_an_unknown_paper_size_is_refused(view: PackageView) -> None:
    with pytest.raises(Refused, match="letter, a4"):
        package_pdf(view, BytesIO(), page_size="foolscap")


def test_progress_counts_the_pages_and_can_stop_before_a_file_is_there(
    view: PackageView, tmp_path: Path
) -> None:
    told: list[tuple[int, int]] = []
    few = replace(view, cards=view.cards[:4])
    pages = package_pdf(few, tmp_path / "a.pdf", progress=lambda done, whole: told.append((done, whole)))
    assert told == [(number, pages) for number in range(1, pages + 1)]

    def stop(done: int, whole: int) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        package_pdf(few, tmp_path / "b.pdf", progress=stop)
    assert not (tmp_path / "b.pdf").exists()


def test_a_package_with_nothing_in_it_still_makes_a_paper(view: PackageView) -> None:
    empty = replace(
        view, cards=(), left_out=(), items=(), parts=(), tools=(), owner_jobs=(), owner_first=(),
        leave_alone=(), coverage=(), due_after=(), discrepancies=(), hours=(), assemblies=(),
    )  # fmt: skip
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(made(empty))).pages)
    assert flat(text).count("No card is in this package.") == 2
    assert "Nothing is due now." in text
    assert "Nothing to prepare" in text


def test_card_content_may_lack_everything(view: PackageView) -> None:
    bare = replace(view.cards[0], content={}, title="Bare card")
    text = " ".join(p.extract_text() for p in PdfReader(BytesIO(made(replace(view, cards=(bare,))))).pages)
    assert "Bare card" in text


def test_an_item_that_no_card_covers_is_said_loudly(texts: list[str]) -> None:
    assert "NOT COVERED" in flat(" ".join(texts))


def test_two_engines_are_told_apart_on_the_cover(view: PackageView) -> None:
    engine = next(line for line in view.assemblies if line.kind == "engine")
    twin = replace(view, assemblies=(engine, replace(engine, position=2, serial="VX-2")), cards=())
    cover = PdfReader(BytesIO(made(twin))).pages[0].extract_text()
    assert "Engine 1" in cover
    assert "Engine 2" in cover


def test_nothing_is_said_to_be_done_before_it_is(texts: list[str]) -> None:
    last = flat(" ".join(texts)).split("True only if everything on this package is done", 1)[1]
    assert " to do " in last
    assert "not done" not in last


def test_a_card_left_out_says_which_requirement_was_left_for_later(view: PackageView) -> None:
    item = replace(view.items[2], do_now=False)
    asked = {"requirements": (item.due.requirement_id,)}
    left = replace(view.left_out[0], note="", content=asked, title="Altimeter test, bought in")
    paper = made(replace(view, items=(item,), left_out=(left,), cards=view.cards[:1]))
    text = flat(" ".join(page.extract_text() for page in PdfReader(BytesIO(paper)).pages))
    assert f"Altimeter test, bought in Records Left for later: {item.due.title}" in text


def test_each_tool_names_its_cards_and_one_wanted_everywhere_only_how_many(view: PackageView) -> None:
    tools = (
        ToolNeed("borescope", (7,)),
        ToolNeed("jacks", (4, 5, 6, 9)),
        ToolNeed("light", tuple(range(1, 20))),
    )
    paper = PdfReader(BytesIO(made(replace(view, tools=tools, cards=view.cards[:1]))))
    text = flat(" ".join(page.extract_text() for page in paper.pages))
    for said in ("borescope card 7", "jacks cards 4–6, 9", "light 19 cards"):
        assert said in text


def test_parts_of_which_none_is_needed_are_not_on_the_lists(view: PackageView) -> None:
    none = [{"name": "plug gasket", "quantity": "0", "unit": "each", "consumable": False}]
    card = replace(view.cards[0], content={"parts": none})
    bare = replace(
        view, cards=(card,), parts=tuple(replace(part, quantity=0 * part.quantity) for part in view.parts)
    )
    paper = PdfReader(BytesIO(made(bare)))
    text = flat(" ".join(page.extract_text() for page in paper.pages))
    assert "plug gasket" not in text
    assert "0 each" not in text


def test_an_assembly_that_was_taken_off_is_not_on_the_cover(texts: list[str]) -> None:
    assert "VX-21877-36" in texts[0]
    assert "VX-19002" not in texts[0]


def test_a_folder_that_is_not_there_is_said_and_nothing_is_left(view: PackageView, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="can't be written"):
        package_pdf(replace(view, cards=()), tmp_path / "nowhere" / "a.pdf")
    assert list(tmp_path.iterdir()) == []


def test_stopped_work_leaves_the_paper_that_was_there(view: PackageView, tmp_path: Path) -> None:
    def stop(done: int, whole: int) -> None:
        raise InterruptedError

    path = tmp_path / "a.pdf"
    path.write_bytes(b"older paper")
    with pytest.raises(InterruptedError):
        package_pdf(replace(view, cards=()), path, progress=stop)
    assert path.read_bytes() == b"older paper"
    package_pdf(replace(view, cards=()), path)
    assert path.read_bytes().startswith(b"%PDF")
    assert list(tmp_path.iterdir()) == [path]


def test_the_bytes_are_the_same_wherever_the_program_runs(tmp_path: Path) -> None:
    """Another process, seed of hashes, time zone, language and working folder."""
    code = (
        "import hashlib; from io import BytesIO; from tests.paper.sample import sample_view;"
        "from annual_planner.paper.package import package_pdf; t = BytesIO();"
        "package_pdf(sample_view(cards=30), t); print(hashlib.sha256(t.getvalue()).hexdigest())"
    )
    places = (
        (Path.cwd(), {"PYTHONHASHSEED": "1", "TZ": "America/Los_Angeles", "LC_ALL": "C.UTF-8"}),
        (tmp_path, {"PYTHONHASHSEED": "2", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONUTF8": "0"}),
    )
    root = {"PYTHONPATH": str(Path(__file__).parents[2])}
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, **root, **told},
            cwd=folder,
            capture_output=True,
            check=True,
        ).stdout
        for folder, told in places
    }
    assert len(seen) == 1
