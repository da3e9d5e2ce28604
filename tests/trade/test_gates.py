from __future__ import annotations

from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.gates import gates
from annual_planner.trade.sequence import CardInOrder, links


def card(key: str, phase: Phase, zone: str = "engine", after: tuple[str, ...] = ()) -> CardInOrder:
    return CardInOrder(key, key, phase, WorkKind.SERVICE, zone, after=after)


def by_key(*cards: CardInOrder) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    return {gate.key: (gate.before, gate.beyond) for gate in gates(cards, links(cards))}


def test_the_engine_is_repaired_after_its_inspection_and_another_zone_need_not_wait() -> None:
    found = by_key(
        card("look", Phase.INSPECT), card("mend", Phase.REPAIR), card("mend tail", Phase.REPAIR, "tail")
    )
    assert found["gate: inspected engine"] == (("look",), ("mend",))
    assert "gate: inspected tail" not in found


def test_nothing_but_research_comes_before_hot_checks_on_the_engine() -> None:
    found = by_key(
        card("hot", Phase.HOT_CHECKS),
        card("read", Phase.RESEARCH),
        card("open", Phase.OPEN),
        card("wing", Phase.OPEN, "wing"),
    )
    assert found["gate: hot checks"] == (("hot",), ("open",))


def test_the_records_are_looked_through_before_hands_on_work_and_the_hot_checks_do_not_wait() -> None:
    found = by_key(
        card("read", Phase.RESEARCH, "office"),
        card("search", Phase.RESEARCH, "office", after=("read",)),
        card("hot", Phase.HOT_CHECKS),
        card("open", Phase.OPEN, "wing"),
        card("look", Phase.INSPECT, "wing"),
        card("run", Phase.RUN_UP),
        card("sign", Phase.RECORDS, "office"),
    )
    assert found["gate: records read"] == (("read", "search"), ("look", "open"))


def test_what_a_hot_check_or_the_research_itself_waits_for_is_not_held_until_the_records_are_read() -> None:
    found = by_key(
        card("read", Phase.RESEARCH, "office", after=("plate",)),
        card("cowl", Phase.OPEN),
        card("hot", Phase.HOT_CHECKS, after=("cowl",)),
        card("plate", Phase.OPEN, "wing"),
        card("look", Phase.INSPECT, "wing"),
    )
    assert found["gate: records read"] == (("read",), ("look",))


def test_research_that_is_done_or_left_out_holds_nothing() -> None:
    assert "gate: records read" not in by_key(card("open", Phase.OPEN), card("look", Phase.INSPECT))


def test_a_card_that_earlier_work_waits_for_is_not_held_by_the_gate() -> None:
    """A records card that a repair asks for can't wait for that repair."""
    found = by_key(
        card("list", Phase.RECORDS, "office"),
        card("mend", Phase.REPAIR, after=("list",)),
        card("sign", Phase.RECORDS, "office"),
    )
    assert found["gate: run"] == (("mend",), ("sign",))


def test_a_visit_without_a_run_has_no_gate_for_it() -> None:
    assert by_key(card("look", Phase.INSPECT)) == {}
