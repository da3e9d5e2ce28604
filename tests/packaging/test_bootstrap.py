"""The script that makes a machine ready: what it asks for, and when it has nothing to do."""

from pathlib import Path

import bootstrap
import checks
import pytest
import system

RUN = "alembic==1.20.1 \\\n    --hash=sha256:aa\nmako==1.4.3 \\\n    --hash=sha256:bb\n"


def test_a_library_that_is_not_there_is_named_with_its_package() -> None:
    found = system.missing_libraries({"libno-such-thing.so.9": "libno-such-thing9", "libc.so.6": "libc6"})
    assert found == [system.Missing("libno-such-thing.so.9", "libno-such-thing9")]


def test_the_line_to_type_names_each_package_once() -> None:
    lacking = [
        system.Missing("libglib-2.0.so.0", "libglib2.0-0"),
        system.Missing("libgthread-2.0.so.0", "libglib2.0-0"),
    ]
    text = system.how_to_install(lacking)
    assert text.count("libglib2.0-0") == 1
    assert "libgthread-2.0.so.0" in text


def test_a_window_asks_for_the_libraries_of_the_screen_there_is() -> None:
    assert "libxcb-cursor.so.0" in system.libraries_for_window({"DISPLAY": ":0"})
    assert "libwayland-client.so.0" in system.libraries_for_window({"WAYLAND_DISPLAY": "wayland-0"})
    assert system.libraries_for_window({"QT_QPA_PLATFORM": "offscreen"}) == system.FOR_QT


def test_without_a_screen_run_says_how_to_do_without(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    assert bootstrap.run_window() == 1
    assert "run --headless" in capsys.readouterr().out


def test_a_machine_that_may_not_be_changed_gets_the_line_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system, "can_install", lambda: False)
    with pytest.raises(SystemExit, match="apt-get install --no-install-recommends libegl1"):
        bootstrap.get_system_packages([system.Missing("libEGL.so.1", "libegl1")])


@pytest.fixture
def empty_venv(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that stands for .venv, and locks that can be written."""
    python = tmp_path / "python"
    python.touch()
    locks = {purpose: tmp_path / f"{purpose}.lock" for purpose in ("run", "test")}
    for lock in locks.values():
        lock.write_text(RUN)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path)
    monkeypatch.setattr(bootstrap, "PYTHON", python)
    monkeypatch.setattr(bootstrap, "LOCKS", locks)
    return tmp_path


@pytest.mark.usefixtures("empty_venv")
def test_a_venv_ready_to_test_is_ready_to_run_and_not_the_other_way_round() -> None:
    bootstrap.stamp("run")
    assert bootstrap.is_stamped("run")
    assert not bootstrap.is_stamped("test")
    bootstrap.stamp("test")
    assert bootstrap.is_stamped("test")


def test_another_lock_makes_the_stamp_void(empty_venv: Path) -> None:
    bootstrap.stamp("test")
    (empty_venv / "test.lock").write_text("mako==1.4.4\n")
    assert bootstrap.is_stamped("run")
    assert not bootstrap.is_stamped("test")


def test_locks_that_agree_have_no_fault() -> None:
    assert checks.lock_faults(RUN, RUN + "pytest==9.2.0 \\\n    --hash=sha256:cc\n") == []


def test_an_address_in_a_lock_is_a_fault() -> None:
    assert checks.lock_faults(RUN, RUN + "--index-url https://index.invalid/simple\n") == [
        "an address in a lock: --index-url https://index.invalid/simple"
    ]


def test_a_version_the_tests_do_not_have_is_a_fault() -> None:
    assert checks.lock_faults(RUN, RUN.replace("1.4.3", "1.4.4")) == [
        "not so in requirements-test.lock: mako==1.4.3"
    ]


def test_every_check_runs_after_one_failed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    ran = []
    monkeypatch.setattr(checks, "succeeds", lambda *command: ran.append(command))
    failed = checks.run_checks(tmp_path)
    assert len(ran) == 7
    assert failed == [
        "Lint",
        "Format",
        "Types",
        "Types of the packaging scripts",
        "Imports between layers",
        "Tests below the window, Qt kept out",
        "All other tests",
    ]


def test_every_folder_of_tests_but_the_benchmarks_is_run_once() -> None:
    below, rest = checks.pytest_below_the_window(), checks.pytest_on_the_rest()
    folders = [each for each in below if each.startswith("tests/")]
    assert set(folders) < {f"tests/{each.name}" for each in (checks.ROOT / "tests").iterdir()}
    left_out = {each.removeprefix("--ignore=") for each in rest if each.startswith("--ignore=")}
    assert left_out == {*folders, "tests/benchmarks"}
    assert "--cov-append" in rest
