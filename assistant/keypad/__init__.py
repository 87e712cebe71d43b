"""A bare numeric keypad: keys to requests, each key answered, so that nobody has to look."""
