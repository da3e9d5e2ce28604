"""A package invented by hand, large and varied enough to show what paper must bear."""

# ruff: noqa: E501 - rows of invented things are read as a table

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date
from decimal import Decimal

from annual_planner.planning.package_view import (
    DueAfter,
    HoursFor,
    OwnerJob,
    OwnerNote,
    PackageView,
    PartNeed,
    ToolNeed,
)
from annual_planner.store.rows import (
    AircraftSheet,
    AssemblyLine,
    CardLine,
    DiscrepancyLine,
    DueLine,
    ItemLine,
    PackageLine,
)
from annual_planner.trade.cards import Caution, InspectionItem
from annual_planner.trade.coverage import Covered
from annual_planner.trade.working import Working
from tests.paper.sample_words import CAUTIONS, JOBS, SCOPE, STEPS

TODAY = date(2026, 5, 4)
START = date(2026, 5, 18)
LONG_TITLE = (
    "Inspect the fuel selector, its detents, placard and every line from both tanks to the strainer, with the seats "
    "and carpet out, and look for chafing behind the left kick panel where the earlier repair was made"
)
COUNTS = {"engines": 1, "cylinders": 6, "plugs": 12, "wheels": 3}
PEOPLE = ("Marit Holloway", "Tobin Ashgrove", "")


def sample_view(*, registration: str = "N012AP", cards: int = 108, demo: bool = True) -> PackageView:
    """A whole package with so many cards."""
    lines = tuple(_card(number) for number in range(1, cards + 1))
    aircraft = _aircraft(registration)
    package = PackageLine(
        7, "AP-2026-014", 1, registration, "Annual inspection with 100-hour engine items", START, "planning",
        len(lines), sum((line.hours_likely for line in lines), Decimal(0)),
    )  # fmt: skip
    return PackageView(
        package=package,
        aircraft=aircraft,
        assemblies=_assemblies(),
        horizon_on=date(2026, 8, 31),
        today=TODAY,
        demo=demo,
        items=tuple(_item(number) for number in range(1, 25)),
        cards=lines,
        left_out=tuple(
            replace(_card(200 + n), included=False, note="Not due and the owner agreed") for n in range(5)
        ),
        discrepancies=_discrepancies(),
        hours=_hours(lines),
        parts=_parts(lines),
        tools=_tools(lines),
        owner_first=(
            OwnerNote(1, "Send every logbook and loose paper; a gap costs the most time."),
            OwnerNote(5, "Write down every squawk of the year, with when and how it shows itself."),
        ),
        owner_jobs=_owner_jobs(),
        leave_alone=(
            "The cowling and the engine: leaks are read from the stains, so nothing is wiped or washed before arrival.",
            "The propeller: don't turn it by hand, it may fire at any movement.",
            "Anything behind an instrument panel or under a floor: it belongs to the inspection and must be seen as it is.",
            "Safety wire, cotter pins and torque marks, wherever they are.",
        ),
        coverage=_coverage(lines),
        due_after=tuple(_due_after(number) for number in range(1, 25)),
        cautions=tuple(Caution(*each) for each in CAUTIONS),
        order_working=Working("order", "by phase"),
    )


def _aircraft(registration: str) -> AircraftSheet:
    return AircraftSheet(
        1, registration, "Hollin & Sedge", "Sorrel 180", "HS-0417", 1978, "standard", ("hire", "ifr"),
        ("retractable", "fixed-pitch", "six-cylinder"), COUNTS, 3, "Edmund Pellworth", "Fenny Grass Airfield, west row",
        Decimal("8"), Decimal("4127.4"), 9120, date(2026, 5, 2), Decimal("7.5"), "due soon", "", 4,
    )  # fmt: skip


def _assemblies() -> tuple[AssemblyLine, ...]:
    day = date(1978, 4, 1)
    return (
        AssemblyLine(1, "airframe", 1, "Hollin & Sedge", "Sorrel 180", "HS-0417", day, None, Decimal("4127.4"), None),
        AssemblyLine(2, "engine", 1, "Vexley Motor Works", "VX-360", "VX-21877-36", day, None, Decimal("1213.6"), Decimal("1213.6")),
        AssemblyLine(3, "propeller", 1, "Oakwind", "OW-76", "OW-5521", day, None, Decimal("640.2"), Decimal("88.1")),
        AssemblyLine(4, "engine", 1, "Vexley Motor Works", "VX-360", "VX-19002", day, date(2014, 3, 1), Decimal("2001"), None),
    )  # fmt: skip


