"""Tables of the compression test: rules by which readings are judged, leak paths, the recheck ladder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import Annotated

from pydantic import Field, StrictBool, ValidationInfo, field_validator

from annual_planner.library.cautions import CAUTIONS
from annual_planner.library.faults import Fault, refuse
from annual_planner.library.files import Kind, Shelf, read_shelf, shipped
from annual_planner.library.rows import Real, Row, Text, Word, Words
from annual_planner.trade.compression import JudgingRule, SpreadRule
from annual_planner.trade.recheck import LeakPath, Nature, RecheckStep, Urgency

Psi = Annotated[Real, Field(gt=0, le=200)]


class SpreadRow(Row):
    """The spread between cylinders in a [[rule]]; each figure not under the one before it."""

    normal_psi: Psi
    sooner_psi: Psi
    investigate_psi: Psi

    @field_validator("sooner_psi", "investigate_psi")
    @classmethod
    def _rises(cls, value: float, info: ValidationInfo) -> float:
        if value < max((v for v in info.data.values() if isinstance(v, float)), default=0.0):
            raise ValueError("a figure not under the one before it")
        return value

    def value(self) -> SpreadRule:
        """Give the trade's value."""
        return SpreadRule(self.normal_psi, self.sooner_psi, self.investigate_psi)


class RuleRow(Row):
    """One [[rule]] by which readings are judged."""

    key: Word
    title: Text
    citation: Text
    max_loss_fraction: Annotated[Real, Field(gt=0, lt=1)] | None = None
    master_floor: StrictBool = False
    watch_below_psi: Psi | None = None
    spread: SpreadRow | None = None

    def value(self) -> JudgingRule:
        """Give the trade's value."""
        return JudgingRule(
            self.key,
            self.title,
            self.citation,
            self.max_loss_fraction,
            self.master_floor,
            self.watch_below_psi,
            None if self.spread is None else self.spread.value(),
        )


class PathRow(Row):
    """One [[path]] air takes."""

    key: Word
    heard_at: Text
    path: Text
    nature: Nature
    urgency: Urgency
    suggests: Text
    citation: Text

    def value(self) -> LeakPath:
        """Give the trade's value."""
        return LeakPath(
            self.key, self.heard_at, self.path, self.nature, self.urgency, self.suggests, self.citation
        )


class StepRow(Row):
    """One [[step]] of the ladder."""

    key: Word
    title: Text
    text: Text
    shows: Text
    citation: Text
    cautions: Words = ()
    read_again: StrictBool = True
    needed: StrictBool = True

    def value(self) -> RecheckStep:
        """Give the trade's value."""
        return RecheckStep(
            self.key,
            self.title,
            self.text,
            self.shows,
            self.citation,
            self.cautions,
            self.read_again,
            self.needed,
        )


RULES = Kind("compression_rules", "rule", RuleRow)
PATHS = Kind("leak_paths", "path", PathRow)
STEPS = Kind("recheck_ladder", "step", StepRow)


@dataclass(frozen=True, slots=True)
class CompressionFacts:
    """All tables of the compression test, in the order of their files."""

    rules: tuple[JudgingRule, ...]
    paths: tuple[LeakPath, ...]
    ladder: tuple[RecheckStep, ...]

    def rule(self, key: str) -> JudgingRule:
        """Give the rule with this key. KeyError where there is none."""
        return {rule.key: rule for rule in self.rules}[key]


def load_compression(*folders: Traversable) -> CompressionFacts:
    """Read what ships with the program, then a shop's folders, whose rows add to or replace by key.

    Refused with every fault of every file.
    """
    places = (shipped(), *folders)
    rules, paths, steps = (read_shelf(RULES, places), read_shelf(PATHS, places), read_shelf(STEPS, places))
    cautions = read_shelf(CAUTIONS, places)
    refuse([*rules.faults, *paths.faults, *steps.faults, *cautions.faults, *_unknown(steps, cautions.named)])
    return CompressionFacts(
        tuple(entry.row.value() for entry in rules.entries.values()),
        tuple(entry.row.value() for entry in paths.entries.values()),
        tuple(entry.row.value() for entry in steps.entries.values()),
    )


def _unknown(steps: Shelf[StepRow], cautions: set[str]) -> Iterator[Fault]:
    for key, entry in steps.entries.items():
        for name in entry.row.cautions:
            if name not in cautions:
                yield steps.fault(key, "cautions", "keys of cautions", f"the unknown key {name}")
