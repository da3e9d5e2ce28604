"""The sheet a person reads before signing: exact content, what the signature means, whether they may."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner import __version__
from annual_planner.library.rules import load_rules
from annual_planner.records.signable import signable
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.signed_reads import link_of, signed_of, signer_of
from annual_planner.store.signed_subjects import aircraft_to_sign, person_reference
from annual_planner.trade.canonical import canonical_bytes, day_text, moment_text, zone_text
from annual_planner.trade.people import Airplane, Certificate, Standing
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.seals import CONTENT, digest_of
from annual_planner.trade.shown import shown
from annual_planner.trade.signing import MEANINGS, MaySign, Signer, ToSign, may_sign
from annual_planner.trade.working import Worked

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be signed, by whom, and as what."""

    subject_table: str
    subject_id: int
    person_id: int
    meaning: str
    shown_at: datetime
    performer_id: int | None = None
    corrects_id: int | None = None
    correction_why: str = ""
    workstation: str = ""


@dataclass(frozen=True, slots=True)
class SigningSheet:
    """What a person is shown before they sign: the bytes to be signed, and a text made of them alone."""

    asked: Asked
    kind: str
    said: str
    content: bytes
    text: str
    meaning: str
    meaning_says: str
    entitled: Worked[MaySign]
    work_on: date | None
    late: str
    """'late entry: signed 3 days after the work', or empty."""
    aircraft_id: int | None
    package_id: int | None
    corrects_id: int | None

    @property
    def digest(self) -> str:
        """SHA-256 of the content."""
        return digest_of(self.content)


def content_to_sign(
    work: Work,
    subject_table: str,
    subject_id: int,
    *,
    person_id: int,
    meaning: str,
    at: datetime,
    performer_id: int | None = None,
    corrects_id: int | None = None,
    correction_why: str = "",
    workstation: str = "",
) -> SigningSheet:
    """The sheet for one thing and one person at a moment, which carries the zone of their clock.

    It is made for a person who may not sign, too, so that they can read why. Raises Refused where the thing
    can't be signed as it stands: not done, no draft any more, signed already, its day still to come.
    """
    asked = Asked(
        subject_table,
        subject_id,
        person_id,
        meaning,
        at,
        performer_id,
        corrects_id,
        correction_why.strip(),
        workstation,
    )
    return make_sheet(work, asked)


def make_sheet(work: Work, asked: Asked) -> SigningSheet:
    """The sheet as the fleet stands now; the same bytes again while nothing was changed."""
    how = signable(asked.subject_table)
    how.check(work, asked.subject_id)
    thing = how.read(work, asked.subject_id)
    signing_on = asked.shown_at.date()
    _check_day(thing, signing_on)
    corrects_id = thing.corrects_id or asked.corrects_id
    _check_once(work, asked, thing, corrects_id)
    entitled = entitlement(work, asked, thing, signing_on)
    late = late_by(thing.work_on, signing_on)
    content = _content(work, asked, thing, entitled.value, late, corrects_id)
    return SigningSheet(
        asked=asked,
        kind=thing.kind,
        said=thing.said,
        content=content,
        text=shown(content),
        meaning=asked.meaning,
        meaning_says=MEANINGS.get(asked.meaning, ""),
        entitled=entitled,
        work_on=thing.work_on,
        late=late,
        aircraft_id=thing.aircraft_id,
        package_id=thing.package_id,
        corrects_id=corrects_id,
    )


def late_by(work_on: date | None, signing_on: date) -> str:
    """How late a signature is, in words; empty when it is given on the day of the work.

    >>> late_by(date(2026, 5, 1), date(2026, 5, 4))
    'late entry: signed 3 days after the work'
    """
    days = 0 if work_on is None else (signing_on - work_on).days
    return f"late entry: signed {days} day{'s' * (days > 1)} after the work" if days > 0 else ""


