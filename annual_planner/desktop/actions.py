"""The window's own actions as a table: menu, words, key, tip and drawing."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtGui import QKeySequence

Key = QKeySequence.StandardKey


class ActionWords(NamedTuple):
    """One action of the window. A name starting with '-' is a line across the menu."""

    name: str
    menu: str
    text: str = ""
    keys: tuple[str | Key, ...] = ()
    tip: str = ""
    drawing: str = ""
    choice: str = ""
    """Group of which one at a time is ticked; 'alone' for a tick of its own."""


MENUS = (
    ("file", "&File"),
    ("edit", "&Edit"),
    ("go", "&Go"),
    ("here", "He&re"),
    ("view", "&View"),
    ("help", "&Help"),
)
ACTIONS = (
    ActionWords("new", "file", "&New fleet…", (Key.New,), "Start a fleet in a new file", "new"),
    ActionWords("open", "file", "&Open fleet…", (Key.Open,), "Open another fleet file", "open"),
    ActionWords("sample", "file", "Open the sa&mple fleet", (), "An invented shop to try things on", "fleet"),
    ActionWords("-1", "file"),
    ActionWords("saved", "file", "Saved &state", (Key.Save,), "Say when the last change was saved", "save"),
    ActionWords("backup", "file", "&Back up fleet…", (), "Write a checked copy of the fleet file", "copy"),
    ActionWords(
        "restore",
        "file",
        "R&estore backup…",
        (),
        "Write the fleet of a backup to a new, checked file",
        "open",
    ),
    ActionWords(
        "export",
        "file",
        "Save &list for a spreadsheet…",
        ("Ctrl+Shift+X",),
        "The whole list, as searched, filtered and sorted: workbook or CSV",
        "save",
    ),
    ActionWords(
        "take_in", "file", "&Take an airplane in…", (), "Look at a hand-over file, then record it", "open"
    ),
    ActionWords(
        "shop", "file", "Set up the s&hop…", (), "Hours, closed days, people, bays, equipment, room", "shop"
    ),
    ActionWords("-2", "file"),
    ActionWords("quit", "file", "&Quit", (Key.Quit, "Ctrl+Q"), "Close the program", "quit"),
    ActionWords("undo", "edit", "&Undo", (Key.Undo,), "Take the last change back", "undo"),
    ActionWords("redo", "edit", "&Redo", (Key.Redo, "Ctrl+Shift+Z"), "Do again what was taken back", "redo"),
    ActionWords("-3", "edit"),
    ActionWords("copy", "edit", "&Copy", (), "Copy what is chosen: rows for a spreadsheet, or text", "copy"),
    ActionWords("find", "edit", "&Find here", (Key.Find,), "Search in this place", "search"),
    ActionWords("goto", "go", "Go to &anything…", ("Ctrl+K",), "Airplanes, places and actions", "goto"),
    ActionWords("back", "go", "&Back", ("Alt+Left",), "Back to where you were", "back"),
    ActionWords("forward", "go", "For&ward", ("Alt+Right",), "Forward again", "forward"),
    ActionWords("next", "go", "&Next place", ("Ctrl+Tab",), "The next place on the rail", "down"),
    ActionWords("previous", "go", "&Previous place", ("Ctrl+Shift+Tab",), "The place before", "up"),
    ActionWords("-4", "go"),
    ActionWords(
        "why", "view", "&Why? (working)", ("F4", "?"), "Show how the selected value was reached", "why"
    ),
    ActionWords("refresh", "view", "&Refresh", (Key.Refresh, "F5"), "Ask the fleet again", "refresh"),
    ActionWords(
        "sort",
        "view",
        "Sor&t the list…",
        ("Ctrl+Shift+B",),
        "Sort by one column, then by a second one",
        "down",
    ),
    ActionWords("-5", "view"),
    ActionWords("larger", "view", "&Larger text", ("Ctrl++", "Ctrl+="), "Larger text everywhere", "larger"),
    ActionWords("smaller", "view", "&Smaller text", ("Ctrl+-",), "Smaller text everywhere", "smaller"),
    ActionWords("ordinary", "view", "&Ordinary text", ("Ctrl+0",), "Text in its ordinary size", "ordinary"),
    ActionWords("bench", "view", "&Bench size", (), "Large targets for gloved hands", "bench", "alone"),
    ActionWords("-6", "view"),
    ActionWords("system", "view", "Light or dark as the s&ystem", (), "Follow the system", "", "look"),
    ActionWords("light", "view", "L&ight", (), "Dark ink on light paper", "light", "look"),
    ActionWords("dark", "view", "&Dark", (), "Light ink on dark paper", "dark", "look"),
    ActionWords(
        "help", "help", "&Help for this place", (Key.HelpContents, "F1"), "How this place works", "help"
    ),
    ActionWords("keys", "help", "&Keys", (), "All keys on one page", "help"),
    ActionWords(
        "limits", "help", "What it &doesn't do", (), "The program advises; it never approves", "warn"
    ),
    ActionWords("logs", "help", "&Log folder", (), "Open the folder with the program's notes", "report"),
)
