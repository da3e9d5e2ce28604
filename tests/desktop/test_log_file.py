"""The file of the log."""

import logging
from pathlib import Path

from annual_planner.desktop.log_file import LogFile, log_to


def test_a_file_is_opened_only_when_something_is_logged(tmp_path: Path) -> None:
    log_to(tmp_path / "before")
    log_to(tmp_path / "log")
    root = logging.getLogger("annual_planner")
    assert [each.folder for each in root.handlers if isinstance(each, LogFile)] == [tmp_path / "log"]
    assert list((tmp_path / "log").iterdir()) == []
    logging.getLogger("annual_planner.desktop.jobs").error("broke: %s", "µ")
    text = (tmp_path / "log" / "program.log").read_text("utf-8")
    assert "ERROR annual_planner.desktop.jobs: broke: µ" in text
    assert list((tmp_path / "before").iterdir()) == []
    log_to(tmp_path / "after")
