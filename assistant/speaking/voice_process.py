"""The voice's own process: ``python -m assistant.speaking.voice_process``. pyttsx3, text to sound, nothing else.

pyttsx3 prints to stdout, hangs when two threads use it, keeps state between calls and cannot be interrupted; so
it is used in the one way that holds: one text at a time, ``save_to_file`` then ``runAndWait``, in a process that
can be killed.
"""

from __future__ import annotations

import contextlib
import re
import sys
import tempfile
import wave
from pathlib import Path
from typing import IO, Any

from assistant.child import read_message, take_over_stdout, write_message

ESPEAK_THROATS = ("en-us+f2", "en-us+m3", "en-us+f5", "en-us+m7")


def main() -> None:
    messages = take_over_stdout()
    try:
        import pyttsx3
    except ImportError:
        write_message(messages, {"event": "missing", "what": "library"})
        return
    try:
        engine = pyttsx3.init()
    except Exception:  # each platform's driver raises its own: RuntimeError, OSError, ImportError, COM errors
        write_message(messages, {"event": "missing", "what": "engine"})
        return
    uncut(engine)
    write_message(messages, {"event": "ready", "voices": english(engine)})
    with tempfile.TemporaryDirectory(prefix="tapehand-voice-") as folder:
        serve(engine, Path(folder) / "said.wav", messages)


def uncut(engine: Any) -> None:
    """Never let espeak-ng's driver cancel what is being said.

    At the start of each text pyttsx3 2.99 stops the one before, should espeak-ng's own thread not be quite done with
    it. On a busy machine that cuts the new text off somewhere, about once in a hundred times (measured), and nothing
    tells. Here one text is over before the next begins, and who wants silence ends this process.
    """
    if is_espeak(engine):
        engine.proxy._driver.stop = lambda: None


def english(engine: Any) -> list[str]:
    """Names of the English voices; with espeak-ng some other throats first, since its voices differ by accent only."""
    found = []
    for voice in engine.getProperty("voices"):
        if is_espeak(engine) and voice.id.endswith("en-us"):
            continue  # the usual one
        languages = " ".join(map(str, voice.languages or [])).lower()  # bytes with some drivers, text with others
        if re.search(r"\ben(\b|_)", languages) or "english" in voice.name.lower():
            found.append(voice.name)
    return [*(ESPEAK_THROATS if is_espeak(engine) else ()), *found]


def is_espeak(engine: Any) -> bool:
    return type(engine.proxy._driver).__name__ == "EspeakDriver"


def serve(engine: Any, file: Path, messages: IO[bytes]) -> None:
    """One message in, one out, until there are no more."""
    voices = [(voice.id, f"{voice.id}\n{voice.name}".lower()) for voice in engine.getProperty("voices")]
    while (message := read_message(sys.stdin.buffer)) is not None:
        order = message.fields
        wanted, plus, variant = order["voice"].partition("+")  # "en-us+f3": espeak-ng's way to another throat
        named = [ident for ident, words in voices if wanted.lower() in words.splitlines()]
        alike = [ident for ident, words in voices if wanted.lower() in words]
        chosen = next((ident + plus + variant for ident in [*named, *alike]), None)
        try:
            if chosen is not None:
                engine.setProperty("voice", chosen)
            with contextlib.suppress(Exception):  # not every platform's voice has a pitch to set
                engine.setProperty("pitch", order["pitch"])
            # Last: setting pitch or volume puts espeak-ng's rate back to what it was (measured with pyttsx3 2.99).
            engine.setProperty("rate", order["words_per_minute"])
            file.unlink(missing_ok=True)
            engine.save_to_file(order["text"], str(file))
            engine.runAndWait()
            rate, pcm = read(file)
        except Exception as error:  # whatever the driver raises, the parent decides what to do about it
            write_message(messages, {"event": "failed", "why": str(error)})
        else:
            write_message(messages, {"event": "sound", "rate": rate}, pcm)


def read(file: Path) -> tuple[int, bytes]:
    """Samples a second, and the samples. ValueError unless they are 16 bits and one channel."""
    with wave.open(str(file), "rb") as said:
        if (said.getnchannels(), said.getsampwidth()) != (1, 2):
            raise ValueError("not 16 bits and one channel")
        return said.getframerate(), said.readframes(said.getnframes())


if __name__ == "__main__":
    main()
