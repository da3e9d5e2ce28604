"""Who and when: the work of one annual laid out on people and days."""
