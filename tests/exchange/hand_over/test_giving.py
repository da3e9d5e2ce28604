"""A hand-over file is whole or not there: what stops the writing, or forbids it, leaves nothing behind."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from annual_planner.exchange.hand_over.giving import hand_over
from annual_planner.records.pictures import read_picture
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from tests.exchange.hand_over.handed import REGISTRATION, keeper_in
from tests.fleets import TODAY


class Stopped(Exception):  # noqa: N818 - a person's wish, not an error
    pass


@pytest.fixture(scope="module")
def keeper(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fleet]:
    with closing(open_fleet(tmp_path_factory.mktemp("keeper") / "keeper.fleet", create=True)) as opened:
        keeper_in(opened)
        yield opened


def test_it_can_be_stopped_at_every_step_and_leaves_no_file(keeper: Fleet, tmp_path: Path) -> None:
    steps = 0

    def count() -> None:
        nonlocal steps
        steps += 1

    hand_over(keeper, REGISTRATION, tmp_path / "whole.zip", TODAY, read_picture, step=count)
    assert steps == 3  # a photograph, a paper, the name
    for last in range(steps):
        left = [None] * last

        def stop(left: list[None] = left) -> None:
            if not left:
                raise Stopped
            left.pop()

        with pytest.raises(Stopped):
            hand_over(keeper, REGISTRATION, tmp_path / "stopped.zip", TODAY, read_picture, step=stop)
    assert [each.name for each in tmp_path.iterdir()] == ["whole.zip"]


def test_a_place_that_takes_no_file_is_refused_in_one_line(keeper: Fleet, tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"out\.zip can't be written: No such file or directory\."):
        hand_over(keeper, REGISTRATION, tmp_path / "gone" / "out.zip", TODAY, read_picture)
