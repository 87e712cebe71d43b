"""The benchmarks behind ``tapehand prove``: each measures on this machine and gives rows of one table."""
