"""Instance files of published sets as problems of the crew: PSPLIB `.sm` and multi-skill `.dzn`."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from datetime import datetime
from itertools import takewhile
from pathlib import Path

from annual_planner.planning.crew.open_time import unbroken
from annual_planner.planning.crew.problem import After, Job, Person, Problem, Seat, Tool

BEGIN = datetime.fromisoformat("2026-05-04")


@dataclass(frozen=True, slots=True)
class Activity:
    """One activity as the files give it: duration, activities after it, amount of each resource or skill."""

    duration: int
    after_it: tuple[int, ...]
    amounts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Instance:
    """A published instance. `mastery`: skills of each person, empty for sets without people."""

    activities: tuple[Activity, ...]
    limits: tuple[int, ...]
    mastery: tuple[tuple[bool, ...], ...] = ()


def read_instance(path: Path) -> Instance:
    """Read a file by its extension. ValueError where what is read is not what the file states of itself."""
    text = path.read_text(encoding="utf-8")
    return single_mode(text) if path.suffix == ".sm" else multi_skill(text)


def single_mode(text: str) -> Instance:
    """A PSPLIB single-mode file."""
    after_it = {row[0]: row[3:] for row in _rows(text, "PRECEDENCE RELATIONS")}
    needs = {row[0]: row[2:] for row in _rows(text, "REQUESTS/DURATIONS")}
    limits = _rows(text, "RESOURCEAVAILABILITIES")[0]
    activities = (Activity(needs[n][0], tuple(after_it[n]), tuple(needs[n][1:])) for n in sorted(needs))
    instance = Instance(tuple(activities), tuple(limits))
    durations = [activity.duration for activity in instance.activities]
    _hold(
        ("jobs", _stated(text, r"^jobs .*:\s*(\d+)"), len(durations)),
        ("horizon", _stated(text, r"^horizon\s*:\s*(\d+)"), sum(durations)),
        ("renewable resources", _stated(text, r"- renewable\s*:\s*(\d+)"), len(limits)),
        ("MPM-Time", _stated(text, r"MPM-Time\s*\n.*?(\d+)\s*$"), longest_way(instance)),
    )
    return instance


def longest_way(instance: Instance) -> int:
    """Finish of the activities when every resource is plentiful: the longest way through them."""
    begins = [0] * len(instance.activities)
    for _ in instance.activities:
        for n, activity in enumerate(instance.activities):
            for then in activity.after_it:
                begins[then - 1] = max(begins[then - 1], begins[n] + activity.duration)
    return max(begin + a.duration for begin, a in zip(begins, instance.activities, strict=True))


def _stated(text: str, pattern: str) -> int | None:
    """A number the file states about itself; None where it says nothing."""
    found = re.search(pattern, text, re.MULTILINE)
    return int(found[1]) if found else None


def _hold(*numbers: tuple[str, int | None, int]) -> None:
    """ValueError where what was read is not what the file states."""
    wrong = [
        f"{what}: states {stated}, read {read}"
        for what, stated, read in numbers
        if stated not in (None, read)
    ]
    if wrong:
        raise ValueError("; ".join(wrong))


def _rows(text: str, heading: str) -> list[list[int]]:
    """Rows of whole numbers under a heading, up to the next line of stars."""
    lines = text[text.index(heading) :].splitlines()[1:]
    within = takewhile(lambda line: not line.startswith("*"), lines)
    return [
        [int(word) for word in line.split()]
        for line in within
        if re.fullmatch(r"[\d\s]+", line) and line.strip()
    ]


def multi_skill(text: str) -> Instance:
    """A multi-skill file: durations, needs by skill, who has which skill, pairs of activities in order."""
    pairs = list(zip(_numbers(text, "pred"), _numbers(text, "succ"), strict=True))
    needs, durations = _table(text, "sreq"), _numbers(text, "dur")
    mastery = tuple(tuple(word == "true" for word in row) for row in _table(text, "mastery"))
    activities = (
        Activity(
            steps, tuple(two for one, two in pairs if one == n), tuple(int(word) for word in needs[n - 1])
        )
        for n, steps in enumerate(durations, 1)
    )
    instance = Instance(tuple(activities), (), mastery)
    _hold(
        ("activities", _stated(text, r"^nActs\s*=\s*(\d+)"), len(durations)),
        ("skills", _stated(text, r"^nSkills\s*=\s*(\d+)"), len(mastery[0])),
        ("people", _stated(text, r"^nResources\s*=\s*(\d+)"), len(mastery)),
        ("precedences", _stated(text, r"^nPrecs\s*=\s*(\d+)"), len(pairs)),
        ("needs", _stated(text, r"SumOfsreq\s*=\s*(\d+)"), sum(sum(map(int, row)) for row in needs)),
    )
    return instance


def _numbers(text: str, name: str) -> list[int]:
    found = re.search(rf"^{name}\s*=\s*\[(.*?)\];", text, re.MULTILINE | re.DOTALL)
    assert found, f"no {name}"
    return [int(word) for word in found[1].split(",") if word.strip()]


def _table(text: str, name: str) -> list[list[str]]:
    found = re.search(rf"^{name}\s*=\s*\[\|(.*?)\|\s*\];", text, re.MULTILINE | re.DOTALL)
    assert found, f"no {name}"
    return [
        [word.strip() for word in row.split(",") if word.strip()]
        for row in found[1].split("|")
        if row.strip()
    ]


def as_problem(instance: Instance) -> Problem:
    """The same as work of a crew: limits are tools, needs by skill are seats, a time unit is a step."""
    before = {n: [] for n in range(1, len(instance.activities) + 1)}  # type: dict[int, list[int]]
    for n, activity in enumerate(instance.activities, 1):
        for then in activity.after_it:
            before[then].append(n)
    horizon = sum(activity.duration for activity in instance.activities) + 1
    return Problem(
        shop=unbroken(BEGIN, horizon),
        people=tuple(_person(n, skills) for n, skills in enumerate(instance.mastery, 1)),
        jobs=tuple(
            _job(n, a, before[n], bool(instance.mastery)) for n, a in enumerate(instance.activities, 1)
        ),
        tools=tuple(Tool(f"R{n}", f"resource {n}", limit) for n, limit in enumerate(instance.limits, 1)),
    )


def _person(n: int, skills: tuple[bool, ...]) -> Person:
    return Person(f"P{n}", f"person {n}", frozenset(f"S{s}" for s, has in enumerate(skills, 1) if has))


def _job(n: int, activity: Activity, before: list[int], with_people: bool) -> Job:
    amounts = [(place, amount) for place, amount in enumerate(activity.amounts, 1) if amount]
    seats = [Seat(frozenset({f"S{skill}"})) for skill, amount in amounts for _ in range(amount)]
    return Job(
        key=str(n),
        title=f"activity {n}",
        likely=activity.duration,
        seats=tuple(seats) if with_people else (),
        tools=() if with_people else tuple((f"R{place}", amount) for place, amount in amounts),
        after=tuple(After(str(b)) for b in before),
    )


def best_known(folder: Path) -> dict[str, int]:
    """Best known finish by file name, from a table beside the files; empty when there is none."""
    table = folder / "best_known.csv"
    if not table.exists():
        return {}
    with table.open(encoding="utf-8", newline="") as lines:
        return {row["file"]: int(row["best_known"]) for row in csv.DictReader(lines)}
