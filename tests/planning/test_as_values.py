from __future__ import annotations

import json
import re

from annual_planner.planning import as_values
from annual_planner.planning.as_values import package_as_values
from tests.planning.conftest import Planned


def test_the_values_are_json_and_have_the_keys_that_are_written_down(settled: Planned) -> None:
    values = package_as_values(settled.view())
    assert json.loads(json.dumps(values)) == values
    written = re.findall(r"^\| `(\w+)` \|", as_values.__doc__ or "", flags=re.MULTILINE)
    assert list(values) == written


def test_every_row_has_the_fields_that_are_written_down(settled: Planned) -> None:
    values = package_as_values(settled.view())
    assert set(values["package"]) == {
        "id", "number", "title", "state", "start_on", "horizon_on", "cards", "hours_likely", "today", "demo",
    }  # fmt: skip
    assert set(values["cards"][0]) == {
        "id", "number", "key", "title", "zone", "phase", "kind", "hours", "doer", "signer", "entry",
        "assigned", "origin", "requirement_id", "discrepancy_id", "note", "content",
    }  # fmt: skip
    assert set(values["items"][0]) == {
        "requirement_id", "title", "citation", "force", "interval", "due_on", "due_hours", "forecast_on",
        "state", "proposed", "decided", "reason", "given_up_hours", "given_up_days",
    }  # fmt: skip


def test_dates_hours_and_decisions_read_as_said(settled: Planned) -> None:
    values = package_as_values(settled.view())
    assert values["package"]["start_on"] == "2026-05-11"
    test = next(item for item in values["items"] if item["title"] == "Transponder test")
    assert (test["decided"], test["due_on"], test["given_up_hours"]) == ("do now", "2026-08-31", None)
    assert [card["number"] for card in values["cards"]] == list(range(1, len(values["cards"]) + 1))
    assert re.fullmatch(r"\d+(\.\d+)?", values["cards"][0]["hours"]["likely"])
