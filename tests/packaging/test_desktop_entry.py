"""The desktop entry and the metainfo say the same, and the same as the project itself."""

import tomllib
from configparser import ConfigParser
from pathlib import Path
from xml.etree import ElementTree

import annual_planner

ROOT = Path(__file__).resolve().parents[2]
ENTRY = ROOT / "packaging" / "annual-planner.desktop"
METAINFO = ROOT / "packaging" / "org.annualplanner.AnnualPlanner.metainfo.xml"


def entry() -> dict[str, str]:
    """The keys of the desktop entry."""
    parser = ConfigParser(interpolation=None)
    parser.optionxform = str  # type: ignore[assignment,method-assign] # keys are told apart by case
    parser.read(ENTRY)
    return dict(parser["Desktop Entry"])


def project() -> dict[str, object]:
    """The project's own description."""
    return dict(tomllib.loads((ROOT / "pyproject.toml").read_text())["project"])


def test_the_entry_starts_a_command_that_the_project_installs() -> None:
    assert entry()["Exec"] in project()["scripts"]  # type: ignore[operator]


def test_the_metainfo_launches_the_desktop_entry() -> None:
    metainfo = ElementTree.parse(METAINFO).getroot()
    assert metainfo.findtext("launchable") == ENTRY.name
    assert METAINFO.name.startswith(f"{metainfo.findtext('id')}.")


def test_entry_metainfo_and_project_agree_on_names_and_version() -> None:
    metainfo = ElementTree.parse(METAINFO).getroot()
    assert metainfo.findtext("name") == entry()["Name"]
    assert metainfo.findtext("summary") == entry()["Comment"]
    assert metainfo.findtext("icon") == entry()["Icon"]
    assert metainfo.find("releases/release").get("version") == annual_planner.__version__  # type: ignore[union-attr]
