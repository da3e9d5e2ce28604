"""Columns of the library's lists."""

from __future__ import annotations

from decimal import Decimal

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column
from annual_planner.library.zone_words import zone_words
from annual_planner.trade.cards import CardTemplate, Caution, Hours
from annual_planner.trade.clauses import Clause, Decides
from annual_planner.trade.coverage import Covered
from annual_planner.trade.engines import EngineType, MagnetoPhase, PolarityRule
from annual_planner.trade.periods import interval_text
from annual_planner.trade.plugs import ConditionSays, PlugType
from annual_planner.trade.requirements import RequirementTemplate


def words(key: str) -> str:
    """A key of a data file as words."""
    return key.replace("_", " ")


GROUP_WORDS = {
    "fuselage_hull": "fuselage and hull",
    "cabin_cockpit": "cabin and cockpit",
    "engine_nacelle": "engine and nacelle",
    "wing_center_section": "wing and center section",
    "misc": "whatever else is installed",
}
"""Where the key of a group of the scope of an annual, taken as words, would read badly."""


DECIDES_WORDS = {
    Decides.DO: "may do it",
    Decides.SUPERVISED: "may do it supervised",
    Decides.SIGN: "may sign it",
    Decides.FLY: "may check it in flight",
    Decides.ASK: "a person judges",
    Decides.FORBID: "may not",
    Decides.ENTRY: "an entry is owed",
    Decides.FORM: "a form is owed",
    Decides.WARN: "to be told",
    Decides.ASSUME: "taken for granted",
}


def decides_words(decides: Decides) -> str:
    """What a rule settles, in words."""
    return DECIDES_WORDS[decides]


FACT_WORDS = {
    "airplane.category": "category of the airplane",
    "airplane.uses": "use of the airplane",
    "authorization.activity": "activity under the inspection authorization",
    "authorization.notice": "notice under the inspection authorization",
    "authorization.time": "time of the inspection authorization",
    "mechanic.ratings": "ratings of the mechanic",
    "mechanic.recent": "recent experience of the mechanic",
    "person.certificates": "certificates of the person",
    "person.standing": "what the person is to the airplane",
    "pilot.grades": "grade of the pilot certificate",
    "repairman.ratings": "ratings of the repairman",
    "station.ratings": "ratings of the repair station",
    "work.complex": "complex assembly",
    "work.inspection": "inspection it belongs to",
    "work.items": "item of the list of preventive maintenance",
    "work.kind": "kind of work",
    "work.listed": "on the list of preventive maintenance",
    "work.major": "major repair or alteration",
    "work.subject": "subject of the work",
}


def fact_words(fact: str) -> str:
    """What a rule asks about, in words."""
    return FACT_WORDS.get(fact, words(fact).replace(".", ", "))


def counted_words(counts_on: str) -> str:
    """What the hours of a requirement count on; many go by the calendar alone."""
    return "the calendar alone" if counts_on == "none" else words(counts_on)


def layout_words(layout: str) -> str:
    """How cylinders stand, in words."""
    return "V" if layout == "v" else words(layout)


def group_words(key: str) -> str:
    """A group of the scope of an annual as words."""
    return GROUP_WORDS.get(key, words(key))


def hours_span(hours: Hours) -> str:
    """Low, likely and high hours: 0.5 – 1.0 – 2.0; a quarter of an hour keeps its second place."""
    return " – ".join(_hours(each) for each in (hours.low, hours.likely, hours.high))


def _hours(hours: Decimal) -> str:
    tenths = hours.quantize(Decimal("0.1"))
    return f"{tenths if tenths == hours else hours.normalize():f}"


CARD_COLUMNS: tuple[Column[CardTemplate], ...] = (
    Column("title", "Card", lambda c: c.title, "title", 38),
    Column("phase", "Phase", lambda c: words(c.phase), "phase", 11, by=lambda c: (c.phase.order, c.title),
           aside=6),
    Column("zone", "Zone", lambda c: zone_words(c.zone), "zone", 20, aside=5),
    Column("kind", "Kind", lambda c: words(c.kind), "kind", 9, aside=3),
    Column("subject", "Subject", lambda c: words(c.subject), "subject", 11, aside=2),
    Column(
        "hours", "Hours", lambda c: hours_span(c.hours), "hours", 15, right=True, by=lambda c: c.hours.likely,
        spoken=lambda c: f"{c.hours.low} at best, {c.hours.likely} as a rule, {c.hours.high} at worst",
        aside=4,
    ),
    Column("who", "Owner may", lambda c: ", ".join(c.preventive), "who", 16, aside=1),
    Column("covers", "Covers", lambda c: ", ".join(c.covers), "covers", 18, hidden=True),
    Column("key", "Key", lambda c: c.key, "key", 24, hidden=True),
)  # fmt: skip
REQUIREMENT_COLUMNS: tuple[Column[RequirementTemplate], ...] = (
    Column("title", "Requirement", lambda r: r.title, "title", 36),
    Column("citation", "Rests on", lambda r: r.citation, "citation", 24, aside=5),
    Column("force", "Force", lambda r: words(r.force), "force", 12, aside=3),
    Column("interval", "Interval", lambda r: every(r), "interval", 28, aside=4),
    Column("counts_on", "Counts on", lambda r: counted_words(r.counts_on), "counts_on", 11, aside=2),
    Column("bites_on", "For use", lambda r: ", ".join(r.bites_on), "bites_on", 10, aside=1),
    Column("source", "Source", lambda r: r.source, "source", 20, hidden=True),
)
CAUTION_COLUMNS: tuple[Column[Caution], ...] = (
    Column("title", "Caution", lambda c: c.title, "title", 30, sign=lambda _c: "caution"),
    Column("text", "What it says", lambda c: c.text, "text", 80, aside=1),
)
RULE_COLUMNS: tuple[Column[Clause], ...] = (
    Column("citation", "Citation", lambda r: r.citation, "citation", 26),
    Column("decides", "Decides", lambda r: decides_words(r.decides), "decides", 19, aside=1),
    Column("says", "In our words", lambda r: r.says, "says", 80),
)
SCOPE_COLUMNS: tuple[Column[Covered], ...] = (
    Column("ref", "Paragraph", lambda c: c.item.ref.removeprefix("14 CFR "), "ref", 15, aside=LAST_RESORT),
    Column("state", "Covered", lambda c: covered_word(c), "state", 15, sign=lambda c: covered_word(c)),
    Column("group", "Group", lambda c: group_words(c.item.group), "group", 17, aside=1),
    Column("subject", "What is looked at", lambda c: c.item.subject, "subject", 40),
    Column("cards", "By card", lambda c: ", ".join(c.cards), "cards", 44, aside=2),
)