def entitlement(work: Work, asked: Asked, thing: ToSign, signing_on: date) -> Worked[MaySign]:
    """Whether the person may sign, from their certificates as stored now and from the thing's own facts."""
    person, roles = signer_of(work, asked.person_id)
    aircraft = None if thing.aircraft_id is None else aircraft_to_sign(work, thing.aircraft_id)
    owns = aircraft is not None and aircraft.owner_id == asked.person_id
    signer = Signer(asked.person_id, person, roles, Standing.OWNER if owns else Standing.NONE)
    airplane = Airplane() if aircraft is None else Airplane(aircraft.category, aircraft.uses)
    performer_id = asked.performer_id if asked.performer_id is not None else thing.performer_id
    return may_sign(thing, asked.meaning, signer, airplane, performer_id, signing_on, load_rules())


def _check_day(thing: ToSign, signing_on: date) -> None:
    if thing.work_on is not None and thing.work_on > signing_on:
        raise Refused(
            f"The day of the work, {said_date(thing.work_on)}, is still to come.",
            "Look at that day, and at the computer's clock.",
        )


def _check_once(work: Work, asked: Asked, thing: ToSign, corrects_id: int | None) -> None:
    """A second signature of one person with one meaning is a correction: it names which record and why."""
    if corrects_id is not None:
        _check_corrects(work, asked, thing, corrects_id)
        return
    lines = signed_of(work, asked.subject_table, [asked.subject_id])
    same = [each for each in lines if each.meaning == asked.meaning and each.corrected_by_id is None]
    if any(each.person_id == asked.person_id for each in same):
        raise Refused(
            f"There is a signature of the same person on {thing.said} already, as {asked.meaning}.",
            "If it has to be corrected, sign a correction that names the reason.",
        )


def _check_corrects(work: Work, asked: Asked, thing: ToSign, corrects_id: int) -> None:
    if not (thing.correction_why or asked.correction_why):
        raise Refused("The correction gives no reason.", "Write why the earlier record is corrected.")
    old = link_of(work, corrects_id).sealed
    if old.subject_table != asked.subject_table or old.aircraft_id != thing.aircraft_id:
        raise Refused("The earlier record is about something else.", "Choose the record that is corrected.")
    if thing.corrects_id is None and old.subject_id != asked.subject_id:
        raise Refused("The earlier record is about something else.", "Choose the record that is corrected.")
    lines = signed_of(work, old.subject_table, [old.subject_id])
    if any(each.record_id == corrects_id and each.corrected_by_id for each in lines):
        raise ChangedMeanwhile("earlier record")


def _content(
    work: Work, asked: Asked, thing: ToSign, may: MaySign, late: str, corrects_id: int | None
) -> bytes:
    rules = load_rules()
    person, _ = signer_of(work, asked.person_id)
    performer_id = asked.performer_id if asked.performer_id is not None else thing.performer_id
    return canonical_bytes(
        {
            "form": CONTENT,
            "kind": thing.kind,
            "what": thing.said,
            "subject": {
                "table": asked.subject_table,
                "row": asked.subject_id,
                "aircraft": thing.aircraft_id,
                "package": thing.package_id,
            },
            "content": dict(thing.values),
            "meaning": asked.meaning,
            "meaning says": MEANINGS.get(asked.meaning, ""),
            "signer": {
                "id": asked.person_id,
                "name": person.name,
                "role": may.role,
                "certificates": [_certificate(each) for each in may.certificates],
            },
            "performed by": person_reference(work, performer_id),
            "work on": day_text(thing.work_on),
            "shown at": moment_text(asked.shown_at),
            "zone": zone_text(asked.shown_at),
            "late": late,
            "corrects": _corrected(work, asked, thing, corrects_id),
            "entitled": {
                "answer": may.why,
                "rules": rules.name,
                "rules read on": day_text(rules.read_on),
            },
            "workstation": asked.workstation,
            "program": f"Annual Planner {__version__}",
        }
    )


def _certificate(certificate: Certificate) -> dict[str, object]:
    return {
        "kind": str(certificate.kind),
        "number": certificate.number,
        "ratings": sorted(certificate.ratings),
    }


def _corrected(work: Work, asked: Asked, thing: ToSign, corrects_id: int | None) -> dict[str, object] | None:
    if corrects_id is None:
        return None
    old = link_of(work, corrects_id)
    return {
        "record": corrects_id,
        "content sha256": old.sealed.digest,
        "seal": old.seal,
        "reason": thing.correction_why or asked.correction_why,
    }
