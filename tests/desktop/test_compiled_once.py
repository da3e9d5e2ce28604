"""What PySide6 compiles at each start is compiled once, and anew where its source has changed."""

import builtins
import marshal
import os
import subprocess
import sys
from importlib.util import MAGIC_NUMBER
from pathlib import Path

import pytest

from annual_planner.desktop.compiled_once import compiled_once, kept_at

STARTED = """
import builtins
asked, own = [], builtins.compile
def counted(source, filename, mode, *more, **named):
    asked.append(filename) if isinstance(source, bytes) and not named else None
    return own(source, filename, mode, *more, **named)
builtins.compile = counted
from annual_planner.desktop.compiled_once import kept_at
import annual_planner.desktop
from PySide6.QtWidgets import QApplication
assert builtins.compile is counted
print(len(asked))
print(kept_at())
"""


def run(source: bytes, path: Path, filename: str = "qt.py") -> tuple[dict[str, object], bool]:
    """What running the source gives, and whether it had to be compiled."""
    compiled: list[str] = []
    own = builtins.compile

    def counted(text: bytes, name: str, mode: str) -> object:
        compiled.append(name)
        return own(text, name, mode)

    builtins.compile = counted  # type: ignore[assignment]
    try:
        with compiled_once(path):
            code = compile(source, filename, "exec")
    finally:
        builtins.compile = own
    found: dict[str, object] = {}
    exec(code, found)
    return found, bool(compiled)


@pytest.fixture(autouse=True)
def keeping(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)


def test_the_same_source_is_compiled_once(tmp_path: Path) -> None:
    first, again = (run(b"size = 3", tmp_path / "kept") for _ in range(2))
    assert (first[0]["size"], first[1]) == (3, True)
    assert (again[0]["size"], again[1]) == (3, False)


def test_another_source_of_the_same_name_is_compiled(tmp_path: Path) -> None:
    run(b"size = 3", tmp_path / "kept")
    found, compiled = run(b"size = 4", tmp_path / "kept")
    assert (found["size"], compiled) == (4, True)


@pytest.mark.parametrize("text", [b"", b"no code", b"\0" * 40, MAGIC_NUMBER + marshal.dumps(3)])
def test_a_file_that_holds_something_else_is_made_anew(tmp_path: Path, text: bytes) -> None:
    (tmp_path / "kept").write_bytes(text)
    assert run(b"size = 3", tmp_path / "kept")[1]
    assert not run(b"size = 3", tmp_path / "kept")[1]


def test_a_file_cut_short_is_made_anew(tmp_path: Path) -> None:
    run(b"size = 3", tmp_path / "kept")
    whole = (tmp_path / "kept").read_bytes()
    (tmp_path / "kept").write_bytes(whole[: len(whole) // 2])
    assert run(b"size = 3", tmp_path / "kept")[1]


def test_where_nothing_can_be_kept_it_is_compiled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    assert run(b"size = 3", tmp_path / "file" / "kept")[0]["size"] == 3
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    run(b"size = 3", tmp_path / "kept")
    assert not (tmp_path / "kept").exists()


def test_what_compiles_in_another_way_is_left_to_python(tmp_path: Path) -> None:
    with compiled_once(tmp_path / "kept"):
        assert eval(compile("1 + 1", "sum", "eval")) == 2
        assert compile("1 + 1", "sum", "eval", dont_inherit=True) is not None
    assert not (tmp_path / "kept").exists()


def test_a_fault_in_the_source_is_told_and_python_compiles_again_afterwards(tmp_path: Path) -> None:
    own = builtins.compile
    with pytest.raises(SyntaxError), compiled_once(tmp_path / "kept"):
        compile(b"size =", "qt.py", "exec")
    assert builtins.compile is own


def test_a_second_start_compiles_nothing_of_pyside6(tmp_path: Path) -> None:
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONPYCACHEPREFIX": str(tmp_path)}
    around.pop("PYTHONDONTWRITEBYTECODE", None)
    words = [sys.executable, "-c", STARTED]
    first, again = (
        subprocess.run(words, env=around, capture_output=True, text=True, check=True).stdout.split()
        for _ in range(2)
    )
    assert int(first[0]) > 0
    assert int(again[0]) == 0
    assert Path(again[1]).is_relative_to(tmp_path)
    assert kept_at().name in again[1]
