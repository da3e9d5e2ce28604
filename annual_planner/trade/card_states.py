"""The states that a card goes through while it is worked, and which may follow which."""

from __future__ import annotations

OPEN, IN_WORK = "open", "in work"
DONE, NOT_APPLICABLE, CARRIED_OVER = "done", "not applicable", "carried over"

WORKABLE = (OPEN, IN_WORK)
"""Work may be written down on these."""
FINISHED = (DONE, NOT_APPLICABLE, CARRIED_OVER)
"""These hold no other card up; to work on one again it is reopened, with a reason."""
STATES = WORKABLE + FINISHED

FOLLOWS = {
    OPEN: (IN_WORK, *FINISHED),
    IN_WORK: (OPEN, *FINISHED),
    DONE: WORKABLE,
    NOT_APPLICABLE: (OPEN,),
    CARRIED_OVER: (OPEN,),
}
"""States that a card may have next."""
ASKS_WHY = (NOT_APPLICABLE, CARRIED_OVER)
"""Nobody did the card, so it is said why."""
