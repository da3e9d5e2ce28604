"""What comes of holding a set of rules against one question."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.trade.clauses import Basis, Clause, Decides, Facts, Tried
from annual_planner.trade.working import Step

STRONGEST_FIRST = (Decides.DO, Decides.ASK, Decides.SUPERVISED)
"""An open question comes before supervision, since its answer may spare the supervisor."""
TAKEN = "fits, but taken away by "
"""What is said of a permission that a prohibition takes away, before the prohibition's citation."""
_TOLD = (Decides.WARN, Decides.ASSUME)


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
        return frozenset(c.basis for c in self.permits())

    def permits(self) -> list[Clause]:
        """Give the permissions that the answer rests on: to sign, and the strongest kind to do the work."""
        doing = (self.standing(decides) for decides in STRONGEST_FIRST)
        return [*next((found for found in doing if found), []), *self.standing(Decides.SIGN)]

    def deciding(self) -> list[Clause]:
        """Give the clauses that the answer rests on; a prohibition, where something is not allowed."""
        counting, counted = self.bases(), self.permits()
        whole = self.standing(Decides.DO) and self.standing(Decides.SIGN)
        bars = [] if whole else self.fitting(Decides.FORBID)
        owed = self.fitting(Decides.ENTRY, Decides.FORM)
        said = [c for c in self.fitting(*_TOLD) if c.basis is None or c.basis in counting]
        return [*counted, *bars, *owed, *said]

    def steps(self, facts: Facts, *decides: Decides) -> Iterable[Step]:
        """Give each clause tried (of these kinds) and what came of it, those that fit first."""
        of_these = [tried for tried in self.tried if tried.clause.decides in decides]
        for tried in sorted(of_these, key=lambda tried: not tried.fits):
            clause = tried.clause
            yield Step(f"{clause.citation} [{clause.decides}]: {clause.says}", self._outcome(tried, facts))

    def _outcome(self, tried: Tried, facts: Facts) -> str:
        if not tried.fits:
            return f"does not fit ({tried.shortfalls(facts)})"
        taker = self._takers.get(tried.clause.basis) if tried.clause.basis else None
        return f"{TAKEN}{taker.citation}" if taker else "fits"
