"""Asking for a printer, and printing a PDF on it page by page as it is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from annual_planner.desktop.progress import Progress

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter
    from PySide6.QtWidgets import QWidget


def ask_printer(parent: QWidget, what: str, *, across: bool = False) -> QPrinter | None:
    """The printer a person chose for that paper; None if they let it be. `across`: laid across."""
    from PySide6.QtGui import QPageLayout
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(what)
    printer.setFullPage(True)
    if across:
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
    dialog = QPrintDialog(printer, parent)
    dialog.setAccessibleName(f"Print the {what}")
    return printer if dialog.exec() else None


def printed(make: Callable[[], bytes], printer: QPrinter, progress: Progress) -> str:
    """Make a paper and print it; gives what is said of it. Raises Refused, and Cancelled when stopped."""
    from annual_planner.desktop.annual.paper_jobs import print_pdf

    pages = print_pdf(make(), printer, progress)
    return f"{pages} page{'' if pages == 1 else 's'} went to the printer."
