"""A short run of the long one: killed at random and at every named step, nothing is lost or half done."""

from pathlib import Path

from tests.benchmarks.kills import Judged, judge, named_kills, random_kills


def test_nothing_confirmed_is_lost_when_the_program_is_killed_at_random(tmp_path: Path) -> None:
    judged = random_kills(tmp_path, kills=10)
    assert judged.confirmed > 0
    assert judged.good, str(judged)


def test_a_kill_at_any_named_step_leaves_before_or_after(tmp_path: Path) -> None:
    bad = {step: str(judged) for step, judged in named_kills(tmp_path).items() if not judged.good}
    assert bad == {}


def test_the_judge_sees_what_is_lost_and_what_is_half_done() -> None:
    judged = Judged()
    held = {"entries": {"1": "signed"}, "signed": {}, "readings": [], "chain": ["x"], "file": []}
    judge(["draft 2", "signed 1 1", "reading 7"], held, judged)
    assert (len(judged.lost), len(judged.half), judged.good) == (3, 1, False)
