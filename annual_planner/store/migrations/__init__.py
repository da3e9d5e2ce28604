"""Steps that bring a fleet of an older schema up to date."""
