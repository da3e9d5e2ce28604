"""Why a discrepancy stands as it does: its steps, one by one, and the working of its deferral."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.discrepancies.seen import Seen
from annual_planner.desktop.discrepancies.sheet import step_text
from annual_planner.desktop.discrepancies.words import age_text, airworthy_word, decided_text
from annual_planner.trade.working import Input, Rule, Step, Working


def why_it_stands(seen: Seen, today: date) -> Working:
    """The working of where it stands: what is written in its life, oldest first."""
    line = seen.sheet.line
    result = ", ".join(
        each for each in (line.state, airworthy_word(line), line.risk, decided_text(line)) if each
    )
    told = [(step, step.facts.get("working")) for step in seen.sheet.steps]
    deferral = [working for _step, working in told if isinstance(working, dict)]
    steps = [Step(step_text(step).replace("\n      ", ": "), step.step) for step in seen.sheet.steps]
    for working in deferral[-1:]:
        steps += [Step(f"Deferral: {each['text']}", str(each["result"])) for each in working.get("steps", ())]
    return Working(
        title=f"{line.registration}: {line.text}",
        result=result,
        inputs=(Input("age", age_text(line.age_days(today))), Input("found before", seen.before.value.says)),
        steps=tuple(steps),
        rules=(Rule("14 CFR 43.11(b)", "Open discrepancies are listed for the owner."),)
        if line.airworthy is False
        else (),
        assumptions=("Where it stands is what its steps add up to; who judged and decided is named there",),
    )
