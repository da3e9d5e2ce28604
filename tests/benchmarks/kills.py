"""The program killed (kill -9) at random moments and at each named step; what is left is judged from outside.

`python -m tests.benchmarks.kills --kills 1000` lets a process record and sign through the real service layer.
It says what was committed after each commit, in a pipe; the list is kept here, outside the database.
After each kill another process reads the fleet: is all that was confirmed there, nothing half done, the chain
whole?

Processes are forked from one that has imported everything and never opens a fleet itself.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import signal
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from annual_planner.records.apply import apply
from annual_planner.records.chain import check_chain
from annual_planner.records.readings import RecordReading
from annual_planner.store import schema
from annual_planner.store.backup import backup, restore
from annual_planner.store.engines import file_engine
from annual_planner.store.faults import check
from annual_planner.store.file_marks import APPLICATION_ID
from annual_planner.store.named_steps import COPYING, MIGRATING, SIGNING, TAKING_IN, listen
from annual_planner.store.opening import open_fleet
from annual_planner.store.record_rows import Link
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import links
from annual_planner.store.writing import rows_where
from tests.exchange.hand_over.handed import good_file, rows_in, take_in
from tests.fleets import TODAY
from tests.signing import Shop, draft, shop_in, signed

KILLS_IN_ONE_FLEET = 50


@dataclass
class Judged:
    """What came of the kills."""

    kills: int = 0
    confirmed: int = 0
    lost: list[str] = field(default_factory=list)
    half: list[str] = field(default_factory=list)
    chain_faults: list[str] = field(default_factory=list)
    file_faults: list[str] = field(default_factory=list)

    @property
    def good(self) -> bool:
        return not (self.lost or self.half or self.chain_faults or self.file_faults)

    def __str__(self) -> str:
        found = (f"{name} {len(getattr(self, name))}" for name in ("half", "chain_faults", "file_faults"))
        return (
            f"{self.kills} kills, lost: {len(self.lost)} of {self.confirmed} confirmed writes; "
            f"half done, chain and file faults: {', '.join(found)}"
        )


def in_a_process(job: Callable[[int], None], kill_after_s: float | None = None) -> bytes:
    """Run `job` with the end of a pipe to write to, in a process of its own; what it wrote until its end."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        status = 1
        try:
            job(writes)
            status = 0
        finally:
            os._exit(status)
    os.close(writes)
    return _until_its_end(child, reads, kill_after_s)


def _until_its_end(child: int, reads: int, kill_after_s: float | None) -> bytes:
    told = b""
    if kill_after_s is not None:
        told = os.read(reads, 65_536)  # it has begun
        time.sleep(kill_after_s)
        os.kill(child, signal.SIGKILL)
    while more := os.read(reads, 65_536):
        told += more
    os.close(reads)
    os.waitpid(child, 0)
    return told


def say(pipe: int, *words: object) -> None:
    """Confirm one write to whoever keeps the list."""
    os.write(pipe, (" ".join(map(str, words)) + "\n").encode())


def made_shop(path: Path) -> Shop:
    """A fleet with people and keys; made in a process of its own."""

    def make(pipe: int) -> None:
        with open_fleet(path, create=True) as fleet:
            made = shop_in(fleet)
            ids = (made.inspector, made.mechanic, made.owner, made.manager, made.aircraft_id)
            say(pipe, *ids)

    ids = [int(word) for word in in_a_process(make).split()]
    return Shop(None, *ids)  # type: ignore[arg-type]


def record_and_sign(path: Path, shop: Shop, run: int) -> Callable[[int], None]:
    """Goes on drafting, signing and reading meters until it is killed."""

    def work(pipe: int) -> None:
        with open_fleet(path) as fleet:
            here = Shop(fleet, shop.inspector, shop.mechanic, shop.owner, shop.manager, shop.aircraft_id)
            say(pipe, "begun")
            for number in range(10_000):
                entry = draft(here, text=f"Run {run}, piece {number}.")
                say(pipe, "draft", entry)
                say(pipe, "signed", signed(here, "log_entry", entry, here.mechanic).made_id, entry)
                say(pipe, "reading", _read_meter(fleet, here, run * 100 + number))

    return work


