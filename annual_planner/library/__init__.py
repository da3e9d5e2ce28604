"""Reads what ships with the program and a shop's own files into the trade's plain values."""
