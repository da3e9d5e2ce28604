"""How a hand-over is put into words: what it holds by kind, who signed what, and where files lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QDialog

from annual_planner.trade.seals import fingerprint

if TYPE_CHECKING:
    from annual_planner.desktop.progress import Progress
    from annual_planner.store.hand_over_rows import HandedOver, SentChain

FILES = "Hand-over file (*.zip)"
KINDS = {
    "assembly": "Assemblies", "installation": "Fittings", "meter_reading": "Meter readings",
    "requirement": "Requirements", "compliance": "Compliances", "work_package": "Work packages",
    "work_card": "Work cards", "discrepancy": "Discrepancies", "discrepancy_step": "Steps of discrepancies",
    "spark_plug": "Spark plugs", "plug_check": "Plug checks", "compression_test": "Compression tests",
    "photograph": "Photographs", "filed_paper": "Filed papers",
}  # fmt: skip
SIGNED = "Signed records"
ABREAST = 3
"""How many kinds stand beside each other."""


def documents() -> str:
    """The folder in which people keep their papers."""
    return QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)


def fit(dialog: QDialog, wide: int, high: int) -> None:
    """Give a dialog its size in pixels, and no more than the window it belongs to has."""
    over = dialog.parentWidget()
    if over is not None:
        wide, high = min(wide, over.window().width()), min(high, over.window().height())
    dialog.resize(wide, high)


def which_airplane(records: HandedOver) -> str:
    """Registration, type and serial."""
    airplane = records.aircraft
    return f"{airplane['registration']}, {airplane['maker']} {airplane['model']}, serial {airplane['serial']}"


def counts(records: HandedOver) -> list[tuple[str, int]]:
    """How much goes along of each kind; kinds of which there is nothing are left out."""
    found = [(words, len(records.tables[table])) for table, words in KINDS.items()]
    signed = sum(len(chain.links) for chain in records.chains)
    return [(words, number) for words, number in (*found, (SIGNED, signed)) if number]


def records_said(number: int) -> str:
    """So many signed records, in words.

    >>> records_said(0), records_said(1), records_said(5)
    ('no signed records', '1 signed record', '5 signed records')
    """
    return f"{number or 'no'} signed record{'' if number == 1 else 's'}"


def signers(chain: SentChain) -> list[tuple[str, str, int]]:
    """Who signed in one keeper's records: name, fingerprint of the key, and how many."""
    found = Counter((each.link.person, fingerprint(each.link.sealed.public_key)) for each in chain.links)
    return [(name, key, number) for (name, key), number in sorted(found.items())]


def heading(text: str) -> str:
    """A heading within a text."""
    return f"<p><b>{escape(text)}</b></p>"


def listed(lines: Iterable[str]) -> str:
    """Sentences below each other, each with its point."""
    return f"<ul>{''.join(f'<li>{escape(line[:1].upper() + line[1:])}</li>' for line in lines)}</ul>"


def counts_table(found: Sequence[tuple[str, int]]) -> str:
    """Numbers by kind, some abreast."""
    cells = [f"<td align='right'>{number}</td><td>{escape(words)}</td><td width='24'></td>"
             for words, number in found]  # fmt: skip
    return _table(["".join(cells[at : at + ABREAST]) for at in range(0, len(cells), ABREAST)])


def signers_table(chain: SentChain) -> str:
    """Who signed how many with which key."""
    rows = [
        f"<td align='right'>{number}</td><td>{escape(name)}</td><td>key {escape(key)}</td>"
        for name, key, number in signers(chain)
    ]
    return _table(rows)


def _table(rows: Iterable[str]) -> str:
    inside = "".join(f"<tr>{row}</tr>" for row in rows)
    return f"<table cellspacing='0' cellpadding='3' style='margin-bottom: 10px'>{inside}</table>"


def counting(progress: Progress, total: int = 0) -> Callable[[], None]:
    """A step that counts itself on the progress; it raises Cancelled once a person has stopped the work."""
    done = 0

    def step() -> None:
        nonlocal done
        progress(done, total)
        done += 1

    return step
