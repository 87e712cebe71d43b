"""How long the voice takes to start, to turn an answer into sound, to be heard, and to be hushed."""

from __future__ import annotations

import time
from collections.abc import Iterator

from assistant.errors import HardwareError
from assistant.prove.table import Row, percentile
from assistant.speaking.player import Loudspeaker
from assistant.speaking.voice import PyttsxVoice

__all__ = ["measure"]

_GROUP = "voice"
_ANSWERS = (
    "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths.",
    "Three of seven: four foot two and a quarter plus.",
    "Six foot four and a half.",
    "Five at eighteen and three eighths: five pieces, total ninety-one and seven eighths.",
    "Center of one hundred seven and three quarters: fifty-three and seven eighths.",
)
_HEARD_S = 0.6
"""How much of an answer is heard before it is hushed."""


def measure() -> Iterator[Row]:
    """Rows on the voice; one that says why where there is none."""
    voice = PyttsxVoice()
    try:
        start = time.perf_counter()
        voice.render("Ready.")
        yield Row(_GROUP, "start of the voice, to its first sound", f"{(time.perf_counter() - start) * 1000:.0f} ms")
        took = []
        for answer in _ANSWERS:
            start = time.perf_counter()
            voice.render(answer)
            took.append((time.perf_counter() - start) * 1000)
        yield Row(_GROUP, "an answer never said before, median", f"{percentile(took, 0.5):.0f} ms")
        start = time.perf_counter()
        voice.render(_ANSWERS[0])
        yield Row(_GROUP, "an answer prepared ahead", f"{(time.perf_counter() - start) * 1000:.1f} ms")
        yield from _loudspeaker(voice)
    except HardwareError as error:
        yield Row(_GROUP, "not measured", str(error))
    finally:
        voice.close()


def _loudspeaker(voice: PyttsxVoice) -> Iterator[Row]:
    """Rows on a prepared answer from the loudspeaker; LoudspeakerUnavailable where there is none."""
    player = Loudspeaker()
    try:
        first, cut = [], []
        for answer in _ANSWERS:
            start = time.monotonic()
            player.play(voice.render(answer))
            time.sleep(_HEARD_S)
            hush = time.monotonic()
            player.stop()
            player.wait()
            first.append((player.first_sample_at - start) * 1000)
            cut.append((player.silent_at - hush) * 1000)
        # The first one also opens the loudspeaker.
        yield Row(_GROUP, "prepared answer to its first sample at the card, median", f"{percentile(first, 0.5):.0f} ms")
        yield Row(_GROUP, "hush to the card stopped, slowest", f"{max(cut):.0f} ms", "under 50 ms")
    finally:
        player.close()