ENGINE_COLUMNS: tuple[Column[EngineType], ...] = (
    Column("title", "Engine type", lambda e: e.title, "title", 30),
    Column("layout", "Layout", lambda e: layout_words(e.layout.value), "layout", 17, aside=5),
    Column("cylinders", "Cylinders", lambda e: str(len(e.firing_order)), "cylinders", 10, right=True,
           by=lambda e: len(e.firing_order), aside=6),
    Column("firing", "Firing order", lambda e: "-".join(map(str, e.firing_order)), "firing", 26, aside=4),
    Column("phase", "Magnetos", lambda e: sparks(e), "phase", 22, aside=3),
    Column("thread", "Thread", lambda e: e.thread.value, "thread", 8, aside=2),
    Column("torque", "Torque (Nm)", lambda e: f"{e.torque.low_nm:g} – {e.torque.high_nm:g}", "torque", 13,
           right=True, by=lambda e: e.torque.low_nm,
           spoken=lambda e: f"{e.torque.low_nm:g} to {e.torque.high_nm:g} newton metres", aside=1),
    Column("plugs", "Plug types", lambda e: ", ".join(plugs_of(e)), "plugs", 40, hidden=True),
    Column("key", "Key", lambda e: e.key, "key", 20, hidden=True),
)  # fmt: skip
PLUG_COLUMNS: tuple[Column[PlugType], ...] = (
    Column("title", "Plug type", lambda p: p.title, "title", 30),
    Column("thread", "Thread", lambda p: p.thread.value, "thread", 8, aside=5),
    Column("electrode", "Electrodes", lambda p: words(p.electrode.value), "electrode", 11, aside=4),
    Column("gap", "Gap (in)", lambda p: f"{p.gap_low_in:.3f} – {p.gap_high_in:.3f}", "gap", 15, right=True,
           by=lambda p: p.gap_low_in, spoken=lambda p: f"{p.gap_low_in:.3f} to {p.gap_high_in:.3f} inch"),
    Column("wear", "Electrode, new – limit (in)",
           lambda p: f"{p.electrode_in:.3f} – {p.wear_limit_in:.3f}", "wear", 20, right=True,
           by=lambda p: p.electrode_in,
           spoken=lambda p: f"{p.electrode_in:.3f} inch when new, rejected at {p.wear_limit_in:.3f}",
           aside=3),
    Column("ohms", "Resistance under (Ω)", lambda p: ohms_text(p.resistance_limit_ohm), "ohms", 16,
           right=True,
           by=lambda p: p.resistance_limit_ohm or 0.0, aside=2),
    Column("price", "Price", lambda p: f"{p.price:.2f}", "price", 9, right=True, by=lambda p: p.price,
           aside=1),
    Column("source", "Source", lambda p: p.source, "source", 40, hidden=True),
    Column("key", "Key", lambda p: p.key, "key", 20, hidden=True),
)  # fmt: skip
CONDITION_COLUMNS: tuple[Column[ConditionSays], ...] = (
    Column("condition", "Condition", lambda c: c.condition.value, "condition", 17),
    Column("verdict", "By itself", lambda c: c.verdict.value, "verdict", 13),
    Column("looks", "Looks like", lambda c: c.looks_like, "looks", 44, aside=2),
    Column("next", "Look next at", lambda c: "; ".join(c.look_next), "next", 50, aside=1),
    Column("source", "Source", lambda c: c.source, "source", 30, hidden=True),
)


def sparks(engine: EngineType) -> str:
    """How the two magnetos of an engine stand to each other, in words."""
    if engine.polarity is PolarityRule.ALL_ALIKE:
        return "every spark alike"
    return {MagnetoPhase.AGREE: "agree", MagnetoPhase.OPPOSED: "oppose each other"}.get(
        engine.phase, "not known"
    )


def plugs_of(engine: EngineType) -> list[str]:
    """Titles of all plug types an engine takes, each once."""
    return list(dict.fromkeys(each.title for row in engine.rows for each in row.plug_types))


def ohms_text(limit_ohm: float | None) -> str:
    """A maker's limit of resistance; that none is given where it gives none."""
    return "none given" if limit_ohm is None else f"{limit_ohm:g}"


def covered_word(covered: Covered) -> str:
    """How an item of the scope stands, in one word of standing."""
    if covered.cards:
        return "covered"
    return "does not apply" if covered.not_applicable else "not covered"


def every(requirement: RequirementTemplate) -> str:
    """The interval in words, or that it stands elsewhere."""
    return interval_text(requirement.interval) if requirement.interval else "airplane by airplane"
