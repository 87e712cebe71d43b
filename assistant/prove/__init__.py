"""The benchmarks behind ``tapehand prove``: each measures on this machine and gives rows of one table."""

PARTS = ("language", "sticks", "hearing", "delay", "speaking", "speed", "screen", "machine")
"""In the order of the table."""
