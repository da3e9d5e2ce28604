from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.engines import load_engines
from annual_planner.trade.plugs import PlugType
from annual_planner.trade.trends import Why
from annual_planner.trade.wear import (
    PlugLook,
    WearLimits,
    electrode_wear,
    gap_growth,
    gap_runs,
    plug_wear,
    wear_inputs,
    wear_limits,
)
from annual_planner.trade.working import as_lines

TYPE = WearLimits(gap_high_in=0.021, electrode_in=0.100)


def left_alone(*gaps: float, apart: int = 100) -> list[PlugLook]:
    """A plug looked at every `apart` hours and never set."""
    return [PlugLook(Decimal(apart * n), "1T", gap) for n, gap in enumerate(gaps)]


def measured(*sizes: float, apart: int = 100) -> list[PlugLook]:
    """A plug whose electrode was measured every `apart` hours from new."""
    return [PlugLook(Decimal(apart * n), "1T", electrode_in=size) for n, size in enumerate(sizes)]


def test_a_gap_that_grows_steadily_has_hours_left() -> None:
    found = gap_growth(left_alone(0.016, 0.017, 0.018, 0.0188, 0.0199), TYPE).value
    assert found.trend.outlook is not None
    assert 0 <= found.trend.outlook.early_hours < found.trend.outlook.likely_hours < 200
    assert found.per_100_h_in == pytest.approx(0.00097, rel=0.02)


def test_a_gap_set_at_every_check_has_a_rate_and_no_forecast() -> None:
    looks = [
        PlugLook(Decimal(0), "1T", 0.016),
        PlugLook(Decimal(100), "1T", 0.018, set_gap_in=0.016),
        PlugLook(Decimal(200), "1T", 0.0185, set_gap_in=0.016),
    ]
    found = gap_growth(looks, TYPE).value
    assert found.trend.why_not is Why.TOO_FEW
    assert "since gap set to 0.016 in at 200 h" in found.trend.said
    assert found.per_100_h_in is None
    assert found.life_per_100_h_in == pytest.approx(0.00225)


def test_another_place_starts_anew_and_going_back_in_the_same_does_not() -> None:
    moved = [PlugLook(Decimal(0), "1T", 0.016), PlugLook(Decimal(100), "1T", 0.017, next_place="3B")]
    runs = gap_runs([*moved, PlugLook(Decimal(200), "3B", 0.018)])
    assert [len(run.gaps) for run in runs] == [2, 2]
    assert runs[1].began == "moved from 1T to 3B at 100 h"
    assert runs[1].gaps[0] == (Decimal(100), 0.017)
    stayed = [PlugLook(Decimal(100 * n), "1T", 0.016, 0.016, next_place="1T") for n in range(4)]
    assert len(gap_runs(stayed)) == 1


@given(st.lists(st.integers(0, 3), min_size=1, max_size=8), st.sets(st.integers(0, 7)))
def test_no_gap_as_found_is_lost_by_cutting_runs(grown: list[int], set_at: set[int]) -> None:
    looks = [
        PlugLook(Decimal(100 * n), "1T", 0.016 + more / 1000, 0.015 if n in set_at else None)
        for n, more in enumerate(grown)
    ]
    runs = gap_runs(looks)
    found = [gap for run in runs for gap in (run.gaps[1:] if run.began else run.gaps)]
    assert found == [(look.hours, look.gap_in) for look in looks]


def test_an_electrode_goes_on_through_settings_and_moves() -> None:
    looks = [
        PlugLook(Decimal(100 * n), "1T", 0.018, 0.016, size, "3B")
        for n, size in enumerate((0.1, 0.094, 0.087, 0.08))
    ]
    found = electrode_wear(looks, TYPE).value
    assert found.outlook is not None
    assert 250 < found.outlook.early_hours <= found.outlook.likely_hours < 500


def test_a_plug_not_measured_when_new_counts_as_new_of_its_type() -> None:
    looks = [PlugLook(Decimal(100 * n), "1T", electrode_in=0.1 - 0.007 * n) for n in (1, 2, 3)]
    answer = electrode_wear(looks, TYPE)
    assert answer.value.outlook is not None
    assert "When new the electrode had the size of its plug type." in answer.working.assumptions


