"""Pictures are read in a process of their own: what breaks it breaks nothing else, and is one line."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from annual_planner.records.picture_process import PictureReader, read_file_apart
from annual_planner.records.pictures import MOST_BYTES, read_picture
from annual_planner.trade.refused import Refused
from tests.records.test_photographs import HOSTILE, picture, turned


def test_one_child_reads_many_pictures_as_they_would_be_read_here() -> None:
    with PictureReader() as reader:
        for content in (picture(), picture("PNG", mode="RGBA"), turned()):
            assert reader.read(content) == read_picture(content)


def test_hostile_files_are_refused_in_one_line_and_the_next_picture_is_read() -> None:
    with PictureReader() as reader:
        for content in HOSTILE.values():
            with pytest.raises(Refused) as refused:
                reader.read(content)
            assert "\n" not in refused.value.said
        assert reader.read(picture()).width_px == 60


def test_a_child_that_dies_is_one_refusal_and_the_next_picture_gets_another() -> None:
    with PictureReader() as reader:
        reader.read(picture())
        assert reader._child is not None
        pid = reader._child._process.pid
        assert pid is not None
        os.kill(pid, signal.SIGKILL)
        with pytest.raises(Refused, match="can't be read as a picture"):
            reader.read(picture())
        assert reader.read(picture()).height_px == 40


def test_what_takes_too_long_is_ended() -> None:
    with PictureReader(seconds=0.01) as reader, pytest.raises(Refused, match=r"more than 0\.01 s"):
        reader.read(picture(size=(4000, 3000)))


def test_a_picture_that_would_take_too_much_memory_is_refused() -> None:
    pytest.importorskip("resource", reason="no limit of memory on this system")
    large = picture("PNG", (7000, 7000))
    with PictureReader(memory=300_000_000) as reader:
        with pytest.raises(Refused, match="can't be read as a picture"):
            reader.read(large)
        assert reader.read(picture()).width_px == 60


def test_a_file_that_is_too_large_or_not_there_is_not_handed_over(tmp_path: Path) -> None:
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    with pytest.raises(Refused, match=r"large\.jpg is larger than 25 MB"):
        read_file_apart(large)
    with pytest.raises(Refused, match=r"nowhere\.jpg can't be read"):
        read_file_apart(tmp_path / "nowhere.jpg")
