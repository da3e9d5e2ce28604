"""Facts as data files: cards, rules, requirements, cautions, icons and fonts."""
