"""Edits of a discrepancy's life after it was found: judged, decided, in work, corrected, inspected, reopened.

Each writes a dated step with the person and keeps the row in line with what the steps add up to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_rows import (
    ROW,
    Taken,
    aircraft_of,
    check_day,
    held,
    held_life,
    step_edits,
)
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import ChangeRow, RowEdit, Several, Subject
from annual_planner.store.writing import changed_meanwhile
from annual_planner.trade import discrepancy_life as life
from annual_planner.trade.discrepancy_life import Life, decision_fault, may_follow
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked, as_dict

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.trade.deferral import Deferral


@dataclass(frozen=True, slots=True)
class Step:
    """One step in the life of a discrepancy; the edits below say which."""

    discrepancy_id: int
    on: date
    at: datetime | None
    person_id: int | None
    said: str = ""
    saw: Life | None = field(default=None, kw_only=True)
    """How it stood when the person looked; None where nobody did, as for a step read from a file."""

    @property
    def step(self) -> str:
        """Which step it is."""
        raise NotImplementedError

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"discrepancy: {self.step}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the step. Refused where it can't follow, says too little, or is dated wrongly.

        Raises ChangedMeanwhile where it no longer stands as it was seen.
        """
        values = held(work, self.discrepancy_id)
        self._check_seen(work, held_life(values))
        of = Subject("discrepancy", self.says, aircraft_of(values))
        return self.edit(of, values, today).apply(work, today)

    def edit(self, of: Subject, values: Mapping[str, object], today: date) -> RowEdit:
        """The rows to be written. Refused as in `apply`."""
        check_day(self.on, values, today)
        now = held_life(values)
        self.check(now)
        taken = Taken(self.step, self.on, self.at, self.person_id, self.said)
        return step_edits(of, self.discrepancy_id, now, taken, self.facts())[0]

    def _check_seen(self, work: Work, now: Life) -> None:
        if self.saw is None or self.saw == now:
            return
        saw, holds = asdict(self.saw), asdict(now)
        wants = {name: value for name, value in self.facts().items() if name in holds}
        raise changed_meanwhile(
            work, ROW, self.discrepancy_id, "discrepancy", saw=saw, wants=wants, now=holds
        )

    def facts(self) -> dict[str, object]:
        """What the step settles."""
        return {}

    def check(self, now: Life) -> None:
        """Refused where the step can't come next."""
        fault = may_follow(now, self.step)
        if fault:
            raise Refused(f"The discrepancy can't be set to '{self.step}'.", fault)


def _words(said: str, what: str) -> None:
    if not said.strip():
        raise Refused(f"This step needs a few words: {what}.", "Write them down, then try again.")


@dataclass(frozen=True, slots=True)
class Judge(Step):
    """Say whether the airplane is airworthy with it, and how much it matters. The person who judges is named.

    Fields in order: discrepancy_id, on, at, person_id, said, airworthy, risk.
    """

    airworthy: bool = False
    risk: str = ""

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.JUDGED

    def facts(self) -> dict[str, object]:
        """What it settles."""
        return {"airworthy": self.airworthy, **({"risk": self.risk} if self.risk else {})}

    def check(self, now: Life) -> None:
        """Refused too without a person, or for a risk that there isn't."""
        Step.check(self, now)
        if self.person_id is None:
            raise Refused("A judgement needs the name of who judged.", "Say who you are, then judge.")
        check_risk(self.risk)

    def edit(self, of: Subject, values: Mapping[str, object], today: date) -> RowEdit:
        """The step, and the risk on the row."""
        step = Step.edit(self, of, values, today)
        if not self.risk or self.risk == values["risk"]:
            return step
        risk = ChangeRow(of, ROW, self.discrepancy_id, {"risk": values["risk"]}, {"risk": self.risk})
        return Several(of, (risk, step))


def check_risk(risk: str) -> None:
    """Refused for a risk that there isn't; empty is 'not said'."""
    if risk and risk not in life.RISKS:
        raise Refused(f"There is no risk '{risk}'.", f"Choose among {', '.join(life.RISKS)}.")