def _card(number: int) -> CardLine:
    title, phase, kind, zone, entry, doer, signer = JOBS[_job_of(number)]
    likely = Decimal(3 + (number * 7) % 18) / 10
    return CardLine(
        number, 7, number, f"card_{number}", LONG_TITLE if number == 31 else title, zone, phase, kind,
        _tenths(likely * Decimal("0.6")), likely, _tenths(likely * Decimal("1.8")), _content(number, kind), "annual", True,
        doer, signer, entry, None, PEOPLE[number % 3], None, None,
        "Ask the owner for the loose trim piece." if number % 17 == 0 else "", 1,
    )  # fmt: skip


def _tenths(hours: Decimal) -> Decimal:
    return hours.quantize(Decimal("0.1"))


def _job_of(number: int) -> int:
    return min((number - 1) * len(JOBS) // 108, len(JOBS) - 1)


def _content(number: int, kind: str) -> dict[str, object]:
    many = 22 if number == 40 else 2 + (number * 5) % 8
    return {
        "steps": [STEPS[(number * 3 + step) % len(STEPS)] for step in range(many)],
        "panels": ["cowling_top", "belly_panels"] if number % 4 == 0 else [],
        "tools": ["inspection mirror", "strong lamp", "calibrated torque wrench"][: number % 4],
        "parts": _content_parts(number),
        "measurements": _content_measurements(number, kind),
        "cautions": [CAUTIONS[(number + each) % len(CAUTIONS)][0] for each in range(number % 3)],
        "references": ["airplane maker's maintenance manual", "14 CFR 43 App. D(d)(2)"],
        "covers": [SCOPE[number % len(SCOPE)][1]] if kind == "inspect" else [],
        "preventive": ["A(c)(6)"] if number % 9 == 0 else [],
        "why": "The engine's 100-hour item falls within this visit." if number % 6 == 0 else "",
        "merged": ["Wash the engine after the hot checks"] if number % 20 == 0 else [],
    }


def _content_parts(number: int) -> list[dict[str, object]]:
    if number % 5:
        return []
    return [
        {"name": "oil filter", "quantity": "1", "unit": "each", "consumable": False},
        {"name": "cotter pin, assorted", "quantity": "12", "unit": "each", "consumable": True},
        {"name": "engine oil", "quantity": "7.50", "unit": "qt", "consumable": True},
    ]


def _content_measurements(number: int, kind: str) -> list[dict[str, object]]:
    if kind == "test":
        return [
            {"name": "Pressure kept", "unit": "psi", "low": "60", "high": None, "per": "cylinder", "note": "80 psi supplied", "count": 6},
            {"name": "Plug gap as found", "unit": "in", "low": "0.016", "high": "0.021", "per": "plug", "note": ""},
            {"name": "Plug resistance", "unit": "kΩ", "low": None, "high": "5", "per": "plug", "note": "common practice, no source"},
        ]  # fmt: skip
    if number % 8 == 0:
        return [
            {"name": "Tire pressure", "unit": "psi", "low": None, "high": None, "per": "wheel", "note": ""},
            {"name": "Static r.p.m.", "unit": "rpm", "low": "2250", "high": "2400", "per": "airplane", "note": "from type data"},
        ]  # fmt: skip
    return []


def _hours(lines: tuple[CardLine, ...]) -> tuple[HoursFor, ...]:
    by: dict[str, list[CardLine]] = defaultdict(list)
    for line in lines:
        by[line.doer].append(line)
    zero = Decimal(0)
    return tuple(
        HoursFor(
            doer, len(cards), sum((c.hours_low for c in cards), zero),
            sum((c.hours_likely for c in cards), zero), sum((c.hours_high for c in cards), zero),
        )
        for doer, cards in by.items()
    )  # fmt: skip


def _parts(lines: tuple[CardLine, ...]) -> tuple[PartNeed, ...]:
    whose = tuple(line.number for line in lines if line.content["parts"])
    names = [
        ("oil filter", "1", "each", False), ("air filter element", "1", "each", False), ("spark plug gasket", "12", "each", False),
        ("exhaust gasket", "6", "each", False), ("brake lining", "4", "each", False), ("battery cap seal", "6", "each", False),
        ("fuel strainer gasket, with the O-ring for the drain valve as one kit", "1", "kit", False),
        ("engine oil", "7.50", "qt", True), ("cotter pin, assorted", "36", "each", True), ("safety wire 0.032 in", "1", "roll", True),
        ("wheel bearing grease", "0.5", "lb", True), ("solvent", "1", "gal", True), ("lint-free rag", "20", "each", True),
    ]  # fmt: skip
    return tuple(
        PartNeed(name, Decimal(q), unit, used, whose[: 2 + n])
        for n, (name, q, unit, used) in enumerate(names)
    )


def _tools(lines: tuple[CardLine, ...]) -> tuple[ToolNeed, ...]:
    by: dict[str, list[int]] = defaultdict(list)
    for line in lines:
        for tool in line.content["tools"]:  # type: ignore[attr-defined]
            by[tool].append(line.number)
    more = (
        "borescope",
        "differential pressure tester",
        "plug gap gauge",
        "jacks and tail weight",
        "magneto timing light",
    )
    return tuple(ToolNeed(name, tuple(by[name])) for name in sorted(by)) + tuple(
        ToolNeed(name, (9 + n, 44 + n)) for n, name in enumerate(more)
    )


STATES = ("overdue", "due soon", "in date", "no record")


def _due(number: int) -> DueLine:
    titles = ("Annual inspection", "Seat rails: measure wear and cracks", "Altimeter and static system test", "Transponder test",
              "Locator transmitter inspection", "Propeller overhaul by its maker's calendar time", "Magneto 500-hour inspection",
              "Fuel drain valve: look for swelling of the seal")  # fmt: skip
    citations = ("14 CFR 91.409(a)", "AD 2014-00-03", "14 CFR 91.411(a)(1)", "14 CFR 91.413(a)", "14 CFR 91.207(d)",
                 "maker's letter, advisory", "maker's manual, advisory", "AD 2019-00-11")  # fmt: skip
    place = number % len(titles)
    hours = Decimal(4127 + number * 3) if number % 3 else None
    return DueLine(
        number, 1, "N012AP", titles[place], "", citations[place], "", "rule" if place != 5 else "recommended", "12 months", "airframe",
        date(2025, 5, 20), None, date(2026, 5, 31) if number % 2 else None, hours, None, STATES[number % 4], "date", None, None,
        None, None, "",
    )  # fmt: skip


def _item(number: int) -> ItemLine:
    now = number % 3 != 0
    reason = (
        "Falls due before the next visit; the panels it needs are open anyway."
        if now
        else "86 h away at 7.5 h a month; doing it now would give up half of its interval."
    )
    return ItemLine(
        number,
        7,
        _due(number),
        number != 4 and now,
        now,
        reason,
        Decimal("12.5") if now else None,
        40 if now else None,
        1,
    )


def _due_after(number: int) -> DueAfter:
    due = _due(number)
    return DueAfter(
        due.title,
        due.citation,
        "engine 1" if number % 4 else "airframe",
        number % 3 != 0,
        date(2027, 5, 31),
        due.due_hours,
        "in date" if number % 3 else STATES[number % 4],
    )


def _discrepancies() -> tuple[DiscrepancyLine, ...]:
    return (
        DiscrepancyLine(1, 1, date(2026, 2, 2), "cockpit", "Left door latch needs a slam to catch", True, "watch", None, Decimal("0.8")),
        DiscrepancyLine(2, 1, date(2026, 4, 1), "engine", "Oil seep at the front push-rod tube of cylinder 3, runs down to the baffle", False, "correct now", None, Decimal("1.5")),
        DiscrepancyLine(3, 1, date(2026, 4, 1), "wing_left", "Paint lifting at the tip", None, "", None, None),
    )  # fmt: skip


def _owner_jobs() -> tuple[OwnerJob, ...]:
    cautions = {each[0]: Caution(*each) for each in CAUTIONS}
    may, eye = "may do and sign (43.3(g), 43.7(f))", "under the mechanic's eye, no signature"
    return (
        OwnerJob(2, "Bring every record", "Research begins with what was done; a missing page costs hours.", "no certificate needed",
                 ("Airframe, engine and propeller logs, all of them.", "Flight manual with its supplements, weight and balance, equipment list.",
                  "The list of directives with how each was met.", "Keys, covers, tow bar; note what you have noticed in flight."), ()),
        OwnerJob(9, "Take the seats and carpet out", "The cabin floor is opened; half an hour saved for each seat.", eye,
                 ("Empty the cabin, pockets and baggage room.", "Take the front seats off their rails, keep the stops together in a bag."), (cautions["lifting"],)),
        OwnerJob(14, "Replace the landing light lamp", "It is out; the lamp is a preventive item.", may,
                 ("Battery off.", "Fit the lamp the parts catalog names.", "Try it, and write the entry."), (cautions["battery"],)),
        OwnerJob(17, "Clean the belly after the inspection of its stains", "A clean belly shows cracks and working rivets.", eye,
                 ("Wait until the mechanic has seen the stains.", "Wash from front to back; keep water out of vents and static ports."), (cautions["solvents"],)),
    )  # fmt: skip


def _coverage(lines: tuple[CardLine, ...]) -> tuple[Covered, ...]:
    return tuple(_covered(InspectionItem(*each), number, lines) for number, each in enumerate(SCOPE))


def _covered(item: InspectionItem, number: int, lines: tuple[CardLine, ...]) -> Covered:
    if number == 2:
        return Covered(item, (), "An airplane has no envelope.")
    keys = () if number == 6 else tuple(line.key for line in lines[number * 3 : number * 3 + 2])
    return Covered(item, keys)
