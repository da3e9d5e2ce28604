"""Sheets for the plugs and cylinders of one engine."""
