"""Setting the shop up: hours, days off, people, bays, equipment, and how many a zone holds."""
