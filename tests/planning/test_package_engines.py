from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from sqlalchemy import update

from annual_planner.library.shelf import Library
from annual_planner.paper.package import package_pdf
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.engine_cards import UNKNOWN_TYPE
from annual_planner.planning.package_view import PackageView
from annual_planner.store.bulk import insert_many
from annual_planner.store.mappings import AssemblyRow, StandingRow
from annual_planner.store.session import Fleet
from tests.planning.conftest import Planned, plan
from tests.planning.fleet import small_fleet
from tests.statements import statements


def set_type(fleet: Fleet, engine: int, key: str) -> None:
    with fleet.work("a test") as work:
        work.session.execute(update(AssemblyRow).where(AssemblyRow.id == engine).values(type_key=key))


@pytest.fixture
def twin(tmp_path: Path, library: Library) -> Iterator[Planned]:
    """An airplane whose first engine has a type and whose second nobody has named."""
    with small_fleet(tmp_path, engines=2) as fleet:
        set_type(fleet, 1, "halvergate_s6")
        yield plan(fleet, library)


def card(view: PackageView, key: str) -> tuple[str, dict[str, int], tuple[str, ...]]:
    found = next(each for each in (*view.cards, *view.left_out) if each.key == key)
    content = from_stored(found.content)
    return found.note, {each.name: each.count for each in content.measurements}, content.tools


def test_each_engine_of_a_package_goes_by_its_own_type(twin: Planned) -> None:
    view = twin.view()
    note, counts, tools = card(view, "install_plugs#1")
    assert note == ""
    assert counts == {"Torque, 18 mm thread": 12}
    assert "short plug socket for 18 mm plugs" in tools
    note, counts, tools = card(view, "install_plugs#2")
    assert note == UNKNOWN_TYPE
    assert set(counts) == {"Torque, 14 mm thread", "Torque, 18 mm thread"}
    assert "deep plug socket" in tools


def test_only_engines_of_known_type_are_read_with_the_package(twin: Planned) -> None:
    assert [(each.position, each.engine_type.key) for each in twin.view().engines] == [(1, "halvergate_s6")]
    set_type(twin.fleet, 2, "no_such_type")
    assert len(twin.view().engines) == 1


def test_an_airplane_without_types_has_no_engines_in_its_package(settled: Planned) -> None:
    assert settled.view().engines == ()


def test_a_second_engine_costs_the_same_number_of_queries_as_the_first(twin: Planned) -> None:
    def queries() -> int:
        with statements(twin.fleet) as sent:
            twin.view()
        return len(sent)

    one = queries()
    set_type(twin.fleet, 2, "wrenlake_o4")
    two = queries()
    set_type(twin.fleet, 1, "")
    set_type(twin.fleet, 2, "")
    assert two - one == one - queries() > 0


def wear_a_plug(fleet: Fleet, sizes_in: list[float]) -> None:
    """A plug in 1T of engine 1 since its first hour, its electrode measured each 100 h since."""
    with fleet.work("a test") as work:
        work.session.execute(update(StandingRow).values(annual_due_on=date(2026, 5, 31)))
        plug = {"id": 1, "type_key": "brannock_m18_cool", "tag": "B-77", "hours_before": Decimal(0)}
        insert_many(work, "spark_plug", [plug])
        stay = {
            "id": 1, "plug_id": 1, "assembly_id": 1, "place": "1T", "fitted_on": date(2020, 1, 1),
            "engine_hours_at_fitting": Decimal(0),
        }  # fmt: skip
        insert_many(work, "plug_stay", [stay])
        looks = [_look(number, size) for number, size in enumerate(sizes_in, 1)]
        insert_many(work, "plug_check", looks)


def _look(number: int, size_in: float) -> dict[str, object]:
    return {
        "id": number, "plug_id": 1, "assembly_id": 1, "place": "1T", "looked_on": date(2020 + number, 5, 1),
        "engine_hours": Decimal(100 * number), "stage": "after cleaning", "conditions": ["worn"],
        "damage": [], "gaps_in": [0.018], "electrode_in": size_in, "verdict": "clean",
    }  # fmt: skip


def test_a_plug_that_falls_short_is_on_the_parts_list_and_on_paper(twin: Planned) -> None:
    wear_a_plug(twin.fleet, [0.092, 0.083, 0.075, 0.066, 0.058])
    view = twin.view()
    bought = [part for part in view.parts if part.reason]
    fitting = next(each.number for each in view.cards if each.key == "install_plugs#1")
    assert [(part.name, part.quantity, part.card_numbers) for part in bought] == [
        ("Spark plug Brannock M18C massive, colder, engine 1", Decimal(1), (fitting,))
    ]
    assert bought[0].reason == "1T: won't reach the next annual"
    target = BytesIO()
    package_pdf(view, target)
    text = " ".join(
        " ".join(page.extract_text().split()) for page in PdfReader(BytesIO(target.getvalue())).pages
    )
    assert "1T: won't reach the next annual" in text
    assert "Plug box, engine 1 Halvergate S-6" in text
    assert "B-77" in text


def test_the_blanks_of_a_card_are_named_by_the_rows_of_its_engine(twin: Planned) -> None:
    set_type(twin.fleet, 2, "ostermoor_r9")
    view = plan(twin.fleet, twin.library, days_later=1).view()
    target = BytesIO()
    package_pdf(view, target, engine_sheets=False)
    pages = [page.extract_text().split() for page in PdfReader(BytesIO(target.getvalue())).pages]
    fitting = {
        n: page
        for page in pages
        for n in ("1", "2")
        if f"(engine {n})" in " ".join(page) and "torque" in page
    }
    assert {"6T", "6B"} <= set(fitting["1"])
    assert {"9F", "9R"} <= set(fitting["2"])


def test_a_plug_that_lasts_is_not_bought(twin: Planned) -> None:
    wear_a_plug(twin.fleet, [0.0995, 0.099, 0.0985, 0.098, 0.0975])
    assert not [part for part in twin.view().parts if part.reason]
