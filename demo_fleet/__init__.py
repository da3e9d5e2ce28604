"""The invented demo fleet and the loader that builds a database from it."""
