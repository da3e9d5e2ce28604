"""Builds the parts and hands each its own: the window, and the commands without a window."""

from __future__ import annotations

import argparse
import codecs
import errno
import io
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from types import ModuleType
from typing import TYPE_CHECKING

from annual_planner.commands.options import DONE, Parser, bad_input, shop_option
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands

FAILED, INTERRUPTED = 3, 130
SPELLED = "spelled"
REMEDIES = {
    errno.ENOSPC: "Make room on the disk, then try again.",
    errno.EACCES: "Choose a place that is open to you.",
    errno.EROFS: "Choose a place that can be written to.",
    errno.ENOENT: "Make the folder first, or check the name.",
    errno.ENAMETOOLONG: "Choose a shorter name.",
}
"""What to do about what the system says, where nobody nearer to the cause has said it."""


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; give its exit status: 0 done, 1 the answer is 'no', 2 bad input, 3 it failed."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        codecs.register_error(SPELLED, _spelled)
        sys.stdout.reconfigure(errors=SPELLED)
    try:
        asked = read_words(sys.argv[1:] if words is None else words)
        command: Callable[[argparse.Namespace], int] = asked.command
        status = command(asked)
        if sys.stdout is not None:
            sys.stdout.flush()
        return status
    except Refused as refused:
        _let_out()
        return bad_input(str(refused))
    except BrokenPipeError:
        _leave_output()
        return DONE
    except OSError as fault:
        _leave_output()
        where = f": {fault.filename}" if fault.filename else ""
        remedy = REMEDIES.get(fault.errno or 0, "Check the place and its name.")
        return bad_input(f"{fault.strerror or fault}{where}. {remedy}")
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception:  # what nobody foresaw must not read as the answer 'no'
        return _failed()


def read_words(words: Sequence[str]) -> argparse.Namespace:
    """What the command line asks for; the commands are made known where it isn't the window alone."""
    return _parser(() if _for_window(words) else _families()).parse_args(words)


def _for_window(words: Sequence[str]) -> bool:
    """True where nothing but the window is asked for, on a fleet and with a shop's folder if wanted."""
    pairs = list(zip(words[::2], words[1::2], strict=False))
    return 2 * len(pairs) == len(words) and all(
        option in ("--fleet", "--shop") and not value.startswith("-") for option, value in pairs
    )


def _failed() -> int:
    """Say where it came to grief, for who mends it, and what to do meanwhile, for who asked."""
    import traceback

    _let_out()
    with suppress(OSError):
        traceback.print_exc()
    said = "That is a fault of the program, or of the fleet's file: 'check --fleet F' tells which."
    bad_input(f"{said} Keep the lines above for whoever mends it; nothing was written by half.")
    return FAILED


def _spelled(error: UnicodeError) -> tuple[str, int]:
    """Signs that a terminal lacks, spelled so that JSON stays JSON."""
    assert isinstance(error, UnicodeEncodeError), "only what is written can lack a sign"
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[n : n + 4]}" for n in range(0, len(units), 4)), error.end


def _let_out() -> None:
    """What was said already goes first, where somebody still reads it."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError:
        _leave_output()


def _leave_output() -> None:
    """What is still unwritten goes nowhere, so that leaving the program doesn't fail over it again."""
    if sys.stdout is not None:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())


def _families() -> tuple[ModuleType, ...]:
    """The commands, in the order in which the help lists them; imported where Ctrl-C is answered already."""
    from annual_planner.commands import (
        ask,
        demo,
        due,
        engine,
        entries,
        explain,
        hand_over,
        keeping,
        layout,
        plan,
        read_package,
        review,
        weeks,
    )

    return (
        demo, due, plan, engine, explain, ask, layout, weeks, review, read_package, entries, hand_over,
        keeping,
    )  # fmt: skip


def _parser(families: Sequence[ModuleType]) -> argparse.ArgumentParser:
    from annual_planner.commands.screen import open_window

    parser = Parser(
        prog="annual-planner",
        description="Plan annual inspections of light piston airplanes. With no command, the window opens.",
    )
    text = "fleet file or postgresql+psycopg:// address"
    parser.add_argument("--fleet", default="", metavar="F", help=text)
    shop_option(parser)
    parser.set_defaults(command=open_window)
    if families:
        commands: Commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
        for family in families:
            family.add(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
