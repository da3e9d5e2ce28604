"""The plan goes out: on paper, as a PDF, as calendars."""

import shutil
from datetime import datetime, time
from pathlib import Path

from pypdf import PdfReader
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.library.shelf import load_library
from annual_planner.planning.work_plan import KeepPlan
from annual_planner.records.apply import apply
from annual_planner.store.opening import open_fleet
from demo_fleet.loader import DEMO_TODAY
from tests.desktop.timeline.hands import (
    Open,
    done,
)
from tests.planning.test_owner_days import lay_out_with_owner


def test_the_plan_goes_out_as_calendars_and_paper(when: Timeline, qtbot: QtBot, tmp_path: Path) -> None:
    when.sending.calendars_to(tmp_path)
    done(qtbot, when)
    calendars = list(tmp_path.glob("*.ics"))
    assert (
        len(calendars) == len({name for bar in when.plan.bars for name in bar.people}) if when.plan else False
    )
    assert all(file.read_bytes().startswith(b"BEGIN:VCALENDAR") for file in calendars)
    when.sending.paper_to(tmp_path / "plan.pdf")
    done(qtbot, when)
    assert (tmp_path / "plan.pdf").read_bytes().startswith(b"%PDF")
    assert "plan.pdf" in when.page.strip.text


def test_the_plan_is_printed_across(when: Timeline, qtbot: QtBot, tmp_path: Path) -> None:
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    when.sending.print_on(printer)
    done(qtbot, when)
    assert "went to the printer" in when.page.strip.text
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")


def test_the_paper_says_what_the_owner_does_on_which_day(
    opened: Open, sample: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    path = Path(shutil.copy(sample, tmp_path / "with-owner.fleet"))
    with open_fleet(path) as fleet:
        laid = lay_out_with_owner(fleet, load_library())
        made_at = datetime.combine(DEMO_TODAY, time(12)).astimezone()
        apply(fleet, KeepPlan(laid.package_id, laid.plan, made_at), "test", DEMO_TODAY)
    when = opened(path)
    when.sending.paper_to(tmp_path / "plan.pdf")
    done(qtbot, when)
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "plan.pdf").pages)
    assert f"What {laid.owner.name} does" in " ".join(text.split())
