"""The published schema, the models, the tables and real files say the same."""

from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator

from annual_planner.exchange.hand_over.form import Tables, schema_bytes, shipped_schema
from annual_planner.store.hand_over_reads import table_of
from annual_planner.store.hand_over_rows import CARRIED, LEFT
from annual_planner.store.tables import METADATA
from tests.exchange.hand_over.repacked import RECORDS, STATEMENT, parts_of

STAYS = {
    "certificate", "due", "aircraft_standing", "audit", "fleet_fact", "log_entry", "signed_record",
    "person_key", "received_chain", "received_record", "kept_view", "open_hours", "days_off", "shop_thing",
    "part_arrival", "card_pin", "laid_out", "planned_visit", "owner_wish", "public_holidays",
}  # fmt: skip
"""The keeper's own business, what is worked out anew, and what goes along as chains of signed records."""


def test_the_shipped_schema_is_made_of_the_models() -> None:
    assert shipped_schema() == schema_bytes()


def test_every_table_either_goes_along_or_is_known_to_stay() -> None:
    assert set(CARRIED) == set(Tables.model_fields)
    assert set(METADATA.tables) - set(CARRIED) == STAYS


@pytest.mark.parametrize("name", CARRIED)
def test_a_table_in_the_file_has_the_columns_of_the_fleet(name: str) -> None:
    [model] = Tables.model_fields[name].annotation.__args__  # type: ignore[union-attr]
    columns = {column.name for column in table_of(name).columns}
    assert set(model.model_fields) == columns - {"version", *LEFT.get(name, ())}


def test_a_validator_of_others_finds_a_real_file_right_and_a_changed_one_wrong(good: bytes) -> None:
    parts = parts_of(good)
    schema = json.loads(parts["records.schema.json"])
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    told = json.loads(parts[RECORDS])
    assert list(validator.iter_errors(told)) == []
    told["tables"]["meter"][0]["offset_hours"] = 1.5
    del told["tables"]["aircraft"][0]["serial"]
    told["chains"][0]["records"][0]["seal"] = "short"
    assert len(list(validator.iter_errors(told))) == 3
    statement = validator.evolve(schema={**schema["$defs"]["ClosingStatement"], "$defs": schema["$defs"]})
    stated = json.loads(parts[STATEMENT])
    assert list(statement.iter_errors(stated)) == []
    assert len(list(statement.iter_errors({**stated, "signature": {}, "more": 1}))) > 1
