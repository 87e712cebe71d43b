"""Tables of sizes, each with its source in its header."""
