"""The list of annuals to choose from."""

from __future__ import annotations

from collections.abc import Callable

from annual_planner.desktop.annual.columns import PACKAGES
from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Words
from annual_planner.store.rows import PackageLine
from annual_planner.trade.package_states import STATES

WORDS = Words(
    "annuals",
    "No annual is planned yet",
    "Choose an airplane and plan its annual: what goes in, the cards and their order follow.",
    "Choose an airplane",
)


def chooser(desk: Desk, to_fleet: Callable[[], object]) -> HeldList[PackageLine]:
    """The list; `to_fleet` is offered while nothing is planned."""
    made: HeldList[PackageLine] = HeldList(
        desk,
        "annual-packages",
        PACKAGES,
        WORDS,
        states=STATES,
        state_of=lambda line: line.state,
        next_step=to_fleet,
    )
    made.answered.connect(made.choose_first)
    return made
