"""Handing an airplane over: its records read, held against its seals, written to a new file and read back."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.exchange.hand_over.reading import Reads, opened_hand_over
from annual_planner.exchange.hand_over.writing import write_hand_over
from annual_planner.records.closing_statement import Closing, check_statement
from annual_planner.records.received import chain_faults
from annual_planner.store.fleet_reads import find_aircraft, fleet_fact
from annual_planner.store.hand_over_reads import file_bytes, handed_over
from annual_planner.store.hand_over_rows import HandedOver
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet

_NAMELESS = "a fleet without a name"


@dataclass(frozen=True, slots=True)
class Given:
    """What was handed over."""

    registration: str
    parts: int
    signed: int
    sha256: str
    """Of the whole file, to be compared with what the next keeper reads."""


def hand_over(
    fleet: Fleet,
    registration: str,
    target: Path,
    today: date,
    read: Reads | None = None,
    *,
    closing: Closing | None = None,
    step: Callable[[], object] = lambda: None,
) -> Given:
    """Write the hand-over file of an airplane; the same records of the same day give the same bytes.

    `closing` says to whom, and may be signed: then no two are the same. The file is read back as the next
    keeper will read it, `read` decoding photographs where given. `step` is called for each picture and paper,
    and before the file gets its name; what it raises leaves no file.
    Raises Refused for an unknown airplane, for broken seals, and where the target is there or not writable.
    """
    with _part_of(target) as part:
        records, parts = _written(fleet, registration, part, today, closing or Closing(), step)
        with opened_hand_over(part, read) as found:  # apart from the fleet: it takes as long as it takes
            sha256 = found.sha256
            check_statement(found.records)
        step()
        part.rename(target)
    signed = sum(len(chain.links) for chain in records.chains)
    return Given(str(records.aircraft["registration"]), parts, signed, sha256)


def _written(
    fleet: Fleet, registration: str, part: Path, today: date, closing: Closing, step: Callable[[], object]
) -> tuple[HandedOver, int]:
    """Write everything as it stands at one moment; the records, and how many parts the file has."""
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        keeper = fleet_fact(work, "name") or _NAMELESS
        records = handed_over(work, aircraft_id, keeper=keeper, handed_on=today)
        _check_seals(records)

        def bytes_of(table: str, row_id: int) -> bytes:
            step()
            return file_bytes(work, table, row_id)

        with part.open("xb") as file:
            told = write_hand_over(
                file, records, bytes_of, lambda digests: closing.statement(records, digests)
            )
            file.flush()
            os.fsync(file.fileno())
    return records, told["parts"]


@contextmanager
def _part_of(target: Path) -> Iterator[Path]:
    """Where it is written until it is whole, so that what has the name is never half a file."""
    if target.exists() or target.is_symlink():
        raise Refused(f"{target} is there already; it is not written over.", "Choose another name.")
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        yield part
    except OSError as fault:
        said = f"{target} can't be written: {fault.strerror or fault}."
        raise Refused(said, _remedy(fault)) from fault
    finally:
        with suppress(OSError):  # where nothing can be written, nothing can be removed
            part.unlink(missing_ok=True)


def _remedy(fault: OSError) -> str:
    if fault.errno == errno.ENOENT:
        return "Make the folder first, or choose another place."
    return "Choose another place, or make room there."


def _check_seals(records: HandedOver) -> None:
    for chain in records.chains:
        faults = chain_faults([each.link for each in chain.links], chain.last_link, chain.last_seal)
        if faults:
            raise Refused(
                f"The signed records don't match any more: signed by {chain.keeper}, {faults[0]}.",
                "Have the whole fleet checked; the next keeper's program would refuse the file.",
            )
