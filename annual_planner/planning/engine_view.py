"""Plugs and cylinders of one engine for a reader: window, paper and command line show the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.store.plug_rows import (
    CheckLine,
    CylinderChangeLine,
    CylinderLine,
    EnginePlace,
    PlugLine,
    RotationLine,
    StayLine,
    TestLine,
)
from annual_planner.trade.compression import Conditions, JudgedCylinder, JudgedTest, JudgingRule
from annual_planner.trade.cylinder_trend import CylinderTrend
from annual_planner.trade.engines import EngineType, Magneto, Place, TorqueRange
from annual_planner.trade.firing import Polarity, SparkAt
from annual_planner.trade.going_in import GoesIn
from annual_planner.trade.plug_check import Decision, PlugSeen
from annual_planner.trade.plug_set import Reach, SetOutlook
from annual_planner.trade.plugs import PlugType, Verdict
from annual_planner.trade.recheck import LeakPath, Recheck, RecheckDone, RecheckStep
from annual_planner.trade.rotation import Rotation
from annual_planner.trade.rotation_search import Proposal
from annual_planner.trade.wear import PlugWear
from annual_planner.trade.working import Worked


@dataclass(frozen=True, slots=True)
class LookView:
    """One look at a plug. `life_hours`: what the plug had run by then; None where not known.

    `decision`: what the look says by itself, None where the plug's type is not in the library. `verdict`:
    what counts, which a person may have decided otherwise.
    """

    line: CheckLine
    life_hours: Decimal | None
    seen: PlugSeen
    decision: Worked[Decision] | None
    verdict: Verdict

    @property
    def largest_gap_in(self) -> float | None:
        """The widest gap that was measured."""
        return max(self.line.gaps_in, default=None)


@dataclass(frozen=True, slots=True)
class PlugView:
    """One plug and its life up to today. Looks and stays newest first.

    `run_hours`: all hours it has run. `hours_since_set`: those since its gap was last set, or since it was
    new. `last_gap_in`: as it was left at the last look at which it was measured. None where not known.
    `wear`: None where its type is not in the library.
    """

    line: PlugLine
    plug_type: PlugType | None
    run_hours: Decimal | None
    looks: tuple[LookView, ...]
    stays: tuple[StayLine, ...]
    last_gap_in: float | None
    last_gap_on: date | None
    hours_since_set: Decimal | None
    wear: Worked[PlugWear] | None

    @property
    def plug_id(self) -> int:
        """The plug's id."""
        return self.line.plug_id

    @property
    def tag(self) -> str:
        """Its serial or the shop's tag."""
        return self.line.tag

    @property
    def type_title(self) -> str:
        """The title of its type, or the type's key where the library doesn't have it."""
        return self.plug_type.title if self.plug_type else self.line.type_key

    @property
    def fitted(self) -> StayLine | None:
        """The stay that goes on today."""
        return next((stay for stay in self.stays if stay.removed_on is None), None)


@dataclass(frozen=True, slots=True)
class PlaceView:
    """One place of the engine and the plug in it; `plug` and `stay` are None while it is empty.

    `next_place`: where its plug goes by the chosen scheme. `reach`: how it stands to the next annual.
    `hours_here`: hours its plug has run in this place in this stay.
    """

    place: Place
    magneto: Magneto
    polarity: Polarity
    next_place: Place
    plug: PlugView | None
    stay: StayLine | None
    hours_here: Decimal | None
    reach: Reach | None


@dataclass(frozen=True, slots=True)
class TraySlot:
    """One place of the plug box: the plug that came out of `place`, and what was found out about it.

    `before`, `after`: the newest look before and after cleaning while it lies here. `verdict`: what counts
    now, None before it was looked at. `next_place`: where the chosen scheme sends it, None when it is
    rejected.
    """

    place: Place
    plug: PlugView
    stay: StayLine
    before: LookView | None
    after: LookView | None
    verdict: Verdict | None
    next_place: Place | None

    @property
    def rejected(self) -> bool:
        """Whether it doesn't go back in."""
        return self.verdict is Verdict.REPLACE or self.plug.line.scrapped_on is not None

    @property
    def gasket_out(self) -> bool | None:
        """Whether its gasket came out with it; None until it is asked."""
        return self.stay.gasket_out


@dataclass(frozen=True, slots=True)
class GasketCount:
    """Gaskets out against plugs out. `missing`: not out with their plug. `not_asked`: nobody said yet."""

    plugs_out: int
    gaskets_out: int
    missing: tuple[Place, ...]
    not_asked: tuple[Place, ...]

    @property
    def said(self) -> str:
        """The count in words, with each missing gasket's place by name."""
        gaskets = "gasket" if self.gaskets_out == 1 else "gaskets"
        plugs = "plug" if self.plugs_out == 1 else "plugs"
        counted = f"{self.gaskets_out} {gaskets} out of {self.plugs_out} {plugs}"
        asked = [f"missing at {_places(self.missing)}"] if self.missing else []
        asked += [f"not asked at {_places(self.not_asked)}"] if self.not_asked else []
        return "; ".join([counted, *asked])


