"""Doing the cards of an annual: time, results, notes, photographs and what was found."""