def test_half_of_new_is_worn_out_and_a_little_more_is_not() -> None:
    assert electrode_wear(measured(0.1, 0.05), TYPE).value.why_not is Why.PAST
    assert electrode_wear(measured(0.1, 0.051), TYPE).value.why_not is Why.TOO_FEW


def test_a_types_own_wear_limit_goes_before_the_half() -> None:
    own = WearLimits(0.021, 0.100, worn_out_in=0.060)
    assert electrode_wear(measured(0.1, 0.06), own).value.why_not is Why.PAST
    assert electrode_wear(measured(0.1, 0.061), own).value.why_not is Why.TOO_FEW


def test_a_type_without_its_original_size_has_no_limit() -> None:
    answer = electrode_wear(measured(0.1, 0.09, 0.08, 0.07), WearLimits(0.021))
    assert answer.value.why_not is Why.NO_LIMIT
    assert "original electrode size isn't known" in answer.working.result


@given(st.floats(0.2, 5))
def test_hours_left_scale_with_the_hours_run(scale: float) -> None:
    def run(stretch: float) -> list[PlugLook]:
        return [
            PlugLook(Decimal(str(round(100 * n * stretch, 6))), "1T", electrode_in=size)
            for n, size in enumerate((0.1, 0.094, 0.087, 0.08))
        ]

    plain, stretched = (
        electrode_wear(run(1), TYPE).value.outlook,
        electrode_wear(run(scale), TYPE).value.outlook,
    )
    assert plain is not None
    assert stretched is not None
    assert stretched.likely_hours == pytest.approx(plain.likely_hours * scale, rel=1e-3)
    assert stretched.early_hours == pytest.approx(plain.early_hours * scale, rel=1e-3)


def test_hours_missing_are_to_be_mended_first_and_no_looks_are_too_few() -> None:
    unknown = [PlugLook(None, "1T", 0.016), *left_alone(0.016, 0.017, 0.018)[1:]]
    assert gap_growth(unknown, TYPE).value.trend.why_not is Why.HOURS
    assert gap_growth([], TYPE).value.trend.why_not is Why.TOO_FEW
    assert electrode_wear([], TYPE).value.why_not is Why.TOO_FEW


def test_the_working_cites_the_half_size_and_names_every_measure() -> None:
    lines = "\n".join(as_lines(electrode_wear(measured(0.1, 0.094, 0.087, 0.08), TYPE).working))
    for words in ("about half of new", "limit 0.05 in", "electrode at 300 h = 0.08", "common practice"):
        assert words in lines


@pytest.mark.parametrize("plug_type", load_engines().plug_types, ids=lambda plug_type: plug_type.key)
def test_every_shipped_plug_type_wears_out_at_its_own_limit(plug_type: PlugType) -> None:
    limits = wear_limits(plug_type)
    at_limit = measured(plug_type.electrode_in, plug_type.wear_limit_in)
    assert electrode_wear(at_limit, limits).value.why_not is Why.PAST
    assert electrode_wear(measured(plug_type.electrode_in), limits).value.why_not is Why.TOO_FEW


def test_what_was_measured_is_listed_as_a_person_reads_it() -> None:
    looks = [PlugLook(Decimal(100), "1T", 0.018, 0.016, 0.094), PlugLook(None, "3B")]
    assert [item.value for item in wear_inputs(looks)] == [
        "gap 0.018, set to 0.016, electrode 0.094",
        "nothing measured",
    ]


def test_a_plugs_wear_holds_gap_and_electrode_each_with_its_own_answer() -> None:
    looks = [
        PlugLook(Decimal(100 * n), "1T", 0.018, 0.016, size) for n, size in enumerate((0.1, 0.09, 0.08, 0.07))
    ]
    answer = plug_wear("shop tag 12", looks, TYPE)
    assert answer.value.gap == gap_growth(looks, TYPE).value
    assert answer.value.electrode == electrode_wear(looks, TYPE).value
    assert answer.value.gap.trend.outlook is None
    assert answer.value.electrode.outlook is not None
    lines = as_lines(answer.working)
    assert lines[0].startswith("Wear of plug shop tag 12: worn out: could be reached")
    assert "  Growth of the gap since the last setting: too few" in "\n".join(lines)
