"""Checking the chain of signed records: what no longer matches, and what its being whole doesn't prove."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from annual_planner.records.standing import changed_since
from annual_planner.store.record_rows import Link, UnreadableLink
from annual_planner.store.signed_reads import last_link_in_trail, links, signed_entries
from annual_planner.trade.canonical import NotCanonical, day_text, moment_text, read_canonical
from annual_planner.trade.seals import ACT, CONTENT, FIRST, digest_of, seal_text
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

if TYPE_CHECKING:
    from annual_planner.store.session import Work

PROVES_NOT = (
    "that the work was done, or done well",
    "who sat at the keyboard: only that the holder's passphrase was typed",
    "that the computer's clock was right",
    (
        "that no records were cut off at the end, or that the chain was not made anew by those whose keys are"
        " in it: compare the last seal with one on a printed paper"
    ),
)
"""What a chain that is whole does not prove."""


@dataclass(frozen=True, slots=True)
class ChainFault:
    """One thing that no longer matches."""

    link: int
    record_id: int
    person: str
    registration: str
    what: str

    def __str__(self) -> str:
        of_whom = ", ".join(each for each in (self.person, self.registration) if each)
        return f"Link {self.link} (record {self.record_id}{f', {of_whom}' if of_whom else ''}): {self.what}"


@dataclass(frozen=True, slots=True)
class ChainState:
    """The chain as it was found."""

    links: int
    last_seal: str
    """The newest link's seal, to compare with printed papers; 64 zeros before the first."""
    faults: tuple[ChainFault, ...]
    seals: frozenset[str] = field(default=frozenset(), repr=False)

    @property
    def whole(self) -> bool:
        """Whether everything matches."""
        return not self.faults


def check_chain(work: Work) -> Worked[ChainState]:
    """Check every link: bytes, digest, signature, seal, order, key, and the rows that say they are signed."""
    found = _Checking(work)
    for link in links(work):
        if isinstance(link, UnreadableLink):
            found.pass_over(link)
        else:
            found.look_at(link)
    found.finish()
    state = ChainState(found.count, found.seal, tuple(found.faults), frozenset(found.seals))
    return Worked(state, _working(state))


def read_seal(printed: str) -> str:
    """The seal that was typed from a paper, in one piece and small letters; empty where it can be none."""
    seal = "".join(printed.split()).lower()
    return seal if len(seal) == len(FIRST) and set(seal) <= set("0123456789abcdef") else ""


def seal_on_paper(state: ChainState, printed: str) -> str:
    """What is wrong when a printed seal is held against the chain; empty where the chain has it.

    A seal of the chain stands for every link up to its own, so an older paper is a good witness too.
    """
    wanted = read_seal(printed)
    if not wanted:
        return "That is no seal: a seal is 64 signs of 0 to 9 and a to f."
    if wanted in state.seals:
        return ""
    return "No link has the seal from the paper: the chain was cut off or made anew since it was printed."


def _working(state: ChainState) -> Working:
    result = "whole" if state.whole else f"{len(state.faults)} things no longer match"
    return Working(
        title=f"Chain of {state.links} signed records",
        result=result,
        inputs=(Input("signed records", str(state.links)),),
        steps=tuple(Step(str(fault)) for fault in state.faults)
        or (Step("bytes, digest, signature and seal of each, and the order of all", "as they were signed"),),
        rules=(Rule("FIPS 180-4, RFC 8032, RFC 8785", "SHA-256, Ed25519, canonical JSON"),),
        assumptions=(
            *(f"It does not prove {each}." for each in PROVES_NOT),
            f"Last seal: {seal_text(state.last_seal)}",
        ),
    )


