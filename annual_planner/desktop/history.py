"""Where a person has been: back and forward over places and what they showed."""

from __future__ import annotations

LONGEST = 100
Stop = tuple[str, object]


class History:
    """A walk with a point on it; going somewhere new forgets what lay ahead."""

    def __init__(self) -> None:
        self._stops: list[Stop] = []
        self._at = -1

    def visit(self, place: str, subject: object) -> None:
        """Note a place gone to; the same place and subject twice in a row counts once."""
        stop = (place, subject)
        if self._at >= 0 and self._stops[self._at] == stop:
            return
        self._stops = [*self._stops[: self._at + 1], stop][-LONGEST:]
        self._at = len(self._stops) - 1

    def amend(self, place: str, subject: object) -> None:
        """The place shown now shows another subject: remember that one for coming back."""
        if self._at >= 0 and self._stops[self._at][0] == place:
            self._stops[self._at] = (place, subject)

    @property
    def can_back(self) -> bool:
        """True when there is something to go back to."""
        return self._at > 0

    @property
    def can_forward(self) -> bool:
        """True after going back."""
        return self._at < len(self._stops) - 1

    def back(self) -> Stop | None:
        """The stop before this one."""
        if not self.can_back:
            return None
        self._at -= 1
        return self._stops[self._at]

    def forward(self) -> Stop | None:
        """The stop after this one."""
        if not self.can_forward:
            return None
        self._at += 1
        return self._stops[self._at]
