import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.lines import fitted_line, median_line, rate_from_origin

Points = list[tuple[float, float]]
series = st.lists(
    st.tuples(st.integers(0, 2000), st.integers(0, 800).map(lambda tenths: tenths / 10)),
    min_size=4,
    max_size=12,
    unique_by=lambda point: point[0],
)


@given(series)
def test_the_line_is_the_one_numpy_fits(points: Points) -> None:
    hours, values = zip(*points, strict=True)
    slope, intercept = np.polyfit(hours, values, 1)
    line = fitted_line(hours, values)
    assert line.slope == pytest.approx(slope, rel=1e-6, abs=1e-9)
    assert line.intercept == pytest.approx(intercept, rel=1e-6, abs=1e-6)


@given(series, st.floats(0.5, 20))
def test_other_units_of_hours_and_values_only_scale_both_lines(points: Points, scale: float) -> None:
    hours, values = zip(*points, strict=True)
    wide = [x * scale for x in hours]
    assert fitted_line(wide, values).slope * scale == pytest.approx(
        fitted_line(hours, values).slope, abs=1e-9
    )
    assert median_line(wide, values).slope * scale == pytest.approx(
        median_line(hours, values).slope, abs=1e-9
    )


@given(series, st.floats(0.1, 5))
def test_equal_weights_give_the_unweighted_line(points: Points, sd: float) -> None:
    hours, values = zip(*points, strict=True)
    plain, weighted = fitted_line(hours, values), fitted_line(hours, values, [sd] * len(hours))
    assert weighted.slope == pytest.approx(plain.slope, rel=1e-9, abs=1e-9)
    assert weighted.scatter * sd == pytest.approx(plain.scatter, rel=1e-6, abs=1e-6)
    assert weighted.slope_sd >= weighted.slope_sd_from_scatter


def test_one_bad_reading_moves_the_medians_less_than_the_squares() -> None:
    hours = [0.0, 100, 200, 300, 400, 500, 600]
    values = [78.0, 77, 76, 40, 74, 73, 72]
    assert median_line(hours, values).slope == pytest.approx(-0.01)
    assert abs(fitted_line(hours, values).at(0) - 78) > 4.9
    assert median_line(hours, values).at(300) == pytest.approx(75)


def test_points_that_make_no_line_are_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="3 points"):
        fitted_line([0, 1], [1, 2])
    with pytest.raises(ValueError, match="above 0"):
        fitted_line([0, 1, 2], [1, 2, 3], [1, 0, 1])
    with pytest.raises(ValueError, match="different hours"):
        median_line([5, 5], [1, 2])
    with pytest.raises(ValueError, match="origin"):
        rate_from_origin([0], [0])
