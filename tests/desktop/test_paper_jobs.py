"""Paper leaves the program as it was seen, whole or not at all."""

from io import BytesIO
from pathlib import Path

import pytest
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication

from annual_planner.desktop.annual.paper_jobs import page_picture, pages_of, print_pdf, save_pdf
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
