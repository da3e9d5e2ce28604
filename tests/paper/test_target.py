from __future__ import annotations

import os
from pathlib import Path

import pytest

from annual_planner.paper.target import check_target, write_whole
from annual_planner.trade.refused import Refused


def test_a_new_name_and_an_older_pdf_may_be_written(tmp_path: Path) -> None:
    (tmp_path / "old.pdf").write_bytes(b"%PDF-1.7 ...")
    check_target(tmp_path / "old.pdf")
    check_target(tmp_path / "new.pdf")


def test_what_is_no_pdf_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "shop.fleet").write_bytes(b"SQLite format 3\0")
    (tmp_path / "empty").touch()
    os.mkfifo(tmp_path / "pipe")
    for name in ("shop.fleet", "empty", "pipe"):
        with pytest.raises(Refused, match="no PDF"):
            check_target(tmp_path / name)


def test_a_folder_a_missing_folder_and_an_endless_name_are_refused(tmp_path: Path) -> None:
    for target, said in (
        (tmp_path, "folder"),
        (tmp_path / "no" / "a.pdf", "no folder"),
        ("a" * 300, "written"),
    ):
        with pytest.raises(Refused, match=said):
            check_target(Path(target))


def test_writing_leaves_the_document_and_nothing_beside_it(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.pdf", b"%PDF one")
    write_whole(tmp_path / "a.pdf", b"%PDF two")
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDF two"
    assert [each.name for each in tmp_path.iterdir()] == ["a.pdf"]


def test_a_name_as_long_as_the_disk_takes_can_be_written(tmp_path: Path) -> None:
    target = tmp_path / ("x" * 251 + ".pdf")
    write_whole(target, b"%PDF")
    assert target.read_bytes() == b"%PDF"
    with pytest.raises(Refused, match="can't be written"):
        write_whole(tmp_path / ("x" * 252 + ".pdf"), b"%PDF")
    assert list(tmp_path.iterdir()) == [target]


def test_what_cannot_be_put_in_place_leaves_what_stood_there(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").mkdir()
    with pytest.raises(Refused, match="can't be written"):
        write_whole(tmp_path / "a.pdf", b"%PDF")
    assert [each.name for each in tmp_path.iterdir()] == ["a.pdf"]
