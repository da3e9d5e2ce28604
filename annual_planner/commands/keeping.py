"""`check`, `backup` and `restore`: that a fleet stays whole."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import opened
from annual_planner.commands.options import ANSWER_IS_NO, DONE, add_command, counted, fleet_option

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands
    from annual_planner.store.session import Fleet


def add(commands: Commands) -> None:
    """Add the commands."""
    check = add_command(commands, "check", "check that a fleet and its signed records are whole", _check)
    fleet_option(check)
    check.add_argument(
        "--last-seal",
        type=_a_seal,
        metavar="HEX",
        help="a seal printed on a paper, to find in the chain",
    )
    backup = add_command(commands, "backup", "write a verified copy of a fleet file", _backup)
    fleet_option(backup)
    backup.add_argument("target", type=Path, metavar="TARGET", help="the new file to write it to")
    restore = add_command(commands, "restore", "bring a backup back as a new fleet file", _restore)
    restore.add_argument("source", type=Path, metavar="SOURCE", help="the backup; it stays as it is")
    restore.add_argument("target", type=Path, metavar="TARGET", help="the new fleet file")


def _a_seal(text: str) -> str:
    """Read a seal; for argparse."""
    from annual_planner.records.chain import read_seal

    seal = read_seal(text)
    if not seal:
        raise argparse.ArgumentTypeError("that is no seal: a seal is 64 signs of 0 to 9 and a to f")
    return seal


def _check(asked: argparse.Namespace) -> int:
    from annual_planner.store.faults import check

    with closing(opened(asked.fleet, read_only=True)) as fleet:
        faults = check(fleet)
        told = [] if faults else _check_signed(fleet, asked.last_seal or "", faults)
    for line in (*faults, *told):
        print(line)
    print("the fleet file is whole" if not faults else f"{counted(len(faults), 'fault')} found")
    return ANSWER_IS_NO if faults else DONE


def _check_signed(fleet: Fleet, printed: str, faults: list[str]) -> list[str]:
    """Check the chain of signed records; its faults join the others, what else is to be told is given."""
    from annual_planner.records.chain import check_chain, seal_on_paper
    from annual_planner.records.received import RECEIVED_PROVES_NOT, check_received
    from annual_planner.trade.seals import seal_text

    with fleet.reading() as work:
        found = check_chain(work)
        received, broken = check_received(work)
    state = found.value
    faults += [*(str(fault) for fault in state.faults), *broken]
    wrong = seal_on_paper(state, printed) if printed else ""
    faults += [wrong] if wrong else []
    matches = ["the seal from the paper is in the chain"] if printed and not wrong else []
    last = f"last seal: {seal_text(state.last_seal)}" if state.links else "no seal yet"
    told = [f"{state.links} signed records; {last}", *matches]
    told += [f"  {line}" for line in found.working.assumptions[:-1]]
    if received:
        told.append(f"{received} signed records received from earlier keepers, checked with their keys")
        told += [f"  It does not prove {each}." for each in RECEIVED_PROVES_NOT]
    return told


def _backup(asked: argparse.Namespace) -> int:
    from annual_planner.store.backup import backup

    with closing(opened(asked.fleet, read_only=True)) as fleet:
        backup(fleet, asked.target)
    print(f"verified copy: {asked.target}")
    return DONE


def _restore(asked: argparse.Namespace) -> int:
    from annual_planner.store.backup import restore

    restore(asked.source, asked.target)
    print(f"fleet file: {asked.target}")
    return DONE
