"""What comes of holding a set of rules against one question."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.trade.clauses import Basis, Clause, Decides, Facts, Tried
from annual_planner.trade.working import Step


class Verdict:
    """The clauses tried, and what is left of their permissions."""

    def __init__(self, tried: tuple[Tried, ...]) -> None:
        self.tried = tried
        self._fits = fits = [t.clause for t in tried if t.fits]
        self._takers = {basis: c for c in fits if c.decides is Decides.FORBID for basis in c.takes}

    def fitting(self, *decides: Decides) -> list[Clause]:
        """Clauses of these kinds whose conditions are all met."""
        return [c for c in self._fits if c.decides in decides]

    def standing(self, *decides: Decides) -> list[Clause]:
        """Permissions of these kinds that no prohibition takes away."""
        return [c for c in self.fitting(*decides) if c.basis not in self._takers]

    def told(self, decides: Decides) -> tuple[str, ...]:
        """Give what is to be said: of such clauses, those whose basis counts here."""
        counting = self.bases()
        said = self.fitting(decides)
        return tuple(f"{c.says} ({c.citation})" for c in said if c.basis is None or c.basis in counting)

    def bases(self) -> frozenset[Basis | None]:
        """Give what the permissions left rest on."""
        permits = self.standing(Decides.DO, Decides.SUPERVISED, Decides.SIGN, Decides.ASK)
        return frozenset(c.basis for c in permits)

    def steps(self, facts: Facts, *decides: Decides) -> Iterable[Step]:
        """Give each clause tried (of these kinds), in the order of the rules, and what came of it."""
        for tried in self.tried:
            clause = tried.clause
            if clause.decides not in decides:
                continue
            yield Step(f"{clause.citation} [{clause.decides}]: {clause.says}", self._outcome(tried, facts))

    def _outcome(self, tried: Tried, facts: Facts) -> str:
        if not tried.fits:
            return f"does not fit ({tried.shortfalls(facts)})"
        taker = self._takers.get(tried.clause.basis) if tried.clause.basis else None
        return f"fits, but taken away by {taker.citation}" if taker else "fits"
