"""Why an open discrepancy stands as it does, asked for in words: 'N012MH discrepancy latch'."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from annual_planner.store.review_rows import ReviewLine, StepLine
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Working

AIRWORTHY = {True: "airworthy", False: "not airworthy", None: "not judged"}
LISTED = Rule("14 CFR 43.11(b)", "Open discrepancies are listed for the owner.")
SUMMED = "Where it stands is what its steps add up to; who judged and decided is named there."


def explain_discrepancy(work: Work, aircraft_id: int, words: Sequence[str], today: date) -> Working:
    """Its life, oldest step first, with the questions of a deferral and what was found there before.

    Refused where no open discrepancy of the airplane has all the words, or more than one, with the choices.
    """
    from annual_planner.records.alike import alike
    from annual_planner.store.discrepancy_reads import discrepancy_sheet

    line = _meant(work, aircraft_id, words)
    sheet = discrepancy_sheet(work, line.discrepancy_id)
    before = alike(
        work, aircraft_id, line.zone, line.text, today, cylinder=line.cylinder, but_not=line.discrepancy_id
    )
    stands = (line.state, AIRWORTHY[line.airworthy], line.risk, _decided(line))
    return Working(
        title=f"{line.registration}: {line.text}",
        result=", ".join(each for each in stands if each),
        inputs=(
            Input("found", said_date(line.found_on)),
            Input("age", f"{line.age_days(today)}", "days"),
            Input("found before", before.value.says),
        ),
        steps=tuple(_life(sheet.steps)),
        rules=(LISTED,) if line.airworthy is False else (),
        assumptions=(SUMMED,),
        parts=(before.working,),
    )


def _meant(work: Work, aircraft_id: int, words: Sequence[str]) -> ReviewLine:
    from annual_planner.store.discrepancy_reads import review_ids, review_lines
    from annual_planner.store.review_rows import Filter

    lines = review_lines(work, review_ids(work, Filter(aircraft_id=aircraft_id)))
    found = [line for line in lines if all(word in line.text.lower() for word in words)]
    if len(found) == 1:
        return found[0]
    choices = ", ".join(f"'{line.text}'" for line in found or lines)
    remedy = f"Give words of one: {choices}." if choices else "Nothing is open."
    asked = " ".join(words)
    if not asked:
        raise Refused("Which discrepancy was meant?", remedy)
    if found:
        raise Refused(f"'{asked}' may mean several discrepancies.", remedy)
    raise Refused(f"No open discrepancy of this airplane says '{asked}'.", remedy)


def _life(steps: Sequence[StepLine]) -> Iterator[Step]:
    """Each step with its day, by whom and what was said; then the questions of the last deferral."""
    for step in steps:
        by = f", {step.name}" if step.name else ""
        yield Step(f"{said_date(step.on)}{by}: {step.said or step.step}", step.step)
    told = [step.facts["working"] for step in steps if isinstance(step.facts.get("working"), dict)]
    for asked in told[-1].get("steps", ()) if told else ():
        yield Step(f"deferral: {asked['text']}", str(asked["result"]))


def _decided(line: ReviewLine) -> str:
    until = f" until {said_date(line.deferred_until)}" if line.deferred_until else ""
    return f"{line.disposition}{until}"