def _places(places: tuple[Place, ...]) -> str:
    return ", ".join(str(at) for at in places)


@dataclass(frozen=True, slots=True)
class TrayView:
    """The open tray: plugs that are out of the engine and not yet back. Slots in the order of the places.

    `goes_in`: what goes into every place by the chosen scheme, or None with the reason in `goes_in_refused`.
    """

    line: RotationLine
    slots: tuple[TraySlot, ...]
    gaskets: GasketCount
    goes_in: Worked[tuple[GoesIn, ...]] | None
    goes_in_refused: str

    @property
    def rotation_id(self) -> int:
        """The rotation this tray belongs to."""
        return self.line.rotation_id

    def slot(self, place: Place) -> TraySlot | None:
        """The slot of the plug that came out of a place; None where none did."""
        return next((each for each in self.slots if each.place == place), None)


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One cylinder in one test: what was read, what the rule makes of it, and where air was heard.

    `recheck`: None for a reading that was good at once, or where there is no lowest good reading.
    """

    line: CylinderLine
    judged: JudgedCylinder | None
    paths: Worked[tuple[LeakPath, ...]]
    rechecked: tuple[RecheckDone, ...]
    recheck: Worked[Recheck] | None


@dataclass(frozen=True, slots=True)
class TestView:
    """One compression test, judged by the rule of the engine type; else `refused` says why it isn't."""

    __test__ = False
    """Not a test of the program, whatever its name."""

    line: TestLine
    made: Conditions
    air: str
    """Where the air of the day comes from."""
    readings: tuple[ReadingView, ...]
    judged: Worked[JudgedTest] | None
    lowest_good: Worked[float] | None
    refused: str

    def reading(self, cylinder: int) -> ReadingView | None:
        """The reading of one cylinder; None where it was not read."""
        return next((each for each in self.readings if each.line.cylinder == cylinder), None)


@dataclass(frozen=True, slots=True)
class CylinderView:
    """One cylinder: its trend or the reason why there is none, and work on it, newest first.

    `latest`: its newest reading with the test it belongs to.
    """

    cylinder: int
    trend: Worked[CylinderTrend] | None
    refused: str
    changes: tuple[CylinderChangeLine, ...]
    latest: ReadingView | None
    latest_test: TestView | None


@dataclass(frozen=True, slots=True)
class EngineView:
    """Everything a reader needs of one engine. Places in the order of the engine type, tests newest first.

    `positions`: all engines of the airplane, this one too. `schemes`: those offered, the usual one first;
    `scheme_key` names the chosen one: of the open tray, else of the last rotation, else the usual one.
    `outlook`: None with the reason in `outlook_refused`. `spares`: plugs in the drawer that suit this engine.
    `removed`: plugs that were in it once and are in none now, neither in its tray nor in the drawer.
    """

    aircraft_id: int
    registration: str
    position: int
    positions: tuple[EnginePlace, ...]
    assembly_id: int
    engine_title: str
    engine_type: EngineType
    engine_hours: Decimal | None
    today: date
    demo: bool
    places: tuple[PlaceView, ...]
    tray: TrayView | None
    spares: tuple[PlugView, ...]
    removed: tuple[PlugView, ...]
    rotations: tuple[RotationLine, ...]
    schemes: tuple[Worked[Rotation], ...]
    scheme_key: str
    proposal: Worked[Proposal]
    sparks: Worked[tuple[SparkAt, ...]]
    torque: Worked[TorqueRange]
    restrictor: Worked[float]
    rule: JudgingRule
    hours_to_annual: Worked[Decimal] | None
    hours_to_annual_refused: str
    outlook: Worked[SetOutlook] | None
    outlook_refused: str
    tests: tuple[TestView, ...]
    cylinders: tuple[CylinderView, ...]
    leak_paths: tuple[LeakPath, ...]
    ladder: tuple[RecheckStep, ...]

    @property
    def scheme(self) -> Worked[Rotation]:
        """The rotation of the chosen scheme."""
        chosen = (each for each in self.schemes if each.value.scheme.key == self.scheme_key)
        return next(chosen, self.schemes[0])

    def at(self, place: Place) -> PlaceView:
        """One place. Raises Refused where the engine has no such place."""
        self.engine_type.checked(place)
        return next(each for each in self.places if each.place == place)

    def cylinder(self, number: int) -> CylinderView | None:
        """One cylinder; None where the engine has no such cylinder."""
        return next((each for each in self.cylinders if each.cylinder == number), None)

    @property
    def unfit(self) -> tuple[Place, ...]:
        """Places whose plug won't or may not reach the next annual, or is at its limit now."""
        short = (Reach.WORN, Reach.SHORT, Reach.DOUBT)
        return tuple(each.place for each in self.places if each.reach in short)
