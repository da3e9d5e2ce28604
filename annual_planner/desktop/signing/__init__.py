"""Signing: one deliberate act, after reading exactly what is signed."""
