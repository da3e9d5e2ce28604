"""Signing keys of the people: whose, how they stand, and the closing of one that a second person signs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.moment import moment_with_zone
from annual_planner.store.fleet_reads import people
from annual_planner.store.record_rows import KeyLine
from annual_planner.store.signed_reads import closing_records, key_lines
from annual_planner.trade.seals import fingerprint

if TYPE_CHECKING:
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work

NOTHING = "A person makes their own key when they sign for the first time."
HOW = (
    "A lost passphrase can't be found again; there is no back door. A second person, mechanic or manager, "
    "signs that the key is closed; its holder then makes a new one. What the old key signed stays valid and "
    "readable."
)


@dataclass(frozen=True, slots=True)
class HeldKey:
    """A key in the list. `witnessed`: the signed record of its closing, None while nobody signed one."""

    line: KeyLine
    witnessed: int | None

    @property
    def state(self) -> str:
        """'open', or how it was closed."""
        if self.witnessed is not None:
            return "closed"
        return "open" if self.line.closed_at is None else "closing not signed"


def closed_text(key: HeldKey) -> str:
    """When a key was closed; empty for an open one."""
    return moment_with_zone(key.line.closed_at) if key.line.closed_at else ""


KEY_COLUMNS: tuple[Column[HeldKey], ...] = (
    Column("person", "Of", lambda k: k.line.person, "person", 20),
    Column("state", "State", lambda k: k.state, "state", 20, sign=lambda k: k.state, aside=LAST_RESORT),
    Column(
        "made_at", "Made", lambda k: moment_with_zone(k.line.made_at), "made_at", 21,
        by=lambda k: k.line.made_at, aside=2,
    ),
    Column("closed_at", "Closed", closed_text, "closed_at", 21, by=lambda k: str(k.line.closed_at or ""),
           aside=3),
    Column("fingerprint", "Fingerprint", lambda k: fingerprint(k.line.public_key), "fingerprint", 18,
           aside=1),
)  # fmt: skip


def read_keys(work: Work, owner_id: int | None) -> tuple[tuple[HeldKey, ...], tuple[PersonLine, ...]]:
    """Every key, the newest first (an owner's own alone), and everyone: a fixed number of queries."""
    lines = [line for line in key_lines(work) if owner_id is None or line.person_id == owner_id]
    closed = closing_records(work, [line.key_id for line in lines])
    held = tuple(HeldKey(line, closed.get(line.key_id)) for line in reversed(lines))
    return held, tuple(people(work))


def key_text(key: HeldKey) -> str:
    """Everything about a key for the pane beside the list."""
    line = key.line
    said = [f"<b>Key of {escape(line.person)}</b>", f"Made {escape(moment_with_zone(line.made_at))}."]
    if line.closed_at is not None:
        said.append(f"Closed {escape(moment_with_zone(line.closed_at))}: {escape(line.closed_why)}.")
    if key.witnessed is not None:
        said.append(f"A second person signed its closing: record {key.witnessed}.")
    elif line.closed_at is not None:
        said.append("<b>Nobody signed its closing yet; until then no new key can be made.</b>")
    if line.failed_tries:
        said.append(f"{line.failed_tries} wrong passphrases in a row.")
    said += [f"Fingerprint: {fingerprint(line.public_key)}", f"Public key: {line.public_key.hex()}", HOW]
    return "".join(f"<p>{each}</p>" for each in said)


def sign_closing(desk: Desk, key: HeldKey, everyone: Sequence[PersonLine], parent: QWidget) -> None:
    """Open the signing of a key's closing, for anyone but its holder."""
    from annual_planner.desktop.signing.dialog import SigningDialog

    others = [each for each in everyone if each.person_id != key.line.person_id]
    dialog = SigningDialog(desk, "person_key", key.line.key_id, others, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()
