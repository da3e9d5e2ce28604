"""`hand-over` and `take-in`: all records of one airplane as one file, and such a file into this fleet."""

from __future__ import annotations

import argparse
import sys
from contextlib import closing
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import counted_from, opened
from annual_planner.commands.options import (
    COMMAND_LINE,
    DONE,
    a_day,
    add_command,
    airplane_option,
    fleet_options,
    words,
)
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from collections.abc import Iterator

    from annual_planner.commands.options import Commands
    from annual_planner.exchange.hand_over.giving import Given
    from annual_planner.exchange.hand_over.taking import ShownFile
    from annual_planner.records.closing_statement import Closing
    from annual_planner.store.session import Fleet


def add(commands: Commands) -> None:
    """Add the commands."""
    text = "write all records of one airplane as one file, for its next keeper"
    give = add_command(commands, "hand-over", text, _hand_over)
    fleet_options(give)
    airplane_option(give)
    text = "the file to make; it is not written over"
    give.add_argument("--out", type=Path, required=True, metavar="FILE.zip", help=text)
    give.add_argument("--to", type=words, metavar="NAME", help="who keeps the airplane next")
    give.add_argument("--to-on", type=a_day, metavar="DATE", help="from which day (YYYY-MM-DD); else today")
    text = "person who signs the closing statement with their own key; the passphrase is asked for"
    give.add_argument("--sign", type=words, metavar="PERSON", help=text)
    text = "show, or with --confirm record, what a hand-over file of another keeper holds"
    take = add_command(commands, "take-in", text, _take_in)
    fleet_options(take)
    take.add_argument("file", type=Path, metavar="FILE.zip", help="what hand-over made")
    take.add_argument("--confirm", action="store_true", help="record it, all or nothing")
    text = "what of the file is known here, as the preview names it: 'airplane', 'engine E5', a person's name"
    take.add_argument("--same", type=words, action="append", default=[], metavar="NAME", help=text)


def _hand_over(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.hand_over.giving import hand_over

    with closing(opened(asked.fleet, read_only=not asked.sign)) as fleet:
        today = counted_from(fleet, asked.today)
        closing_ = _closing(fleet, asked, today)
        given = hand_over(fleet, asked.aircraft, asked.out, today, closing=closing_)
        if closing_.signer is not None:
            _note(fleet, asked, given, closing_, today)
    print(f"{given.registration}: {asked.out} ({given.parts} parts, {given.signed} signed records)")
    print(f"closing statement: {f'signed by {asked.sign}' if asked.sign else 'not signed'}")
    print(f"SHA-256 to compare with the next keeper: {given.sha256}")
    return DONE


def _closing(fleet: Fleet, asked: argparse.Namespace, today: date) -> Closing:
    """To whom it goes, and the key of who signs that, unlocked by the passphrase typed now."""
    from annual_planner.records.closing_statement import Closing, HandedTo, unlocked_signer
    from annual_planner.store.people_reads import person_named

    to = HandedTo(asked.to, asked.to_on or today) if asked.to else None
    if to is None and asked.to_on:
        raise Refused(
            "--to-on says from which day, and nobody is named.", "Name who keeps it next with --to."
        )
    if not asked.sign:
        return Closing(to)
    with fleet.reading() as work:
        found = person_named(work, asked.sign)
    phrase = _passphrase(found.name)
    return Closing(to, unlocked_signer(fleet, found.person_id, phrase, datetime.now().astimezone()))


def _passphrase(name: str) -> str:
    """The passphrase as typed unseen, or as the first line of what is given on the standard input."""
    from getpass import getpass

    try:
        if sys.stdin is not None and sys.stdin.isatty():
            return getpass(f"Passphrase of {name}: ")
        line = sys.stdin.readline() if sys.stdin is not None else ""
    except EOFError:
        line = ""
    if not line:
        raise Refused(f"No passphrase of {name} was typed.", "Type it when asked, or leave --sign away.")
    return line.rstrip("\r\n")


def _note(fleet: Fleet, asked: argparse.Namespace, given: Given, closing_: Closing, today: date) -> None:
    """Whoever signs has the fleet open to write: the trail says that they did."""
    from annual_planner.records.apply import apply
    from annual_planner.records.handed_on import NoteHandedOver
    from annual_planner.store.fleet_reads import find_aircraft

    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, given.registration)
    to = closing_.to
    on, name = (to.on, to.name) if to else (None, "")
    edit = NoteHandedOver(aircraft_id, given.registration, name, given.sha256, given.signed, on, asked.sign)
    apply(fleet, edit, COMMAND_LINE, today)


def _take_in(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.hand_over.taking import shown_file
    from annual_planner.records.apply import apply

    with closing(opened(asked.fleet, read_only=not asked.confirm)) as fleet:
        today = counted_from(fleet, asked.today)
        with shown_file(fleet, asked.file, today) as shown:
            lines = [
                *shown.preview.lines,
                *(f"note: {remark}" for remark in shown.preview.remarks),
                *_choices(shown),
                f"SHA-256 to compare with the keeper before: {shown.file.sha256}",
            ]
            same = shown.same(asked.same)
            if asked.confirm:  # before anything is said: whoever reads it may go away
                apply(fleet, shown.edit(datetime.now().astimezone(), same), COMMAND_LINE, today)
    for line in lines:
        print(line)
    print("recorded" if asked.confirm else "nothing was recorded; with --confirm all of it is")
    return DONE


def _choices(shown: ShownFile) -> Iterator[str]:
    """How to say what is known here."""
    if shown.preview.again:
        yield "to record what is new beside what is known here: --same airplane"
    for offer in shown.preview.offers:
        if not offer.why_not:
            yield f"may be one: {offer.said}: --same '{offer.name}'"
