from __future__ import annotations

import csv
import io
import json
from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.exchange.tables import as_csv, as_json, as_table


def test_numbers_stand_to_the_right_under_their_heading() -> None:
    lines = as_table(("what", "hours"), [["oil", Decimal("9.5")], ["plugs", Decimal("100.0")]]).splitlines()
    assert lines == ["what   hours", "-----  -----", "oil      9.5", "plugs  100.0"]


def test_an_empty_list_says_so() -> None:
    assert as_table(("what",), []) == "nothing"


@given(st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc"))))
def test_no_cell_of_a_csv_file_starts_a_formula(text: str) -> None:
    [_, [cell]] = csv.reader(io.StringIO(as_csv(("remark",), [[text or "x"]])))
    assert not cell.startswith(("=", "+", "-", "@"))


def test_a_number_below_zero_stays_a_number_in_csv() -> None:
    assert as_csv(("hours left",), [[Decimal("-2.5")]]).splitlines()[1] == "-2.5"


def test_json_keeps_every_digit_of_hours_and_writes_dates_as_iso() -> None:
    values = json.loads(as_json({"hours": Decimal("1004.50"), "on": date(2026, 5, 4)}))
    assert values == {"hours": "1004.50", "on": "2026-05-04"}
