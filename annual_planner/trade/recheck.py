"""After a low reading: where the air is heard, and what is tried before a cylinder is condemned.

One low reading is a question, not an answer. Leak paths and steps are data files; this is how they are used.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working


class Nature(StrEnum):
    """Whether a leak stays where it is, or changes with ring position and oil."""

    STATIC = "static"
    DYNAMIC = "dynamic"


class Urgency(StrEnum):
    """How much a leak path worries, the worst first."""

    FIRST = "look here first"
    CORRECT = "correct it"
    WATCH = "seldom urgent by itself"

    @property
    def order(self) -> int:
        """Place in the order, from 0."""
        return tuple(Urgency).index(self)


@dataclass(frozen=True, slots=True)
class LeakPath:
    """Where air is heard or seen, the path it takes, and what that suggests."""

    key: str
    heard_at: str
    path: str
    nature: Nature
    urgency: Urgency
    suggests: str
    citation: str


@dataclass(frozen=True, slots=True)
class RecheckStep:
    """One rung of the ladder: what is done, what it can show, and the cautions that go with it by key.

    `read_again`: the cylinder is read afterwards. `needed`: the cylinder isn't condemned before it was done.
    """

    key: str
    title: str
    text: str
    shows: str
    citation: str
    cautions: tuple[str, ...] = ()
    read_again: bool = True
    needed: bool = True


@dataclass(frozen=True, slots=True)
class RecheckDone:
    """One rung done: the reading after it, psi, where one was taken; damage seen; or why it was left out."""

    step: str
    reading_psi: float | None = None
    damage: str = ""
    left_out: str = ""


class Advice(StrEnum):
    """What the ladder advises; the person who signs decides."""

    GO_ON = "go on"
    CAME_BACK = "came back: record both readings and test again sooner"
    TAKE_OFF = "remove the cylinder and inspect"


@dataclass(frozen=True, slots=True)
class Recheck:
    """Where a cylinder stands on the ladder: the advice, the next rung, all rungs still open."""

    advice: Advice
    next_step: RecheckStep | None
    still_open: tuple[RecheckStep, ...]
    reading_psi: float


def leak_paths_heard(heard: Iterable[str], known: Sequence[LeakPath]) -> Worked[tuple[LeakPath, ...]]:
    """Leak paths by the keys of where air was heard, the most worrying first. Refused for an unknown key."""
    by_key = {path.key: path for path in known}
    keys = list(dict.fromkeys(heard))
    unknown = [key for key in keys if key not in by_key]
    if unknown:
        raise Refused(
            f"No leak path is called {', '.join(unknown)}.", f"Choose among {', '.join(sorted(by_key))}."
        )
    paths = tuple(sorted((by_key[key] for key in keys), key=lambda path: path.urgency.order))
    result = "; ".join(f"{path.path} ({path.nature})" for path in paths) or "nothing was heard"
    working = Working(
        "Leak path",
        result,
        tuple(Input("air heard at", path.heard_at) for path in paths),
        tuple(Step(f"{path.path}: {path.urgency}", path.suggests) for path in paths),
        tuple(Rule(citation) for citation in dict.fromkeys(path.citation for path in paths)),
        ("Ears find the path, not the size; more than one path can leak at once.",),
    )
    return Worked(paths, working)


def recheck(
    first_psi: float, lowest_psi: float, done: Sequence[RecheckDone], ladder: Sequence[RecheckStep]
) -> Worked[Recheck]:
    """What comes next for a cylinder that read low, psi; `lowest_psi` itself is good.

    Damage seen ends the ladder. A cylinder is not condemned while a needed rung is open; one may be left out
    only with a reason. Refused for rungs unknown, done twice, or without the reading they call for.
    """
    rungs = {step.key: step for step in ladder}
    _check_done(done, rungs)
    reading = next((each.reading_psi for each in reversed(done) if each.reading_psi is not None), first_psi)
    gone = {each.step for each in done}
    still_open = tuple(step for step in ladder if step.key not in gone)
    advice, reason = _advised(reading, lowest_psi, done, still_open)
    next_step = still_open[0] if advice is Advice.GO_ON else None
    value = Recheck(advice, next_step, still_open, reading)
    result = f"{advice}: {next_step.title}" if next_step is not None else str(advice)
    working = Working(
        "Checking a low cylinder again",
        result,
        (
            Input("first reading", f"{first_psi:g}", "psi"),
            Input("lowest that is good", f"{lowest_psi:g}", "psi"),
        ),
        (*(Step(rungs[each.step].title, _found(each)) for each in done), Step(reason)),
        tuple(Rule(citation) for citation in dict.fromkeys(step.citation for step in ladder)),
        ("The maker's instructions go first; the person who signs decides.",),
    )
    return Worked(value, working)


def _advised(
    reading_psi: float, lowest_psi: float, done: Sequence[RecheckDone], still_open: Sequence[RecheckStep]
) -> tuple[Advice, str]:
    damage = next((each.damage for each in done if each.damage), "")
    if damage:
        return Advice.TAKE_OFF, f"damage was seen ({damage}): no reading outweighs it"
    if reading_psi >= lowest_psi:
        return Advice.CAME_BACK, f"the last reading, {reading_psi:g} psi, is at or above {lowest_psi:g} psi"
    needed = [step.title for step in still_open if step.needed]
    if needed:
        return Advice.GO_ON, f"still {reading_psi:g} psi; not condemned before: {', '.join(needed)}"
    return Advice.TAKE_OFF, f"still {reading_psi:g} psi after every needed step"


def _found(done: RecheckDone) -> str:
    if done.left_out:
        return f"left out: {done.left_out}"
    said = [] if done.reading_psi is None else [f"{done.reading_psi:g} psi"]
    return ", ".join([*said, *([done.damage] if done.damage else [])]) or "nothing found"


def _check_done(done: Sequence[RecheckDone], rungs: dict[str, RecheckStep]) -> None:
    faults = []
    for place, each in enumerate(done):
        if each.step not in rungs:
            faults.append(f"'{each.step}' is no step of the ladder")
        elif each.step in {earlier.step for earlier in done[:place]}:
            faults.append(f"'{rungs[each.step].title}' is there twice")
        elif rungs[each.step].read_again and each.reading_psi is None and not (each.damage or each.left_out):
            faults.append(f"'{rungs[each.step].title}' has no reading after it")
    if faults:
        raise Refused(f"The recheck can't be taken: {'; '.join(faults)}.", "Mend these lines.")
