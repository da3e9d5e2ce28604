"""The place Annual: one work package, from what goes in to the paper."""
