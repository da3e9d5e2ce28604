"""The commands that hand an airplane over and take one in: shown first, then recorded, or refused."""

from __future__ import annotations

from contextlib import closing
from io import StringIO
from pathlib import Path

import pytest
from sqlalchemy import text

from annual_planner.__main__ import main
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from tests.exchange.hand_over.coming_back import back_from
from tests.exchange.hand_over.handed import REGISTRATION, SIGNED, keeper_in, rows_in
from tests.signing import PHRASE
from tests.trail import newest_lines


class Terminal(StringIO):
    """Where a passphrase is typed unseen."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def keeper(tmp_path: Path) -> Path:
    with closing(open_fleet(tmp_path / "keeper.fleet", create=True)) as fleet:
        keeper_in(fleet)
    return tmp_path / "keeper.fleet"


def test_an_airplane_goes_from_one_fleet_to_the_next(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    following, out = tmp_path / "next.fleet", tmp_path / "out.zip"
    open_fleet(following, create=True).close()
    give = ["hand-over", "--fleet", str(keeper), "--aircraft", REGISTRATION, "--out", str(out)]
    assert main([*give, "--today", "2026-05-04"]) == 0
    given = capsys.readouterr().out
    assert f"{REGISTRATION}: {out} (7 parts, {SIGNED} signed records)" in given
    take = ["take-in", "--fleet", str(following), str(out), "--today", "2026-05-04"]
    assert main(take) == 0
    shown = capsys.readouterr().out
    assert "nothing was recorded; with --confirm all of it is" in shown
    assert given.splitlines()[-1].split()[-1] == shown.splitlines()[-2].split()[-1], (
        "one SHA-256 on both sides"
    )
    with closing(open_fleet(following, read_only=True)) as fleet:
        assert rows_in(fleet) == 0
    assert main([*take, "--confirm"]) == 0
    assert capsys.readouterr().out.endswith("recorded\n")
    assert main(["check", "--fleet", str(following)]) == 0
    assert f"{SIGNED} signed records received from earlier keepers" in capsys.readouterr().out
    assert main([*take, "--confirm"]) == 2
    assert main(give) == 2
    told = capsys.readouterr().err
    assert f"{REGISTRATION} is in this fleet already" in told
    assert f"{out} is there already" in told


def test_check_tells_when_a_received_record_was_changed(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    following, out = tmp_path / "next.fleet", tmp_path / "out.zip"
    open_fleet(following, create=True).close()
    main(["hand-over", "--fleet", str(keeper), "--aircraft", REGISTRATION, "--out", str(out)])
    main(["take-in", "--fleet", str(following), str(out), "--confirm"])
    with closing(open_fleet(following)) as fleet:
        _past_the_guards(fleet, "UPDATE received_record SET meaning = 'supervised' WHERE link = 2")
    capsys.readouterr()
    assert main(["check", "--fleet", str(following)]) == 1
    assert "link 2: its meaning is not the one that was signed" in capsys.readouterr().out


def _past_the_guards(fleet: Fleet, statement: str) -> None:
    with fleet.engine.execution_options(fleet_write=True).begin() as connection:
        with pytest.raises(Exception, match="never changed"), connection.begin_nested():
            connection.execute(text(statement))
        connection.execute(text("DROP TRIGGER received_record_not_changed"))
        connection.execute(text(statement))


def test_broken_seals_are_not_handed_over(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(open_fleet(keeper)) as fleet, fleet.engine.execution_options(fleet_write=True).begin() as c:
        c.execute(text("DROP TRIGGER signed_record_not_changed"))
        c.execute(text("UPDATE signed_record SET meaning = 'supervised' WHERE link = 2"))
    out = tmp_path / "out.zip"
    assert main(["hand-over", "--fleet", str(keeper), "--aircraft", REGISTRATION, "--out", str(out)]) == 2
    assert "The signed records don't match any more" in capsys.readouterr().err
    assert not out.exists()


def test_what_is_no_hand_over_file_is_refused_in_one_line(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, content in (("junk.zip", b"PK"), ("empty.zip", b"")):
        (tmp_path / name).write_bytes(content)
        assert main(["take-in", "--fleet", str(keeper), str(tmp_path / name)]) == 2
        told = capsys.readouterr().err
        assert "can't be taken in" in told
        assert told.count("\n") == 1
    assert main(["take-in", "--fleet", str(keeper), str(tmp_path / "not there.zip")]) == 2
    assert main(["take-in", "--fleet", str(keeper), str(tmp_path)]) == 2
    assert capsys.readouterr().err.count("\n") == 2


def test_the_file_says_to_whom_and_is_signed_with_the_passphrase_typed_for_it(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    following, out = tmp_path / "next.fleet", tmp_path / "out.zip"
    open_fleet(following, create=True).close()
    give = ["hand-over", "--fleet", str(keeper), "--aircraft", REGISTRATION, "--out", str(out)]
    give += ["--to", "Fell Edge Aviation", "--to-on", "2026-05-06", "--sign"]
    monkeypatch.setattr("sys.stdin", StringIO(""))
    assert main([*give, "Ina Vell"]) == 2
    assert "No passphrase of Ina Vell was typed" in capsys.readouterr().err
    monkeypatch.setattr("sys.stdin", StringIO("a guess that is long enough\n"))
    assert main([*give, "Ina Vell"]) == 2
    assert "does not unlock the key" in capsys.readouterr().err
    assert not out.exists()
    monkeypatch.setattr("sys.stdin", Terminal())
    monkeypatch.setattr("getpass.getpass", lambda _asked: PHRASE.format(1))
    assert main([*give, "Nobody"]) == 2
    assert "nobody called Nobody" in capsys.readouterr().err
    assert main([*give, "Ina Vell"]) == 0
    assert "closing statement: signed by Ina Vell" in capsys.readouterr().out
    with closing(open_fleet(keeper, read_only=True)) as fleet, fleet.reading() as work:
        line = newest_lines(work)[0]
    assert line.what == f"handed {REGISTRATION} over to Fell Edge Aviation"
    assert line.after["closing statement signed by"] == "Ina Vell"
    assert main(["take-in", "--fleet", str(following), str(out)]) == 0
    told = capsys.readouterr().out
    assert "note: handed to Fell Edge Aviation on 6 May 2026" in told
    assert "note: the closing statement is signed by Ina Vell, key " in told


def test_what_came_back_is_recorded_once_a_person_says_that_it_is_the_same(
    keeper: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gone, following = tmp_path / "gone.zip", tmp_path / "next.fleet"
    main(["hand-over", "--fleet", str(keeper), "--aircraft", REGISTRATION, "--out", str(gone)])
    (tmp_path / "back.zip").write_bytes(back_from(gone.read_bytes(), tmp_path))
    open_fleet(following, create=True).close()
    take = ["take-in", "--fleet", str(keeper), str(tmp_path / "back.zip"), "--today", "2026-05-20"]
    assert main(take) == 0
    assert "to record what is new beside what is known here: --same airplane" in capsys.readouterr().out
    assert main([*take, "--confirm"]) == 2
    assert f"{REGISTRATION} is in this fleet already." in capsys.readouterr().err
    assert main([*take, "--same", "engine X"]) == 2
    assert "'engine X' is nothing of the file" in capsys.readouterr().err
    assert main([*take, "--confirm", "--same", "airplane"]) == 0
    assert main(["check", "--fleet", str(keeper)]) == 0
    assert "2 signed records received from earlier keepers" in capsys.readouterr().out
