"""By what a fleet's file is known: plain values, so that it can be looked at before the store is loaded."""

from __future__ import annotations

APPLICATION_ID = 0x41504C46
"""Marks an SQLite file as a fleet of this program."""

HEAD = "0010"
"""The newest revision in `migrations/versions`; a test holds the two together."""

KNOWN = ("0001", "0002", "0003", "0004", "0005", "0006", "0007", "0008", "0009", "0010")
"""Every revision this program knows, oldest first."""
