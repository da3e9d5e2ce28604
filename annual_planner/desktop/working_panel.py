"""The working behind a value, beside what it belongs to: inputs, steps, rules, assumptions, parts."""

from __future__ import annotations

import html
from collections.abc import Iterator

from PySide6.QtCore import QSize, Qt, QUrl, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QDockWidget, QTextBrowser, QVBoxLayout, QWidget

from annual_planner.desktop.colours import Colours
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.page import AskWhy
from annual_planner.desktop.widgets import button, label
from annual_planner.trade.working import Working, as_lines

Path = tuple[int, ...]
WIDEST_LEAST = 320
"""Pixels."""


class _Inner(QWidget):
    """Asks for no more width than it must have: the place beside it needs the rest."""

    def sizeHint(self) -> QSize:
        """As narrow as may be."""
        return QSize(self.minimumSizeHint().width(), super().sizeHint().height())


class WorkingPanel(QDockWidget):
    """A side panel that can be docked or floated; parts open and close by their headings."""

    closed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__("Working")
        self.setObjectName("working")
        self.setAccessibleName("Working panel")
        self._desk = desk
        self._working: Working | None = None
        self._open: set[Path] = set()
        self.text = QTextBrowser()
        self.text.setOpenLinks(False)
        self.text.setAccessibleName("Working: inputs, steps, rules and assumptions")
        self.text.anchorClicked.connect(self._toggle)
        self._copy = button("Copy as text", self.copy, quiet=True)
        self._lay_out()
        desk.theme.changed.connect(self._fit)
        desk.theme.changed.connect(self._draw)
        self._draw()

    def _lay_out(self) -> None:
        top = FlowRow()
        top.addWidget(label("Working", section=True))
        top.add_at_end(self._copy)
        top.add_at_end(button("Close", self.put_away, tip="Put the working away (Esc)", quiet=True))
        inner = _Inner()
        inner.setAccessibleName("Working")
        column = QVBoxLayout(inner)
        column.addLayout(top)
        column.addWidget(self.text, 1)
        self.setTitleBarWidget(QWidget())
        self.titleBarWidget().setAccessibleName("Working panel title")
        self.setWidget(inner)
        self._fit()

    def put_away(self) -> None:
        """Hide it; the keys then act on the place again."""
        self.hide()
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape puts it away."""
        if event.key() == Qt.Key.Key_Escape:
            self.put_away()
        else:
            super().keyPressEvent(event)

    def _fit(self) -> None:
        """Room for its lines; large text makes it no wider than a window of 1280 has to give."""
        self.setMinimumWidth(min(self._desk.theme.sizes.of(18), WIDEST_LEAST))

    @property
    def working(self) -> Working | None:
        """What is shown."""
        return self._working

    def show_working(self, asked: Working | AskWhy) -> None:
        """Show a working, or ask the fleet for it first."""
        self.show()
        if isinstance(asked, Working):
            self._take(asked)
            return
        self._desk.jobs.read(asked, self, self._take, topic="why", says="Working it out")

    def copy(self) -> None:
        """Put the whole working on the clipboard as plain text."""
        if self._working is not None:
            QGuiApplication.clipboard().setText("\n".join(as_lines(self._working)))

    def _take(self, working: Working) -> None:
        self._working = working
        self._open = {(place,) for place in range(len(working.parts))} if len(working.parts) <= 3 else set()
        self._draw()
        self.text.verticalScrollBar().setValue(0)

    def _toggle(self, url: QUrl) -> None:
        path = tuple(int(number) for number in url.toString().removeprefix("part:").split(".") if number)
        self._open ^= {path}
        scrolled = self.text.verticalScrollBar().value()
        self._draw()
        self.text.verticalScrollBar().setValue(scrolled)

    def _draw(self) -> None:
        inks = self._desk.theme.colours
        self._copy.setEnabled(self._working is not None)
        if self._working is None:
            hint = "Choose a row and press F4 to see how it was worked out."
            self.text.setHtml(f"<p style='color:{inks.faint}'>{hint}</p>")
            return
        self.text.setHtml("".join(as_html(self._working, inks, self._open)))


def as_html(working: Working, inks: Colours, opened: set[Path], path: Path = ()) -> Iterator[str]:
    """The working as rich text; parts that aren't open show their result only."""
    size = "large" if not path else "medium"
    if not path:
        yield f"<p style='margin-bottom:0;color:{inks.faint}'>{_e(working.title)}</p>"
        yield f"<p style='margin-top:2px;font-size:{size}'><b>{_e(working.result)}</b></p>"
    yield from _inputs(working, inks)
    yield from _steps(working, inks)
    yield from _rules(working, inks)
    yield from _assumed(working, inks)
    if working.parts:
        yield _head("Made from", inks)
    for place, part in enumerate(working.parts):
        here = (*path, place)
        mark = "▾" if here in opened else "▸"
        link = "part:" + ".".join(str(number) for number in here)
        yield (
            f"<p style='margin:4px 0'><a href='{link}' style='color:{inks.accent};text-decoration:none'>"
            f"{mark} {_e(part.title)}</a>: <b>{_e(part.result)}</b></p>"
        )
        if here in opened:
            yield f"<table width='100%'><tr><td width='2' bgcolor='{inks.rule}'></td>"
            yield "<td style='padding-left:8px'>"
            yield from as_html(part, inks, opened, here)
            yield "</td></tr></table>"


def _e(text: str) -> str:
    return html.escape(text)


def _head(text: str, inks: Colours) -> str:
    return f"<p style='margin:10px 0 2px 0;color:{inks.faint}'>{text}</p>"


def _inputs(working: Working, inks: Colours) -> Iterator[str]:
    if not working.inputs:
        return
    yield _head("From", inks) + "<table cellspacing='0' cellpadding='2'>"
    for one in working.inputs:
        source = f"<br><span style='color:{inks.faint}'>{_e(one.source)}</span>" if one.source else ""
        value = f"<b>{_e(one.value)}</b> {_e(one.unit)}{source}"
        yield f"<tr><td>{_e(one.name)}&nbsp;&nbsp;</td><td>{value}</td></tr>"
    yield "</table>"


def _steps(working: Working, inks: Colours) -> Iterator[str]:
    if working.steps:
        yield _head("Step by step", inks) + "<ol style='margin:0 0 0 0;-qt-list-indent:1'>"
        for number, step in enumerate(working.steps, 1):
            yield (
                f"<li>{_e(step.text.removeprefix(f'{number}. '))}"
                + (f" <b>→ {_e(step.result)}</b>" if step.result else "")
                + "</li>"
            )
        yield "</ol>"


def _rules(working: Working, inks: Colours) -> Iterator[str]:
    if working.rules:
        yield _head("Rests on", inks)
        for rule in working.rules:
            yield f"<p style='margin:2px 0'><b>{_e(rule.citation)}</b><br>{_e(rule.says)}</p>"


def _assumed(working: Working, inks: Colours) -> Iterator[str]:
    if working.assumptions:
        yield _head("Assumed", inks) + "<ul style='margin:0;-qt-list-indent:1'>"
        yield from (f"<li>{_e(text)}</li>" for text in working.assumptions)
        yield "</ul>"
