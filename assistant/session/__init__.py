"""The conversation: events in, effects out. No clock, sound, screen or file in here."""
