"""What the commands share in reading their words: options, kinds of value and exit statuses."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction["Parser"]
    """What commands are added to."""

DONE, ANSWER_IS_NO, BAD_INPUT = 0, 1, 2
"""Exit statuses."""
COMMAND_LINE = "command line"
"""The name under which edits of these commands are written down."""
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""Days a person may mean; beyond them forecasts would run out of the calendar."""
LONGEST_WORDS = 500
"""Signs of a name or of a question; what is longer was pasted by mistake."""
LONGEST_SHOWN = 60
"""Signs of what was typed that an answer repeats."""
LONGEST_SEARCH_S = 86_400
"""Seconds in a day."""
LARGEST_AMOUNT = 1_000_000_000
"""Beyond any shop's money."""


class Parser(argparse.ArgumentParser):
    """Says in one line what it can't take."""

    def error(self, message: str) -> NoReturn:
        """Leave the program with one line and the exit status of bad input."""
        said = message.removeprefix("argument ")
        self.exit(BAD_INPUT, f"{self.prog}: {said}; '{self.prog} --help' shows how\n")


def add_command(
    commands: Commands,
    name: str,
    text: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    """Add one command: its name, the line of help and what it runs."""
    command = commands.add_parser(name, help=text, description=text)
    command.set_defaults(command=run)
    return command


def fleet_options(command: argparse.ArgumentParser) -> None:
    """Add the options that nearly every command has: which fleet, and from which day to count."""
    fleet_option(command)
    text = "count from this day (YYYY-MM-DD) instead of today"
    command.add_argument("--today", type=a_day, metavar="DATE", help=text)


def fleet_option(command: argparse.ArgumentParser) -> None:
    """Add the option for which fleet."""
    text = "fleet file or postgresql+psycopg:// address"
    command.add_argument("--fleet", required=True, metavar="F", help=text)


def shop_option(command: argparse.ArgumentParser) -> None:
    """Add the option for the shop's own folder."""
    command.add_argument(
        "--shop",
        type=Path,
        metavar="FOLDER",
        help="folder with the shop's own cards, requirements, cautions and layout",
    )


def form_option(command: argparse.ArgumentParser, *forms: str) -> None:
    """Add the option for how the answer is given; the first form is the usual one."""
    text = f"how the answer is given (default: {forms[0]})"
    command.add_argument("--as", dest="form", choices=forms, default=forms[0], help=text)


def paper_option(command: argparse.ArgumentParser) -> None:
    """Add the option for the size of the paper."""
    text = "size of the paper, with --pdf (default: letter)"
    command.add_argument("--paper", choices=("letter", "a4"), help=text)


def airplane_option(command: argparse.ArgumentParser, *, required: bool = True) -> None:
    """Add the option for which airplane; where it isn't required, all of them are meant without it."""
    text = "registration of the airplane" if required else "registration: this airplane only"
    command.add_argument("--aircraft", type=words, required=required, metavar="REG", help=text)


def package_option(command: argparse.ArgumentParser) -> None:
    """Add the option for which work package."""
    text = "number of the package, such as N012MH-2026-1"
    command.add_argument("--package", type=words, required=True, metavar="NUMBER", help=text)


def position_option(command: argparse.ArgumentParser) -> None:
    """Add the option for which of an airplane's engines."""
    text = "which of its engines, from 1 (default: 1)"
    command.add_argument("--position", type=a_count, default=1, metavar="N", help=text)


def seconds_option(command: argparse.ArgumentParser) -> None:
    """Add the option for how long to search."""
    text = "seconds to search (default: 10); 0: by rules alone"
    command.add_argument("--seconds", type=some_seconds, default=10.0, metavar="N", help=text)


def words(text: str) -> str:
    """Words as people write them; for argparse.

    ArgumentTypeError for what can't be printed, and for too many.
    """
    if not text.isprintable():
        raise argparse.ArgumentTypeError(f"{_shown(text, ascii)} holds what can't be written")
    if len(text) > LONGEST_WORDS:
        raise argparse.ArgumentTypeError(f"{_shown(text)} is longer than {LONGEST_WORDS} signs")
    return text


def a_count(text: str) -> int:
    """Read a whole number from 1 to 9999; for argparse. ArgumentTypeError for anything else."""
    if not (text.isdecimal() and len(text) <= 4 and int(text) >= 1):
        raise argparse.ArgumentTypeError(f"{_shown(text)} is no number from 1 to 9999")
    return int(text)


def some_seconds(text: str) -> float:
    """Read a time to search, 0 to a day; for argparse. ArgumentTypeError for anything else."""
    try:
        found = float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{_shown(text)} is no number of seconds") from None
    if not 0 <= found <= LONGEST_SEARCH_S:
        raise argparse.ArgumentTypeError(f"{_shown(text)} is not between 0 and {LONGEST_SEARCH_S} seconds")
    return found


def _shown(text: str, spell: Callable[[str], str] = repr) -> str:
    """Words as they stand in an answer of one line: quoted, and cut where they are long."""
    return spell(text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…")


def a_day(text: str) -> date:
    """Read a day; for argparse. ArgumentTypeError outside the years that can be planned in."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        shown = _shown(text)
        raise argparse.ArgumentTypeError(f"{shown} is not a day; write it like 2026-05-04") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        years = f"{FIRST_DAY.year} to {LAST_DAY.year}"
        raise argparse.ArgumentTypeError(
            f"{_shown(text)} is outside the years {years} that can be planned in"
        )
    return day


def a_moment(text: str) -> datetime:
    """Read a moment on the shop's own clock; for argparse. ArgumentTypeError for anything else."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        shown = _shown(text)
        raise argparse.ArgumentTypeError(f"{shown} is no moment; write it as 2026-05-11T08:00") from None
    if moment.tzinfo is not None or not FIRST_DAY <= moment.date() <= LAST_DAY:
        shown = _shown(text)
        raise argparse.ArgumentTypeError(f"{shown} is no moment on the shop's own clock, 1900 to 2199")
    return moment


def amount(text: str) -> Decimal:
    """Read an amount of money above 0; for argparse. ArgumentTypeError for anything else."""
    try:
        found = Decimal(text)
    except InvalidOperation:
        shown = _shown(text)
        raise argparse.ArgumentTypeError(f"{shown} is no amount; write it like 120 or 99.50") from None
    if not (found.is_finite() and 0 < found <= LARGEST_AMOUNT):
        raise argparse.ArgumentTypeError(f"{_shown(text)} is not above 0, up to {LARGEST_AMOUNT}")
    return found


def counted(number: int, what: str) -> str:
    """So many of a thing.

    >>> counted(1, "fault"), counted(3, "fault")
    ('1 fault', '3 faults')
    """
    return f"{number} {what}{'' if number == 1 else 's'}"


def bad_input(said: str) -> int:
    """Say on the error output what is wrong; give the exit status for that."""
    with suppress(OSError):  # nobody may read it any more; the status still tells
        print(f"annual-planner: {said}", file=sys.stderr)
    return BAD_INPUT
