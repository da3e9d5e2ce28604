"""Package building and edits of a package, over stored data."""