class _Checking:
    """One pass along the chain."""

    def __init__(self, work: Work) -> None:
        self._work = work
        self.count = 0
        self.seal = FIRST
        self.seals: set[str] = set()
        self.faults: list[ChainFault] = []
        self._closed: dict[int, int] = {}
        self._replaced: set[int] = set()
        self._live: list[Link] = []
        self._last = 0
        self._entries: set[int] = set()
        self._records: dict[int, str] = {}
        self._keys: dict[int, bytes] = {}

    def look_at(self, link: Link) -> None:
        """Check one link; one that holds what no column of ours does is a finding, not a fault of ours."""
        try:
            self._take(link)
        except (ValueError, TypeError, AttributeError) as fault:
            self.pass_over(UnreadableLink(link.record_id, str(fault)))

    def pass_over(self, link: UnreadableLink) -> None:
        """Note a link that can't be read; the next one is held against it as far as it goes."""
        self.faults.append(
            ChainFault(self._last + 1, link.record_id, "", "", f"it can't be read: {link.why}")
        )
        self.count, self._last = self.count + 1, self._last + 1

    def _take(self, link: Link) -> None:
        """Check one link against itself and against the one before."""
        sealed = link.sealed
        for what in (
            *self._order(link),
            *own_faults(link),
            *self._key_faults(link),
            *self._correcting(link),
        ):
            self._fault(link, what)
        if sealed.kind == "key closed":
            self._closed[sealed.subject_id] = sealed.link
        if sealed.subject_table == "log_entry":
            self._entries.add(sealed.subject_id)
        if sealed.corrects_id is not None and self._same_row(link):
            self._replaced.add(sealed.corrects_id)
        self._live.append(link)
        self._records[link.record_id] = link.seal
        self.count, self.seal, self._last = self.count + 1, link.seal, sealed.link
        self.seals.add(link.seal)

    def finish(self) -> None:
        """Hold the chain against the rows that say they are signed, and against the audit trail."""
        for link in self._live:
            if link.record_id not in self._replaced and link.sealed.kind != "key closed":
                self._still_says(link)
        for entry_id, state in sorted(signed_entries(self._work).items()):
            if entry_id not in self._entries:
                self._loose(f"entry {entry_id} is '{state}', and no signed record is about it")
        told = last_link_in_trail(self._work)
        if told != self._last:
            self._loose(f"the audit trail tells of link {told}, and the chain ends at link {self._last}")

    def _same_row(self, link: Link) -> bool:
        """Whether a correction is about the very row that it corrects: a card signed again as it is now."""
        table, row_id = link.sealed.subject_table, link.sealed.subject_id
        old = [each.sealed for each in self._live if each.record_id == link.sealed.corrects_id]
        return any((each.subject_table, each.subject_id) == (table, row_id) for each in old)

    def _still_says(self, link: Link) -> None:
        sealed = link.sealed
        changed = changed_since(self._work, sealed.subject_table, sealed.subject_id, link.content)
        if changed:
            self._fault(link, f"the {sealed.kind} was changed after it was signed: {', '.join(changed)}")

    def _order(self, link: Link) -> list[str]:
        sealed, faults = link.sealed, []
        if sealed.link != self._last + 1:
            faults.append(f"link {self._last + 1} is missing before it")
        if link.record_id != sealed.link:
            faults.append(f"its number is {link.record_id}, and its link {sealed.link}")
        if sealed.previous_seal != self.seal:
            faults.append("the seal before it is not the one it was signed after")
        return faults

    def _key_faults(self, link: Link) -> list[str]:
        sealed, faults = link.sealed, []
        if link.key_person_id != sealed.person_id:
            faults.append("its key is not the signer's")
        closed = self._closed.get(sealed.key_id)
        if closed is not None:
            faults.append(f"its key was closed by link {closed}")
        if self._keys.setdefault(sealed.key_id, sealed.public_key) != sealed.public_key:
            faults.append("its key is another than before under the same number")
        return faults

    def _correcting(self, link: Link) -> list[str]:
        corrects = link.sealed.corrects_id
        told = signed_content(link).get("corrects")
        if corrects is None:
            return [] if told is None else ["what it corrects was taken off the record"]
        if not isinstance(told, Mapping) or told.get("record") != corrects:
            return ["it says to correct another record than was signed"]
        known = self._records.get(corrects)
        return (
            [] if known == told.get("seal") else [f"record {corrects}, which it corrects, is another by now"]
        )

    def _fault(self, link: Link, what: str) -> None:
        name = signed_name(link) or link.person
        self.faults.append(ChainFault(link.sealed.link, link.record_id, name, link.registration, what))

    def _loose(self, what: str) -> None:
        self.faults.append(ChainFault(self._last, self._last, "", "", what))


def own_faults(link: Link) -> list[str]:
    """What doesn't match within one link."""
    sealed = link.sealed
    faults = []
    if digest_of(link.content) != sealed.digest:
        faults.append("its content is not what was signed")
    faults += _content_faults(link)
    if not _act_matches(link):
        faults.append("what its signature stands over is not what the record says")
    if not signature_good(sealed.public_key, sealed.signature, sealed.act):
        faults.append("its signature is not good with the signer's key")
    if sealed.seal() != link.seal:
        faults.append("its seal does not match the record")
    return faults


def signed_content(link: Link) -> Mapping[str, object]:
    """What was signed, as values; nothing where the bytes can't be read."""
    try:
        value = read_canonical(link.content)
    except NotCanonical:
        return {}
    return value if isinstance(value, Mapping) else {}


def signed_name(link: Link) -> str:
    """The signer's name as it was signed."""
    signer = signed_content(link).get("signer")
    return str(signer.get("name")) if isinstance(signer, Mapping) else ""


def _content_faults(link: Link) -> list[str]:
    """Columns of the record that say something else than the content that was signed."""
    content, sealed = signed_content(link), link.sealed
    if content.get("form") != CONTENT:
        return ["its content can't be read"]
    signer = content.get("signer")
    signer_id = signer.get("id") if isinstance(signer, Mapping) else None
    told = {
        "subject": content.get("subject"),
        "kind": content.get("kind"),
        "meaning": content.get("meaning"),
        "day of the work": content.get("work on"),
        "signer": signer_id,
    }
    stored = {
        "subject": {
            "table": sealed.subject_table,
            "row": sealed.subject_id,
            "aircraft": sealed.aircraft_id,
            "package": sealed.package_id,
        },
        "kind": sealed.kind,
        "meaning": sealed.meaning,
        "day of the work": day_text(sealed.work_on),
        "signer": sealed.person_id,
    }
    return [f"its {name} is not the one that was signed" for name in told if told[name] != stored[name]]


def _act_matches(link: Link) -> bool:
    """Whether the bytes under the signature name this content, link, seal before, moment and key."""
    sealed = link.sealed
    try:
        act = read_canonical(sealed.act)
    except NotCanonical:
        return False
    if not isinstance(act, Mapping):
        return False
    stored = {
        "algorithm": ACT,
        "content_sha256": sealed.digest,
        "key": sealed.public_key.hex(),
        "link": sealed.link,
        "previous_seal": sealed.previous_seal,
        "signed_at": moment_text(sealed.signed_at),
    }
    return all(act.get(name) == value for name, value in stored.items())


def signature_good(public_key: bytes, signature: bytes, act: bytes) -> bool:
    """Whether the signature (Ed25519) stands over the act, by this key."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public_key).verify(signature, act)
    except (InvalidSignature, ValueError):
        return False
    return True
