"""What a rotation does to the plugs, and which one is proposed, in words."""

from __future__ import annotations

from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.rotation import Change, Rotation

POLARITY = {
    Change.CHANGES: "changes for",
    Change.STAYS: "stays for",
    Change.ALTERNATES: "alternates by itself for",
    Change.UNKNOWN: "can't be told for",
}


def does_said(rotation: Rotation) -> str:
    """How many plugs change place, row, magneto and polarity."""
    every = len(rotation.moves)
    counts = {words: len(rotation.with_polarity(each)) for each, words in POLARITY.items()}
    polarity = ", ".join(f"{words} {count}" for words, count in counts.items() if count)
    return (
        f"{rotation.change_place} of {every} plugs move, {rotation.change_row} change row, "
        f"{rotation.change_magneto} magneto; polarity {polarity}. "
        f"Home after {rotation.rotations_until_home} rotations."
    )


def proposal_said(view: EngineView, scheme_key: str) -> str:
    """The rotation that the search proposes; nothing where it is the one that is shown and changes all."""
    proposal = view.proposal
    if proposal.value.rotation.scheme.key == scheme_key and proposal.value.complete:
        return ""
    result = proposal.working.result
    return f"Proposed: {result}." if proposal.value.complete else f"{result[:1].upper()}{result[1:]}."
