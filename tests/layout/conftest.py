"""Nothing is timed in tests: a busy machine would fail them for no reason of ours."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
