"""A short run of the long one: what can be found is found, and what can't is just what is said so."""

from pathlib import Path

from tests.benchmarks.tampering import NEED_A_PAPER, build, tamper


def test_changes_made_behind_the_programs_back_are_found(tmp_path: Path) -> None:
    path = tmp_path / "tampered.fleet"
    seal = build(path, rounds=1)
    tallies = tamper(path, seal, tries=202, seed=3)
    assert all(tally.tried for tally in tallies.values())
    for name, tally in tallies.items():
        assert tally.found == (0 if name in NEED_A_PAPER else tally.tried), name
        assert tally.found_with_paper == tally.tried, name
