"""Speaking: text to sound, sound to the loudspeaker, and the short sounds that need no words."""
