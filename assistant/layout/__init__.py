"""The trade's arithmetic: one module a task, each a few pure functions from lengths to a Result."""
