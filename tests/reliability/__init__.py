"""Reliability figures: faults put in by the hundred, counted. See `__main__`."""
