"""The style sheet over Qt's plain style: hairlines, paper and one accent. Lengths come from the text size."""

from __future__ import annotations

import re

from annual_planner.desktop.colours import Colours

RAIL_TEXT = 0.78
"""Height of the rail's letters, in lines of text."""
SHEET = """
QWidget { outline: 0; }
QMainWindow, QDialog, QStackedWidget#places { background: @board; }
QToolTip { background: @paper; color: @ink; border: 1px solid @edge; padding: @4; }

QMenuBar { background: @board; border-bottom: 1px solid @rule; padding: 0 @4; }
QMenuBar::item { padding: @5 @8; background: transparent; border-bottom: 2px solid transparent; }
QMenuBar::item:selected { border-bottom: 2px solid @accent; }
QMenu { background: @paper; border: 1px solid @edge; padding: @4 0; }
QMenu::item { padding: @6 @24 @6 @10; min-height: @menu; }
QMenu::item:selected { background: @chosen; color: @chosen_ink; }
QMenu::item:disabled { color: @faint; }
QMenu::separator { height: 1px; background: @rule; margin: @4 @8; }
QMenu::icon { padding-left: @8; }
QMenu::indicator { width: @12; height: @12; margin-left: @8; border: 1px solid @edge; background: @paper; }
QMenu::indicator:checked { background: @accent; border-color: @accent; }

QPushButton, QToolButton[boxed="true"] {
    background: @paper; color: @ink; border: 1px solid @edge; border-radius: 2px;
    padding: @3 @10; min-height: @inner; }
QPushButton { icon-size: @16; }
QListView, QTabBar, QTreeView { icon-size: @16; }
QPushButton:hover, QToolButton[boxed="true"]:hover { background: @wash; border-color: @accent; }
QPushButton:pressed, QToolButton[boxed="true"]:pressed { background: @chosen; }
QPushButton:focus, QToolButton[boxed="true"]:focus { border: 2px solid @accent; padding: @2 @9; }
QPushButton:disabled, QToolButton[boxed="true"]:disabled { color: @faint; border-color: @rule; }
QPushButton[leading="true"] { background: @accent; color: @accent_ink; border-color: @accent;
    font-weight: bold; }
QPushButton[leading="true"]:focus { border: 2px solid @accent_ink; text-decoration: underline; }
QPushButton[leading="true"]:disabled { background: @wash; color: @faint; border-color: @rule; }
QPushButton[quiet="true"] { background: transparent; border: 1px solid transparent; color: @accent;
    padding: @3 @2; min-width: @inner; }
QPushButton[quiet="true"]:hover { border-bottom: 1px solid @accent; }
QPushButton[quiet="true"]:focus { border: 2px solid @accent; padding: @2 @1; }
QPushButton[chip="true"] { border-radius: @chip; padding: @2 @10; min-height: @low; }
QPushButton[chip="true"]:checked { background: @chosen; color: @chosen_ink; border: 2px solid @accent; }

QLineEdit, QComboBox, QAbstractSpinBox, QDateEdit, QPlainTextEdit, QTextEdit {
    background: @paper; color: @ink; border: 1px solid @edge; border-radius: 2px; padding: @3 @6;
    placeholder-text-color: @faint; selection-background-color: @accent; selection-color: @accent_ink; }
QLineEdit, QComboBox, QAbstractSpinBox { min-height: @inner; }
QLineEdit:focus, QComboBox:focus, QAbstractSpinBox:focus, QPlainTextEdit:focus, QTextEdit:focus {
    border: 2px solid @accent; padding: @2 @5; }
QLineEdit[fault="true"], QComboBox[fault="true"] { border: 2px solid @bad; }
QLineEdit:read-only { background: @wash; border-color: @rule; }
QComboBox::drop-down { border: 0; width: @20; }
QComboBox::down-arrow { image: url("@arrow"); width: @10; height: @10; }
QComboBox QAbstractItemView { background: @paper; border: 1px solid @edge;
    selection-background-color: @chosen;
    selection-color: @chosen_ink; }
QCheckBox, QRadioButton { spacing: @6; min-height: @inner; }
QCheckBox::indicator, QGroupBox::indicator, QTableView::indicator {
    width: @12; height: @12; border: 2px solid @edge; background: @paper; }
QCheckBox::indicator:checked, QGroupBox::indicator:checked, QTableView::indicator:checked {
    background: @accent; border-color: @accent; image: url("@tick"); }
QCheckBox::indicator:focus, QCheckBox:focus { border-color: @accent; }
QCheckBox:focus { border-bottom: 2px solid @accent; }

QTableView, QTreeView, QListView {
    background: @paper; alternate-background-color: @wash; color: @ink; border: 1px solid @rule;
    gridline-color: @rule; selection-background-color: @chosen; selection-color: @chosen_ink; }
QTableView:focus, QTreeView:focus, QListView:focus { border: 1px solid @accent; }
QTableView::item { padding: 0 @6; border-bottom: 1px solid @wash; }
QTableView::item:selected { background: @chosen; color: @chosen_ink; }
QListView::item { padding: @4 @6; }
QListView::item:selected { background: @chosen; color: @chosen_ink; }
QHeaderView { background: @wash; border: 0; }
QHeaderView::section { background: @wash; color: @faint; border: 0; border-bottom: 2px solid @edge;
    border-right: 1px solid @rule; padding: @4 @9; font-weight: bold; }
QHeaderView::section:hover { color: @accent; }
QTableCornerButton::section { background: @wash; border: 0; }

QTabBar { background: transparent; qproperty-drawBase: 0; }
QTabBar::tab { background: transparent; color: @faint; padding: @6 @14; border: 0;
    border-bottom: 3px solid transparent; min-height: @low; }
QTabBar::tab:selected { color: @ink; border-bottom: 3px solid @accent; }
QTabBar::tab:hover { color: @accent; }
QTabBar::tab:focus { color: @accent; text-decoration: underline; }
QTabBar::scroller { width: @arrows; }
QTabBar QToolButton { background: @board; border: 1px solid @rule; border-radius: 2px; }
QTabBar QToolButton:hover { border-color: @accent; }
QTabWidget::pane { border: 0; border-top: 1px solid @rule; }

QScrollBar:vertical { background: transparent; width: @bar; margin: 0; }
QScrollBar:horizontal { background: transparent; height: @bar; margin: 0; }
QScrollBar::handle { background: @edge; border-radius: 2px; margin: 2px; min-height: @24; min-width: @24; }
QScrollBar::handle:hover { background: @accent; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QAbstractScrollArea::corner { background: transparent; border: 0; }
QScrollArea { border: 0; background: transparent; }
QScrollArea > QWidget > QWidget#scrolled { background: transparent; }

QSplitter::handle { background: transparent; }
QSplitter::handle:horizontal { width: @8; }
QSplitter::handle:vertical { height: @6; }
QSplitter::handle:hover { background: @chosen; }
QGroupBox { border: 1px solid @rule; border-radius: 2px; margin-top: @14; padding: @8 @6 @6 @6; }
QGroupBox::title { subcontrol-origin: margin; left: @8; padding: 0 @4; color: @faint; }
QProgressBar { border: 1px solid @edge; background: @paper; border-radius: 2px; text-align: center;
    color: @ink; }
QProgressBar::chunk { background: @chosen; }
QStatusBar { background: @board; border-top: 1px solid @rule; color: @faint; }
QStatusBar::item { border: 0; }
QStatusBar QLabel { padding: 0 @12; }

QFrame#rail { background: @board; border-right: 1px solid @rule; }
QFrame#rail QToolButton { background: transparent; border: 0; border-left: 3px solid transparent;
    color: @faint; font-size: @rail;
    padding: @8 @2; }
QFrame#rail[low="true"] QToolButton { padding: @3 @2; }
QFrame#rail QToolButton:hover { color: @accent; background: @wash; }
QFrame#rail QToolButton:checked { color: @ink; background: @paper; border-left: 3px solid @accent;
    font-weight: bold; }
QFrame#rail QToolButton:focus { border: 2px solid @accent; }
QFrame#rail QToolButton::menu-indicator { image: none; }

QFrame[sheet="true"] { background: @paper; border: 1px solid @rule; border-radius: 2px; }
QFrame[line="true"] { background: @rule; border: 0; }
QFrame#demo { background: @warn_wash; border: 0; border-bottom: 1px solid @edge; }
QFrame#strip { background: @warn_wash; border: 1px solid @edge; border-left: 6px solid @soon;
    border-radius: 2px; }
QLabel { background: transparent; }
QLabel[heading="true"] { font-size: @title; font-weight: bold; }
QLabel[section="true"] { font-weight: bold; color: @ink; }
QLabel[faint="true"] { color: @faint; }
QLabel[number="true"] { font-size: @title; }
QDockWidget { titlebar-close-icon: none; }
QDockWidget > QWidget { background: @paper; border-left: 1px solid @rule; }
QTextBrowser { background: @paper; border: 1px solid @rule; padding: @6; }
QMainWindow::separator { background: @rule; width: 3px; height: 3px; }
QMainWindow::separator:hover { background: @accent; }
"""


def style_sheet(of: Colours, line: float, target: float, arrow: str = "", tick: str = "") -> str:
    """The sheet for these colours; `line` and `target` in pixels. `@8` is 8/16 of a line of text."""
    put = {"arrow": arrow, "tick": tick, **of._asdict()}
    put |= {name: f"{round(pixels)}px" for name, pixels in _named(line, target).items()}
    put |= {str(part): f"{max(1, round(line * part / 16))}px" for part in range(1, 25)}
    return re.sub(r"@(\w+)", lambda found: put[found[1]], SHEET)


def _named(line: float, target: float) -> dict[str, float]:
    """Lengths with names: what is inside a thing to be pressed is such that the whole is a target."""
    return {
        "title": line * 1.3,
        "rail": line * RAIL_TEXT,
        "chip": target / 2 - 1,
        "inner": target - line * 0.5,
        "menu": target - line * 0.75,
        "low": target - line * 0.4,
        "arrows": target * 2,
        "bar": max(line * 0.75, target / 3),
    }
