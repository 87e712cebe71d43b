"""Tapehand: an offline, hands-free voice-and-keypad shop hand for people who lay out steel."""
