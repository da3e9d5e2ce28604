"""The place Shop weeks: a fleet's annuals against bays and weeks."""
