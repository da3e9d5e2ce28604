"""Paper leaves the program as it was seen, whole or not at all."""

from io import BytesIO
from pathlib import Path

import pytest
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication

from annual_planner.desktop.annual.paper_jobs import page_picture, pages_asked, pages_of, print_pdf, save_pdf
from annual_planner.desktop.printer import printer_for
from annual_planner.desktop.progress import Cancelled, Progress
from annual_planner.trade.refused import Refused

pytestmark = pytest.mark.desktop


@pytest.fixture(scope="module")
def pdf() -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    made = BytesIO()
    canvas = Canvas(made, pagesize=(612, 792))
    for _ in range(3):
        canvas.rect(72, 72, 100, 100, fill=1)
        canvas.showPage()
    canvas.save()
    return made.getvalue()


def printer_to(path: Path) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    printer.setFullPage(True)
    return printer


def test_every_page_is_printed(qapp: QApplication, pdf: bytes, tmp_path: Path) -> None:
    path = tmp_path / "printed.pdf"
    assert print_pdf(pdf, printer_to(path), Progress("Printing")) == 3
    assert pages_of(path.read_bytes()) == 3


@pytest.mark.parametrize(
    ("first", "last", "backwards", "wanted"),
    [(2, 3, False, [1, 2]), (1, 1, False, [0]), (2, 9, True, [2, 1]), (0, 0, True, [2, 1, 0])],
)
def test_only_the_pages_asked_for_are_printed_and_in_that_order(
    qapp: QApplication, pdf: bytes, tmp_path: Path, first: int, last: int, backwards: bool, wanted: list[int]
) -> None:
    printer = printer_to(tmp_path / "some.pdf")
    if first:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setFromTo(first, last)
    if backwards:
        printer.setPageOrder(QPrinter.PageOrder.LastPageFirst)
    assert pages_asked(printer, 3) == wanted
    assert print_pdf(pdf, printer, Progress("Printing")) == len(wanted)
    assert pages_of((tmp_path / "some.pdf").read_bytes()) == len(wanted)


def test_pages_that_are_not_there_are_refused_and_nothing_is_printed(
    qapp: QApplication, pdf: bytes, tmp_path: Path
) -> None:
    printer = printer_to(tmp_path / "none.pdf")
    printer.setPrintRange(QPrinter.PrintRange.PageRange)
    printer.setFromTo(7, 9)
    with pytest.raises(Refused, match="pages 1 to 3; there is no page 7-9"):
        print_pdf(pdf, printer, Progress("Printing"))
    assert not (tmp_path / "none.pdf").exists()


@pytest.mark.parametrize(("size", "points"), [("letter", (612, 792)), ("a4", (595, 842))])
@pytest.mark.parametrize("across", [False, True])
def test_a_printer_is_set_to_the_paper_that_was_previewed(
    qapp: QApplication, size: str, points: tuple[int, int], across: bool
) -> None:
    layout = printer_for("paper", size, across=across).pageLayout()
    sheet = layout.fullRectPoints()
    assert (sheet.width(), sheet.height()) == (points[::-1] if across else points)


def test_a_page_stands_in_the_middle_of_larger_paper_at_most_as_large_as_fits(
    qapp: QApplication, pdf: bytes, tmp_path: Path
) -> None:
    path = tmp_path / "a4.pdf"
    printer = printer_to(path)
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    print_pdf(pdf, printer, Progress("Printing"))
    picture = page_picture(path.read_bytes(), 0, 1.0)
    share = 595 / 612
    above = (842 - 792 * share) / 2
    inside = (int(122 * share), int(above + (792 - 122) * share))
    assert picture.pixelColor(*inside).lightness() < 50
    below = int(above + (792 - 72) * share)
    assert picture.pixelColor(inside[0], below + 6).lightness() > 200
    assert picture.pixelColor(inside[0], below - 6).lightness() < 50


def test_printing_stops_when_a_person_stops_it(qapp: QApplication, pdf: bytes, tmp_path: Path) -> None:
    progress = Progress("Printing")
    progress.cancel()
    with pytest.raises(Cancelled):
        print_pdf(pdf, printer_to(tmp_path / "printed.pdf"), progress)


def test_a_page_is_drawn_at_the_scale_asked_for(qapp: QApplication, pdf: bytes) -> None:
    picture = page_picture(pdf, 1, 0.5)
    assert (picture.width(), picture.height()) == (306, 396)
    assert picture.pixelColor(60, 330).lightness() < 50, "inside the black square"
    assert picture.pixelColor(200, 100).lightness() > 200, "on the bare page"


def test_saving_replaces_an_older_pdf_whole(pdf: bytes, tmp_path: Path) -> None:
    path = tmp_path / "paper.pdf"
    path.write_bytes(b"%PDF-1.3 an older one")
    assert save_pdf(pdf, path) == path
    assert path.read_bytes() == pdf
    assert list(tmp_path.iterdir()) == [path], "nothing half-written is left beside it"


def test_saving_never_replaces_what_is_no_pdf(pdf: bytes, tmp_path: Path) -> None:
    path = tmp_path / "shop.fleet"
    path.write_text("precious")
    with pytest.raises(Refused):
        save_pdf(pdf, path)
    assert path.read_text() == "precious"


def test_a_folder_that_is_gone_is_said_in_words(pdf: bytes, tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        save_pdf(pdf, tmp_path / "gone" / "paper.pdf")
    assert "no folder" in refused.value.said