def _read_meter(fleet: Fleet, shop: Shop, number: int) -> int | None:
    on, hours = TODAY + timedelta(days=number), Decimal(1600) + Decimal(number) / 10
    return apply(fleet, RecordReading(shop.aircraft_id, on, hours), "a test", TODAY).made_id


def read_back(path: Path) -> dict[str, Any]:
    """What the fleet holds, read in a process of its own."""

    def read(pipe: int) -> None:
        with open_fleet(path) as fleet:
            faults = check(fleet)
            with fleet.reading() as work:
                entries = {row_id: row["state"] for row_id, row in rows_where(work, "log_entry").items()}
                chained = [link.sealed for link in links(work) if isinstance(link, Link)]
                record_of = {sealed.link: sealed.subject_id for sealed in chained}
                readings = list(rows_where(work, "meter_reading"))
                chain = [str(fault) for fault in check_chain(work).value.faults]
        held = {"entries": entries, "signed": record_of, "readings": readings, "chain": chain, "file": faults}
        os.write(pipe, json.dumps(held).encode())

    return json.loads(in_a_process(read))  # type: ignore[no-any-return]


def judge(told: list[str], held: dict[str, Any], judged: Judged) -> None:
    """Hold the list of what was confirmed against what the fleet holds."""
    judged.confirmed += len(told)
    judged.lost += [line for line in told if not _is_there(line.split(), held)]
    about = {str(subject) for subject in held["signed"].values()}
    for entry, state in held["entries"].items():
        if (state == "signed") != (entry in about):
            judged.half.append(f"entry {entry} is {state}")
    judged.chain_faults += held["chain"]
    judged.file_faults += held["file"]


def _is_there(words: list[str], held: dict[str, Any]) -> bool:
    if words[0] == "draft":
        return words[1] in held["entries"]
    if words[0] == "signed":
        return held["signed"].get(words[1]) == int(words[2]) and held["entries"][words[2]] == "signed"
    return int(words[1]) in held["readings"]


def random_kills(folder: Path, kills: int, seed: int = 1) -> Judged:
    """Kill the program at random moments, and judge after each."""
    chance, judged, told = random.Random(seed), Judged(), []
    for run in range(kills):
        place = run % KILLS_IN_ONE_FLEET
        if place == 0:
            told = []
            path = folder / f"killed_{run}.fleet"
            shop = made_shop(path)
        said = in_a_process(record_and_sign(path, shop, place), chance.uniform(0, 0.8))
        new = [line for line in said.decode().split("\n")[:-1] if line != "begun"]
        told += new
        _judge_run(path, told, new, judged)
    return judged


def _judge_run(path: Path, told: list[str], new: list[str], judged: Judged) -> None:
    """Everything confirmed in this fleet so far is looked for again; only the new lines are counted."""
    judged.kills += 1
    before = judged.confirmed
    judge(told, read_back(path), judged)
    judged.confirmed = before + len(new)


def killed_at(step: str, job: Callable[[], None]) -> bool:
    """Run a job that kills itself at a named step; whether it got there."""

    def work(pipe: int) -> None:
        def end(reached: str) -> None:
            if reached == step:
                say(pipe, "reached")
                os.kill(os.getpid(), signal.SIGKILL)

        listen(end)
        job()

    return in_a_process(work) == b"reached\n"


def kill_while_signing(folder: Path, step: str) -> Judged:
    """The signature is there whole with its state, or not at all; it is there after the last step."""
    path, judged = folder / f"{SIGNING.index(step)}.fleet", Judged(kills=1)
    shop = made_shop(path)

    def act() -> None:
        with open_fleet(path) as fleet:
            here = Shop(fleet, shop.inspector, shop.mechanic, shop.owner, shop.manager, shop.aircraft_id)
            signed(here, "log_entry", draft(here), here.mechanic)

    if not killed_at(step, act):
        judged.half.append(f"'{step}' was never reached")
    held = read_back(path)
    judge(["signed 1 1"] if step == "signed" else ["draft 1"], held, judged)
    if step != "signed" and held["signed"]:
        judged.half.append(f"signed though killed at '{step}'")
    return judged


