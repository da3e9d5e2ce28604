"""A fleet's annuals in the shop's weeks: `place_visits` puts each into a week, a bay and a day."""