@dataclass(frozen=True, slots=True)
class Decide(Step):
    """Decide what becomes of it. A deferral carries the answer of the deferral rules with its working.

    Fields in order: discrepancy_id, on, at, person_id, said, disposition, deferral.
    """

    disposition: str = ""
    deferral: Worked[Deferral] | None = None

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.DECIDED

    def facts(self) -> dict[str, object]:
        """What it settles, for a deferral with its working."""
        told: dict[str, object] = {"disposition": self.disposition}
        if self.deferral is not None and self.disposition == life.DEFER:
            found = self.deferral.value
            until = found.until.isoformat() if found.until else ""
            told |= {"until": until, "placard": found.placard, "limits": found.limits}
            told |= {"follow up": found.follow_up, "working": as_dict(self.deferral.working)}
        return told

    def check(self, now: Life) -> None:
        """Refused too for what can't be decided about it."""
        Step.check(self, now)
        may = None if self.deferral is None else self.deferral.value.may
        fault = decision_fault(now, self.disposition, deferral_says_may=may)
        if fault:
            raise Refused(fault, f"Decide on one of: {', '.join(life.DISPOSITIONS)}.")


@dataclass(frozen=True, slots=True)
class Begin(Step):
    """Begin to put it right."""

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.IN_WORK


@dataclass(frozen=True, slots=True)
class Correct(Step):
    """It is put right; `said` is what was done, with what data; `major`: by a major repair or alteration."""

    major: bool = False

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.CORRECTED

    def facts(self) -> dict[str, object]:
        """What decides who may sign for it."""
        return {"major": True} if self.major else {}

    def check(self, now: Life) -> None:
        """Refused too without words for what was done, or without who did it."""
        Step.check(self, now)
        _words(self.said, "what was done, and by what data")
        if self.person_id is None:
            raise Refused("Whoever put it right must be named.", "Say who you are.")


@dataclass(frozen=True, slots=True)
class Inspect(Step):
    """The correction was inspected and signed for, on paper or by a signature of the program."""

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.INSPECTED

    def check(self, now: Life) -> None:
        """Refused too without who inspected it."""
        Step.check(self, now)
        if self.person_id is None:
            raise Refused("Whoever inspected it must be named.", "Say who you are.")


@dataclass(frozen=True, slots=True)
class Reopen(Step):
    """It is there again, or wasn't put right; `said` is why. What was written before stays."""

    @property
    def step(self) -> str:
        """Which step it is."""
        return life.REOPENED

    def check(self, now: Life) -> None:
        """Refused too without a reason."""
        Step.check(self, now)
        _words(self.said, "why it is reopened")


@dataclass(frozen=True, slots=True)
class OwnerAnswered:
    """What the owner answered, when and how ('by telephone')."""

    discrepancy_id: int
    answer: str
    how: str
    on: date
    at: datetime | None = None
    person_id: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "owner's answer"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down; it is no longer the owner who is waited for. Refused for an empty answer or way."""
        _words(self.answer, "what the owner answered")
        _words(self.how, "how the answer was given")
        facts = {"answer": self.answer.strip(), "how": self.how.strip()}
        return _settle(work, today, self.discrepancy_id, self.says, self._taken(), facts)

    def _taken(self) -> Taken:
        return Taken(life.ANSWERED, self.on, self.at, self.person_id, self.answer)


@dataclass(frozen=True, slots=True)
class WaitFor:
    """Say who or what is waited for; '' when nothing is."""

    discrepancy_id: int
    for_whom: str
    on: date
    at: datetime | None = None
    person_id: int | None = None
    said: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"waiting for {self.for_whom or 'nothing'}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for something that can't be waited for."""
        check_waits(self.for_whom)
        taken = Taken(life.WAITING, self.on, self.at, self.person_id, self.said)
        return _settle(work, today, self.discrepancy_id, self.says, taken, {"for": self.for_whom})


def check_waits(for_whom: str) -> None:
    """Refused for something that can't be waited for."""
    if for_whom and for_whom not in life.WAITS:
        raise Refused(f"Nothing waits for '{for_whom}'.", f"Choose among {', '.join(life.WAITS)}.")


def _settle(
    work: Work, today: date, discrepancy_id: int, says: str, taken: Taken, facts: Mapping[str, object]
) -> Changed:
    values = held(work, discrepancy_id)
    of = Subject("discrepancy", says, aircraft_of(values))
    return waiting_edit(of, discrepancy_id, values, today, taken, facts).apply(work, today)


def waiting_edit(
    of: Subject,
    discrepancy_id: int,
    values: Mapping[str, object],
    today: date,
    taken: Taken,
    facts: Mapping[str, object],
) -> RowEdit:
    """A step that leaves the state as it is. Refused where it can't come next, or is dated wrongly."""
    check_day(taken.on, values, today)
    now = held_life(values)
    fault = may_follow(now, taken.step)
    if fault:
        raise Refused("That can't be written on this discrepancy now.", fault)
    return step_edits(of, discrepancy_id, now, taken, facts)[0]
