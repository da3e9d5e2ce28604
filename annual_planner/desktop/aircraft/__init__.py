"""The place Aircraft: one airplane's particulars, times, requirements, history and open discrepancies."""
