"""Placing the annuals of a year: how near to the bound in ten seconds.

    python -m tests.benchmarks.shop_weeks [--airplanes 300] [--bays 4] [--seconds 10]

Prints one line for each of three made-up fleets: price, bound, gap, seconds, and the price by rule alone.
"""

from __future__ import annotations

import argparse

from annual_planner.planning.shop_weeks.placing import place_visits
from tests.planning.shop_weeks.made import many


def main() -> None:
    parser = argparse.ArgumentParser(description="Place the annuals of a year.")
    parser.add_argument("--airplanes", type=int, default=300)
    parser.add_argument("--bays", type=int, default=4)
    parser.add_argument("--seconds", type=float, default=10)
    parser.add_argument("--workers", type=int, default=8)
    given = parser.parse_args()
    for seed in range(3):
        asked = many(given.airplanes, bays=given.bays, seed=seed, hours=260)
        ruled = place_visits(asked, seconds=0).value
        plan = place_visits(asked, seconds=given.seconds, workers=given.workers).value
        nowhere = sum(1 for each in plan.placed if each.week is None)
        print(
            f"{given.airplanes} airplanes, {given.bays} bays, fleet {seed}: price {plan.cost:.0f}, "
            f"bound {plan.bound:.0f}, gap {plan.gap:.2%}, {plan.seconds:.1f} s, without a week {nowhere}; "
            f"by rule {ruled.cost:.0f} in {ruled.seconds:.2f} s"
        )


if __name__ == "__main__":
    main()
