"""How long the voice takes to start and to turn an answer into sound."""

from __future__ import annotations

import time
from collections.abc import Iterator

from assistant.errors import HardwareError
from assistant.prove.table import Row, percentile
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
    except HardwareError as error:
        yield Row(_GROUP, "not measured", str(error))
    finally:
        voice.close()
