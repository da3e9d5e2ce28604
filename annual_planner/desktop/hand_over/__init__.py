"""Handing an airplane over to its next keeper, and taking one in, from the window."""
