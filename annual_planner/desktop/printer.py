"""Asking for a printer, and printing a PDF on it page by page as it is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from annual_planner.desktop.progress import Progress

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter
    from PySide6.QtWidgets import QWidget


def printer_for(what: str, page_size: str, *, across: bool = False) -> QPrinter:
    """The usual printer, set to the paper: 'letter' or 'a4', `across`: laid across."""
    from PySide6.QtGui import QPageLayout, QPageSize
    from PySide6.QtPrintSupport import QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(what)
    printer.setFullPage(True)
    size = QPageSize.PageSizeId.A4 if page_size == "a4" else QPageSize.PageSizeId.Letter
    printer.setPageSize(QPageSize(size))
    laid = QPageLayout.Orientation
    printer.setPageOrientation(laid.Landscape if across else laid.Portrait)
    return printer


def ask_printer(
    parent: QWidget, what: str, page_size: str, *, across: bool = False, pages: int = 0
) -> QPrinter | None:
    """The printer a person chose for that paper, set to its size; None if they let it be.

    `pages`: how many there are, where that is known already; a person may then ask for some of them.
    """
    from PySide6.QtPrintSupport import QPrintDialog

    printer = printer_for(what, page_size, across=across)
    dialog = QPrintDialog(printer, parent)
    dialog.setAccessibleName(f"Print: {what}")
    if pages:
        dialog.setMinMax(1, pages)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
    return printer if dialog.exec() else None


def printed(make: Callable[[], bytes], printer: QPrinter, progress: Progress) -> str:
    """Make a paper and print it; gives what is said of it. Raises Refused, and Cancelled when stopped."""
    from annual_planner.desktop.annual.paper_jobs import print_pdf

    pages = print_pdf(make(), printer, progress)
    return f"{pages} page{'' if pages == 1 else 's'} went to the printer."
