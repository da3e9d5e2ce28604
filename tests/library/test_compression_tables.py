from pathlib import Path

import pytest

from annual_planner.library.compression import load_compression
from annual_planner.trade.compression import SpreadRule
from annual_planner.trade.recheck import Nature
from annual_planner.trade.refused import Refused


def test_what_ships_covers_the_ways_makers_judge_and_where_air_is_heard() -> None:
    facts = load_compression()
    assert facts.rule("by_leakage").max_loss_fraction == 0.25
    assert facts.rule("by_master").master_floor
    assert facts.rule("by_spread").spread == SpreadRule(5, 10, 15)
    assert {path.key for path in facts.paths} == {"exhaust", "intake", "breather", "outside", "neighbor"}
    assert {path.key for path in facts.paths if path.nature is Nature.DYNAMIC} == {"breather"}


def test_every_step_with_air_or_a_turning_propeller_carries_its_cautions() -> None:
    for step in load_compression().ladder:
        assert "propeller_live" in step.cautions
        assert ("compressed_air_cylinder" in step.cautions) == step.read_again


def test_a_shops_own_rule_is_added_and_a_rule_of_the_same_key_replaced(tmp_path: Path) -> None:
    (tmp_path / "compression_rules.toml").write_text(
        '[[rule]]\nkey = "by_leakage"\ntitle = "stricter"\ncitation = "shop"\nmax_loss_fraction = 0.2\n'
        '[[rule]]\nkey = "ours"\ntitle = "own"\ncitation = "shop"\nmaster_floor = true\n'
    )
    facts = load_compression(tmp_path)
    assert facts.rule("by_leakage").max_loss_fraction == 0.2
    assert facts.rule("ours").master_floor
    with pytest.raises(KeyError):
        facts.rule("nobody's")


def test_all_faults_are_named_by_file_table_and_key(tmp_path: Path) -> None:
    (tmp_path / "compression_rules.toml").write_text(
        '[[rule]]\nkey = "ours"\ntitle = "own"\ncitation = "shop"\nmax_loss_fraction = 25\n'
        '[[rule]]\nkey = "other"\ntitle = "own"\ncitation = "shop"\n'
        "spread = {normal_psi = 5, sooner_psi = 10, investigate_psi = 8}\n"
    )
    (tmp_path / "recheck_ladder.toml").write_text(
        '[[step]]\nkey = "pray"\ntitle = "t"\ntext = "t"\nshows = "s"\ncitation = "c"\ncautions = ["lions"]\n'
    )
    with pytest.raises(Refused) as refused:
        load_compression(tmp_path)
    for words in (
        'compression_rules.toml, rule "ours", max_loss_fraction',
        "a figure not under the one before it",
        "the unknown key lions",
    ):
        assert words in refused.value.said
