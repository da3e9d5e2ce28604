"""Differential compression test: what the readings say against the rule of the engine type.

A published limit is applied to the reading as taken. The reading at 80 psi and sea level and the leak ratio
stand beside it, named as computed. Nothing here approves a cylinder: the maker's instructions and the person
who signs do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.flow import NOZZLE, REGULATED_PSI, area_ratio, leak_ratio, reading_of
from annual_planner.trade.pressure import STANDARD_PSI_A
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

READING_SD_PSI = 2.0
"""Standard deviation of one reading, gauge and repetition together. Common practice, no source."""

DIRECT_SHARE = 0.80

DIRECT = Rule("US Army TM 1-1500-204-23-1", "a cylinder 20 % under the mean of all is looked into")

_SLACK = 1e-9


class Verdict(StrEnum):
    """What a reading says before anything was checked again."""

    WITHIN = "within limits"
    WATCH = "watch"
    SUSPECT = "suspect: check again before judging"


class Spread(StrEnum):
    """What the difference between the best and the weakest cylinder says."""

    NORMAL = "normal"
    WIDER = "wider than normal"
    SOONER = "test again sooner"
    INVESTIGATE = "investigate"


@dataclass(frozen=True, slots=True)
class SpreadRule:
    """Differences between cylinders, psi: up to `normal`, from `sooner` on, above `investigate`."""

    normal_psi: float
    sooner_psi: float
    investigate_psi: float

    def of(self, spread_psi: float) -> Spread:
        """Judge a difference in psi, 0 or more."""
        if spread_psi > self.investigate_psi:
            return Spread.INVESTIGATE
        if spread_psi <= self.normal_psi:
            return Spread.NORMAL
        return Spread.SOONER if spread_psi >= self.sooner_psi else Spread.WIDER


@dataclass(frozen=True, slots=True)
class JudgingRule:
    """How the readings of one engine type are judged; what is None or False doesn't apply.

    `max_loss_fraction`: share of the regulated pressure that may be lost, itself still good. `master_floor`:
    no reading under that of the master restrictor. `watch_below_psi`: good, but looked at sooner.
    """

    key: str
    title: str
    citation: str
    max_loss_fraction: float | None = None
    master_floor: bool = False
    watch_below_psi: float | None = None
    spread: SpreadRule | None = None


@dataclass(frozen=True, slots=True)
class Conditions:
    """How a test was made: regulated pressure, air of the day, restrictor and master reading."""

    regulated_psi: float = REGULATED_PSI
    ambient_psi_a: float = STANDARD_PSI_A
    restrictor_in: float | None = None
    master_psi: float | None = None


@dataclass(frozen=True, slots=True)
class JudgedCylinder:
    """One cylinder's reading and what was made of it.

    `index`: None without a master reading. `leak_ratio` and `index`: None where it holds nothing at all.
    """

    cylinder: int
    reading_psi: float
    loss_fraction: float
    verdict: Verdict
    reasons: tuple[str, ...]
    normalized_psi: float
    leak_ratio: float | None
    index: float | None


@dataclass(frozen=True, slots=True)
class JudgedTest:
    """All cylinders of a test in their order, and the spread between best and weakest."""

    cylinders: tuple[JudgedCylinder, ...]
    spread_psi: float
    spread: Spread | None
    weakest: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class JudgedDirect:
    """A direct (cranking) test: mean and limit in psi, and the cylinders under it."""

    mean_psi: float
    limit_psi: float
    flagged: tuple[int, ...]


def normalized_psi(
    reading_psi: float, regulated_psi: float = REGULATED_PSI, ambient_psi_a: float = STANDARD_PSI_A
) -> Worked[float]:
    """Reading, psi, the same leak would give at 80 psi in standard sea-level air; computed, never a limit.

    Refused as `leak_ratio`. While the leak is choked this keeps (reading + air) / (regulated + air).

    >>> round(normalized_psi(60, regulated_psi=78).value, 2)
    61.61
    """
    ratio = leak_ratio(reading_psi, regulated_psi, ambient_psi_a)
    value = reading_of(ratio.value)
    steps = (Step(f"reading of {ratio.value:.4f} restrictors at 80 psi, sea level", f"{value:.2f} psi"),)
    working = Working(
        "Reading as it would be at 80 psi and sea level (computed)",
        f"{value:.1f} psi",
        steps=steps,
        rules=(NOZZLE,),
        assumptions=("The leak is the same whatever the pressure.",),
        parts=(ratio.working,),
    )
    return Worked(value, working)


def master_index(reading_psi: float, master_psi: float, conditions: Conditions) -> Worked[float]:
    """Leak of the cylinder over leak of the master restrictor: 1 or less is at or above the master's reading.

    Both readings psi, same tester, same day. Free of the restrictor's true size and most gauge error.
    Refused as `leak_ratio`, and for a master reading at which nothing leaks.

    >>> round(master_index(60, 43, Conditions()).value, 4)
    0.6545
    """
    own, master = (
        leak_ratio(each, conditions.regulated_psi, conditions.ambient_psi_a)
        for each in (reading_psi, master_psi)
    )
    if not master.value:
        raise Refused("The master restrictor shows no leak.", "Connect it again and read it under pressure.")
    value = own.value / master.value
    steps = (Step(f"{own.value:.4f} / {master.value:.4f} restrictors", f"{value:.4f}"),)
    rules = (Rule("an engine maker's service instruction, via the trade", "not under the master's reading"),)
    parts = (own.working, master.working)
    return Worked(value, Working("Index to the master", f"{value:.3f}", (), steps, rules, (), parts))


def judged_cylinder(
    cylinder: int, reading_psi: float, conditions: Conditions, rule: JudgingRule
) -> Worked[JudgedCylinder]:
    """One reading against the rule of the engine type, applied to the reading as taken.

    Psi gauge. Refused as `leak_ratio` but for 0 psi, which is judged without a leak ratio; and where the rule
    needs a master reading that is missing.
    """
    if reading_psi == 0:
        return _holds_nothing(cylinder, conditions, rule)
    normalized = normalized_psi(reading_psi, conditions.regulated_psi, conditions.ambient_psi_a)
    index = None
    if conditions.master_psi is not None:
        index = master_index(reading_psi, conditions.master_psi, conditions)
    loss = (conditions.regulated_psi - reading_psi) / conditions.regulated_psi
    verdict, reasons = _verdict(reading_psi, loss, conditions, rule)
    value = JudgedCylinder(
        cylinder,
        reading_psi,
        loss,
        verdict,
        reasons,
        normalized.value,
        area_ratio(reading_psi, conditions.regulated_psi, conditions.ambient_psi_a),
        None if index is None else index.value,
    )
    working = Working(
        f"Compression of cylinder {cylinder}",
        f"{reading_psi:g}/{conditions.regulated_psi:g}: {verdict}",
        inputs=_inputs(reading_psi, conditions),
        steps=(
            Step(
                f"lost: ({conditions.regulated_psi:g} - {reading_psi:g}) / {conditions.regulated_psi:g}",
                f"{loss:.2%}",
            ),
            *(Step(reason) for reason in reasons),
        ),
        rules=(Rule(rule.citation, rule.title),),
        assumptions=_assumptions(conditions),
        parts=(normalized.working, *(() if index is None else (index.working,))),
    )
    return Worked(value, working)


def _holds_nothing(cylinder: int, conditions: Conditions, rule: JudgingRule) -> Worked[JudgedCylinder]:
    """A cylinder that reads 0: all is lost, and no hole is large enough to compare it with."""
    verdict, reasons = _verdict(0.0, 1.0, conditions, rule)
    value = JudgedCylinder(cylinder, 0.0, 1.0, verdict, reasons, 0.0, None, None)
    working = Working(
        f"Compression of cylinder {cylinder}",
        f"0/{conditions.regulated_psi:g}: {verdict}",
        inputs=_inputs(0.0, conditions),
        steps=(Step("it holds nothing: no leak ratio"), *(Step(reason) for reason in reasons)),
        rules=(Rule(rule.citation, rule.title),),
        assumptions=(
            *_assumptions(conditions),
            "A valve that sticks open, or a hose that is off, reads so too: come up to top center again.",
        ),
    )
    return Worked(value, working)


def _verdict(
    reading_psi: float, loss: float, conditions: Conditions, rule: JudgingRule
) -> tuple[Verdict, tuple[str, ...]]:
    """Go through every part of the rule; the worst counts, all are said."""
    bad, reasons = [], []
    if rule.max_loss_fraction is not None:
        bad.append(loss > rule.max_loss_fraction + _SLACK)
        reasons.append(_said(bad[-1], f"loss {loss:.2%}", f"{rule.max_loss_fraction:.2%} of what was put in"))
    if rule.master_floor:
        bad.append(reading_psi < _master(conditions) - _SLACK)
        floor = f"master reading {_master(conditions):g} psi"
        reasons.append(f"{reading_psi:g} psi is {'under' if bad[-1] else 'not under'} the {floor}")
    watch = rule.watch_below_psi is not None and reading_psi < rule.watch_below_psi
    if watch:
        reasons.append(f"{reading_psi:g} psi is under {rule.watch_below_psi:g} psi: look at it sooner")
    if any(bad):
        return Verdict.SUSPECT, tuple(reasons)
    return Verdict.WATCH if watch else Verdict.WITHIN, tuple(reasons)


def _said(over: bool, what: str, limit: str) -> str:
    return f"{what} is {'in excess of' if over else 'not in excess of'} {limit}"


def _master(conditions: Conditions) -> float:
    if conditions.master_psi is None:
        raise Refused(
            "This engine type is judged by the master restrictor, and it was not read.",
            "Connect the master restrictor to the tester, read it at the same pressure and enter it.",
        )
    return conditions.master_psi


def _inputs(reading_psi: float, conditions: Conditions) -> tuple[Input, ...]:
    restrictor, master = conditions.restrictor_in, conditions.master_psi
    return (
        Input("reading", f"{reading_psi:g}", "psi", "as taken"),
        Input("regulated", f"{conditions.regulated_psi:g}", "psi"),
        Input("air of the day", f"{conditions.ambient_psi_a:.3f}", "psi absolute"),
        Input(
            "restrictor",
            "not known" if restrictor is None else f"{restrictor:.3f}",
            "" if restrictor is None else "in",
        ),
        *(() if master is None else (Input("master reading", f"{master:g}", "psi"),)),
    )


def _assumptions(conditions: Conditions) -> tuple[str, ...]:
    said = ["Engine hot, read at top center with the piston still, regulator brought back before reading."]
    if conditions.regulated_psi != REGULATED_PSI:
        said.append("The limit is written for 80 psi; here its share of the regulated pressure is used.")
    if conditions.restrictor_in is None:
        said.append("Without the restrictor's size this test can't be compared with another.")
    return tuple(said)


def lowest_good_psi(conditions: Conditions, rule: JudgingRule) -> Worked[float]:
    """Lowest reading, psi, that is still good under the rule at this test; below it a cylinder is read again.

    Refused where the rule needs a master reading that is missing, or has no limit at all.

    >>> lowest_good_psi(Conditions(), JudgingRule("q", "a quarter", "a rule", max_loss_fraction=0.25)).value
    60.0
    """
    limits = []
    if rule.max_loss_fraction is not None:
        kept = conditions.regulated_psi * (1 - rule.max_loss_fraction)
        limits.append((kept, f"{conditions.regulated_psi:g} psi × (1 - {rule.max_loss_fraction:g})"))
    if rule.master_floor:
        limits.append((_master(conditions), "reading of the master restrictor"))
    if not limits:
        raise Refused(f"The rule '{rule.title}' has no lowest reading.", "Give the engine type's limit.")
    lowest = max(psi for psi, _ in limits)
    steps = tuple(Step(text, f"{psi:g} psi") for psi, text in limits)
    rules = (Rule(rule.citation, rule.title),)
    given = (Input("pressure put in", f"{conditions.regulated_psi:g}", "psi"),)
    return Worked(lowest, Working("Lowest good reading", f"{lowest:g} psi", given, steps, rules))


def judged_test(
    readings: Mapping[int, float], conditions: Conditions, rule: JudgingRule
) -> Worked[JudgedTest]:
    """All cylinders of one test (psi by cylinder number) and the spread between them.

    Refused for a test without readings, and as `judged_cylinder`.
    """
    if not readings:
        raise Refused("This test has no readings.", "Read at least one cylinder.")
    judged = [judged_cylinder(number, psi, conditions, rule) for number, psi in sorted(readings.items())]
    high, low = max(readings.values()), min(readings.values())
    spread = rule.spread.of(high - low) if rule.spread is not None else None
    value = JudgedTest(
        tuple(each.value for each in judged),
        high - low,
        spread,
        tuple(number for number, psi in sorted(readings.items()) if psi == low),
    )
    again = sum(each.value.verdict is Verdict.SUSPECT for each in judged)
    step = Step(
        f"best {high:g} psi - weakest {low:g} psi", f"{high - low:g} psi" + (f", {spread}" if spread else "")
    )
    result = f"{again or 'none'} of {len(readings)} to check again, spread {high - low:g} psi"
    parts = tuple(each.working for each in judged)
    rules = (Rule(rule.citation, rule.title),)
    return Worked(value, Working("Compression test", result, (), (step,), rules, (), parts))


def judged_direct(readings_psi: Sequence[float]) -> Worked[JudgedDirect]:
    """A direct (cranking) test, psi, cylinders 1, 2, 3 …: those 20 % under the mean are looked into.

    Refused without readings. Source: US Army TM 1-1500-204-23-1.

    >>> judged_direct([110, 112, 85, 111, 109, 113]).value.flagged
    (3,)
    """
    if not readings_psi:
        raise Refused("This test has no readings.", "Crank at least four turns and read every cylinder.")
    mean = sum(readings_psi) / len(readings_psi)
    limit = DIRECT_SHARE * mean
    flagged = tuple(number for number, psi in enumerate(readings_psi, start=1) if psi <= limit + _SLACK)
    inputs = tuple(Input(f"cylinder {n}", f"{psi:g}", "psi") for n, psi in enumerate(readings_psi, start=1))
    steps = (Step("mean of all", f"{mean:.1f} psi"), Step("80 % of it", f"{limit:.1f} psi"))
    result = f"look into {', '.join(map(str, flagged))}" if flagged else "none 20 % under the mean"
    return Worked(
        JudgedDirect(mean, limit, flagged), Working("Direct test", result, inputs, steps, (DIRECT,))
    )
