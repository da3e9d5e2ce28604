"""The place of entries, signatures and filed papers."""
