"""The compression test of one engine type: its restrictor and the rule its readings are judged by."""

from __future__ import annotations

from annual_planner.trade.compression import JudgingRule, SpreadRule
from annual_planner.trade.engines import CompressionKind, EngineType, RestrictorChoice
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.restrictor import restrictor_for
from annual_planner.trade.working import Rule, Worked, Working

PUBLISHED_LOSS = 0.25
"""Share of the pressure put in that may be lost where the maker is silent: FAA AC 43.13-1B 8-14 b(5)(i)."""


def restrictor_of(engine: EngineType) -> Worked[float]:
    """Restrictor diameter, in, for an engine type: its maker's own, else by its bore, else Refused."""
    fixed = engine.restrictor.choice is RestrictorChoice.FIXED
    answer = restrictor_for(engine.bore_in, engine.restrictor.fixed_in if fixed else None)
    rules = (Rule(engine.restrictor.source or "engine type"), *answer.working.rules)
    working = Working(
        f"Restrictor for {engine.title}",
        answer.working.result,
        answer.working.inputs,
        answer.working.steps,
        rules,
    )
    return Worked(answer.value, working)


def judging_rule_of(engine: EngineType) -> JudgingRule:
    """The rule an engine type's readings are judged by.

    Where the maker gives a lowest reading, its share of 80 psi; where none and no master either, the
    published quarter. Above the maker's spread the weakest cylinder is investigated; it has no steps.
    """
    given, most = engine.compression, engine.compression.spread_psi
    by_master = given.kind is CompressionKind.MASTER_ORIFICE
    loss = PUBLISHED_LOSS if given.lowest_psi is None else 1 - given.lowest_psi / REGULATED_PSI
    return JudgingRule(
        key=engine.key,
        title=f"{engine.title}: {given.kind.value.replace('_', ' ')}",
        citation=given.source,
        max_loss_fraction=None if by_master and given.lowest_psi is None else loss,
        master_floor=by_master,
        spread=None if most is None else SpreadRule(most, most, most),
    )
