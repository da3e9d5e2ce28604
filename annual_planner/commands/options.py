"""What the commands share in reading their words: options, kinds of value and exit statuses."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
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


class Parser(argparse.ArgumentParser):
    """Says in one line what it can't take."""

    def error(self, message: str) -> NoReturn:
        """Leave the program with one line and the exit status of bad input."""
        self.exit(BAD_INPUT, f"{self.prog}: {message}; '{self.prog} --help' shows how\n")


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
    command.add_argument("--fleet", required=True, help="fleet file or postgresql+psycopg:// address")
    command.add_argument("--today", type=a_day, help="count from this day (YYYY-MM-DD) instead of today")


def shop_option(command: argparse.ArgumentParser) -> None:
    """Add the option for the shop's own folder."""
    command.add_argument(
        "--shop", type=Path, help="folder with the shop's own cards, requirements, cautions and layout"
    )


def form_option(command: argparse.ArgumentParser, *forms: str) -> None:
    """Add the option for how the answer is given; the first form is the usual one."""
    command.add_argument("--as", dest="form", choices=forms, default=forms[0])


def paper_option(command: argparse.ArgumentParser) -> None:
    """Add the option for the size of the paper."""
    command.add_argument("--paper", choices=("letter", "a4"), default="letter")


def words(text: str) -> str:
    """Words as people write them; bytes that are none can't be looked up."""
    if not text.isprintable():
        raise argparse.ArgumentTypeError(f"{text!a} holds what can't be written")
    return text


def a_day(text: str) -> date:
    """Read a day; for argparse."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a day; write it like 2026-05-04") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        years = f"{FIRST_DAY.year} to {LAST_DAY.year}"
        raise argparse.ArgumentTypeError(f"'{text}' is outside the years {years} that can be planned in")
    return day


def a_moment(text: str) -> datetime:
    """Read a moment on the shop's own clock; for argparse."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is no moment; write it as 2026-05-11T08:00") from None
    if moment.tzinfo is not None or not FIRST_DAY <= moment.date() <= LAST_DAY:
        raise argparse.ArgumentTypeError(f"'{text}' is no moment on the shop's own clock, 1900 to 2199")
    return moment


def amount(text: str) -> Decimal:
    """Read an amount of money above 0; for argparse."""
    try:
        found = Decimal(text)
    except InvalidOperation:
        raise argparse.ArgumentTypeError(f"'{text}' is no amount; write it like 120 or 99.50") from None
    if not (found.is_finite() and found > 0):
        raise argparse.ArgumentTypeError(f"'{text}' is not above 0")
    return found


def bad_input(said: str) -> int:
    """Say on the error output what is wrong; give the exit status for that."""
    print(f"annual-planner: {said}", file=sys.stderr)
    return BAD_INPUT
