"""The states that the package of a visit goes through, as they are stored and shown."""

from __future__ import annotations

PLANNING, IN_WORK, CLOSED = "planning", "in work", "closed"

STATES = (PLANNING, IN_WORK, CLOSED)
"""In their order: work begun makes it 'in work', work taken back 'planning' again; closed it is final."""
