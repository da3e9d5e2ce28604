"""The sheets of the engine as a PDF: saved where a person says, or opened in the system's viewer."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, QTemporaryDir, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.fields import ChoiceField
from annual_planner.desktop.form import Form, Values
from annual_planner.planning.engine_view import EngineView

if TYPE_CHECKING:
    from annual_planner.desktop.plugs.page import PlugsPage

SHEETS: list[tuple[object, str]] = [
    ("", "all of them"),
    ("tray", "plug box, to fill in by hand"),
    ("rotation", "rotation, old to new"),
    ("compression", "compression test"),
    ("history", "history of plugs and cylinders"),
]


class SheetsOut(QObject):
    """Asks which sheets, then writes them off the window's thread."""

    def __init__(self, page: PlugsPage) -> None:
        super().__init__(page)
        self._page = page
        self._folder: QTemporaryDir | None = None

    def start(self) -> None:
        """Open the form."""
        page, view = self._page, self._page.view
        if view is None:
            return
        form = Form("Print the sheets of this engine", "Make the PDF", self._wanted, page.close_form)
        form.add(ChoiceField("sheet", "Sheets", SHEETS))
        form.add(ChoiceField("size", "Paper", [("letter", "Letter"), ("a4", "A4")]))
        form.add(
            ChoiceField("then", "Then", [("open", "open it in the system's viewer"), ("save", "save it …")])
        )
        for field in form.fields.values():
            if isinstance(field, ChoiceField):
                field.box.setMinimumContentsLength(30)
        form.fields["size"].put(page.desk.settings.value("paper/size", "letter"))
        page.open_form(form)

    def _wanted(self, values: Values) -> None:
        view = self._page.view
        path = self._path(view, values) if view is not None else None
        if view is None or path is None:
            return
        self.write(view, path, values["sheet"], values["size"], outside=values["then"] == "open")

    def _path(self, view: EngineView, values: Values) -> Path | None:
        name = f"{view.registration} engine {view.position} {view.today.isoformat()}.pdf"
        if values["then"] == "open":
            self._folder = self._folder or QTemporaryDir()
            return Path(self._folder.path()) / name
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        path, _ = QFileDialog.getSaveFileName(
            self._page, "Save the sheets", str(Path(folder) / name), "PDF (*.pdf)"
        )
        return Path(path if path.lower().endswith(".pdf") else f"{path}.pdf") if path else None

    def write(self, view: EngineView, path: Path, sheet: str, size: str, *, outside: bool) -> None:
        """Write the PDF; then open it outside, or say where it is."""

        def work(_progress: object) -> int:
            from annual_planner.paper.engine import SHEETS as ALL
            from annual_planner.paper.engine import engine_pdf

            return engine_pdf(view, path, page_size=size, sheets=(sheet,) if sheet else ALL)

        def done(pages: int) -> None:
            self._page.close_form()
            if outside and QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
                return
            many = "1 page" if pages == 1 else f"{pages} pages"
            self._page.strip.say(f"Saved as {path.name}: {many}.", str(path.parent))

        self._page.desk.jobs.long(
            work, self, done, self._page.failed, topic="sheets", says="Drawing the sheets"
        )