def kill_while_copying(folder: Path, step: str, copy: Callable[[Path, Path], object]) -> Judged:
    """The copy is there whole or not at all, the source is as it was, and the next copy goes well."""
    source, target = folder / "source.fleet", folder / f"{COPYING.index(step)}.copy"
    judged = Judged(kills=1)
    made_shop(source)
    if not killed_at(step, lambda: copy(source, target)):
        judged.half.append(f"'{step}' was never reached")
    judge([], read_back(source), judged)
    if target.exists():
        judge([], read_back(target), judged)
    elif step == "copy renamed":
        judged.lost.append("the copy")
    in_a_process(lambda _: copy(source, folder / "again.copy") and None)
    judge([], read_back(folder / "again.copy"), judged)
    return judged


def back_up(source: Path, target: Path) -> object:
    """A copy of an open fleet."""
    with open_fleet(source, read_only=True) as fleet:
        return backup(fleet, target)


def kill_while_migrating(folder: Path, step: str) -> Judged:
    """The old fleet is brought up whole or left as it was, and the next opening brings it up."""
    path, judged = folder / f"old_{MIGRATING.index(step)}.fleet", Judged(kills=1)
    in_a_process(lambda _: _make_old(path))
    if not killed_at(step, lambda: open_fleet(path).close()):
        judged.half.append(f"'{step}' was never reached")

    def count(pipe: int) -> None:
        with open_fleet(path) as fleet, fleet.reading() as work:
            say(pipe, len(rows_where(work, "person")), len(check(fleet)), check_chain(work).value.whole)

    if in_a_process(count) != b"1 0 True\n":
        judged.lost.append("the person in the old fleet")
    backups = list(folder.glob(f"{path.name}.before-*"))
    if not backups or any(each.stat().st_size == 0 for each in backups):
        judged.lost.append("the backup before the upgrade")
    return judged


def _make_old(path: Path) -> None:
    """A fleet of the schema before signatures, with somebody in it."""
    from alembic import command

    path.touch()
    engine = file_engine(path)
    with engine.execution_options(fleet_write=True).begin() as connection:
        command.upgrade(schema._config(connection), "0003")
        connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
        connection.exec_driver_sql(
            "INSERT INTO person (name, roles, contact, version) VALUES ('Ann Quill', '[]', '', 1)"
        )
    engine.dispose()


def kill_while_taking_in(folder: Path, step: str) -> Judged:
    """Nothing of the airplane is there, and taking it in again goes well."""
    judged = Judged(kills=1)
    in_a_process(lambda _: (folder / "handed.zip").write_bytes(good_file(folder)) and None)
    path, content = folder / "next.fleet", (folder / "handed.zip").read_bytes()
    in_a_process(lambda _: open_fleet(path, create=True).close())

    def act() -> None:
        with open_fleet(path) as fleet:
            take_in(fleet, content)

    def count(pipe: int) -> None:
        with open_fleet(path) as fleet:
            say(pipe, rows_in(fleet), len(check(fleet)))

    if not killed_at(step, act):
        judged.half.append(f"'{step}' was never reached")
    if in_a_process(count) != b"0 0\n":
        judged.half.append("the airplane")
    in_a_process(lambda _: act())
    if in_a_process(count).startswith(b"0 "):
        judged.lost.append("the airplane taken in again")
    return judged


def named_kills(folder: Path) -> dict[str, Judged]:
    """One kill at every named step of signing, migrating, backing up, restoring and taking in."""
    found: dict[str, Judged] = {}
    for number, (name, steps, kill) in enumerate(_NAMED):
        for place, step in enumerate(steps):
            inner = folder / f"{number}_{place}"
            inner.mkdir()
            found[f"{name}: {step}"] = kill(inner, step)
    return found


_NAMED: tuple[tuple[str, tuple[str, ...], Callable[[Path, str], Judged]], ...] = (
    ("signing", SIGNING, kill_while_signing),
    ("migrating", MIGRATING, kill_while_migrating),
    ("backing up", COPYING, lambda folder, step: kill_while_copying(folder, step, back_up)),
    ("restoring", COPYING, lambda folder, step: kill_while_copying(folder, step, restore)),
    ("taking in", TAKING_IN, kill_while_taking_in),
)


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        at_steps = named_kills(Path(folder))
        at_random = random_kills(Path(folder), given.kills, given.seed)
    for name, judged in at_steps.items():
        print(f"{name}: {'good' if judged.good else judged}")
    print(f"at random: {at_random}")
    return 0 if at_random.good and all(each.good for each in at_steps.values()) else 1


if __name__ == "__main__":
    raise SystemExit(main())
