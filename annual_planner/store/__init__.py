"""SQLAlchemy mappings, sessions, queries and migrations: the only place that knows SQL."""
