"""SQLAlchemy mappings, sessions, queries and migrations: the only place that knows SQL."""

from annual_planner.store import when_used as when_used  # before the first import of SQLAlchemy
