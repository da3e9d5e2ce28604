"""The demo's discrepancies as rows: each with the steps of its life, and where they leave it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from annual_planner.trade.discrepancy_life import FOUND, LifeStep, life_of
from demo_fleet.written import WrittenDiscrepancy, WrittenStep

ROW, STEP = "discrepancy", "discrepancy_step"
NOON = time(12)


def discrepancy_rows(
    written: Iterable[WrittenDiscrepancy],
    people: Mapping[str, int],
    airplanes: Mapping[str, int],
    today: date,
) -> dict[str, list[dict[str, Any]]]:
    """Rows of both tables. `people` and `airplanes`: ids by name and by registration."""
    rows: dict[str, list[dict[str, Any]]] = {ROW: [], STEP: []}
    for row_id, defect in enumerate(written, 1):
        steps = list(_steps(defect, people, today))
        life = life_of(LifeStep(each["step"], each["on"], each["facts"]) for each in steps)
        rows[ROW].append(
            {
                "id": row_id,
                "aircraft_id": airplanes[defect.airplane],
                "found_on": today - timedelta(days=defect.days_ago),
                "zone": defect.zone,
                "text": defect.text,
                "how_found": defect.how_found,
                "cylinder": defect.cylinder,
                "hours_estimate": defect.hours,
                "parts": defect.parts,
                "cost_estimate": defect.cost,
                "risk": defect.risk,
                **asdict(life),
            }
        )
        for step in steps:
            rows[STEP].append({"id": len(rows[STEP]) + 1, "discrepancy_id": row_id, **step})
    return rows


def _steps(defect: WrittenDiscrepancy, people: Mapping[str, int], today: date) -> Iterable[dict[str, Any]]:
    found = {"text": defect.text, "zone": defect.zone, "card": None}
    yield _step(FOUND, today - timedelta(days=defect.days_ago), None, defect.how_found, found)
    for each in defect.steps:
        on = today - timedelta(days=each.days_ago)
        yield _step(each.step, on, people[each.by], each.said, _facts(each, defect, today))


def _step(step: str, on: date, person_id: int | None, said: str, facts: dict[str, Any]) -> dict[str, Any]:
    moment = datetime.combine(on, NOON, UTC)
    return {
        "step": step, "on": on, "written_at": moment, "person_id": person_id, "said": said, "facts": facts,
    }  # fmt: skip


def _facts(each: WrittenStep, defect: WrittenDiscrepancy, today: date) -> dict[str, Any]:
    """What a step settles, in the words that the step's edit writes."""
    if each.step == "judged":
        return {"airworthy": each.airworthy, "risk": defect.risk}
    if each.step == "decided":
        until = today + timedelta(days=each.until_in_days) if each.until_in_days is not None else None
        told = {"disposition": each.disposition}
        return told | ({"until": until.isoformat(), "placard": each.placard} if until is not None else {})
    if each.step == "waiting":
        return {"for": each.waits_for}
    return {"answer": each.answer, "how": each.how} if each.step == "answered" else {}
