"""The place Discrepancies: the review across the fleet, and one discrepancy's life beside it."""
