"""``tapehand hear`` and ``tapehand say``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from assistant import settings
from assistant.attached import voice_settings
from assistant.cli.asking import opened_desk
from assistant.cli.printed import EXIT_STATUS, as_json, as_text, of_hearing
from assistant.desk import Desk
from assistant.errors import SoundFileUnreadable
from assistant.hearing import ears
from assistant.hearing.listener import WAKE, HeardWords, Rejected, Told, Woken
from assistant.hearing.recogniser import Reason, Recogniser
from assistant.hearing.recording import Recording
from assistant.language.grammar import load_english
from assistant.session.answer import Answer
from assistant.session.conversation import SAY_AGAIN
from assistant.speaking.player import Loudspeaker
from assistant.speaking.voice import PyttsxVoice, say_to_file

__all__ = ["hear", "say"]


def hear(options: argparse.Namespace) -> int:
    """Each recording through the whole listening path, as a conversation of its own."""
    chosen, _ = settings.read(settings.settings_path(options.settings))
    heard_by = ears.recogniser(load_english(), chosen.model)
    if heard_by.trouble:
        print(f"tapehand: {heard_by.trouble}", file=sys.stderr)
    status = 0
    try:
        for file in options.files:
            status = _hear_one(Path(file), opened_desk(options), heard_by.recogniser, options)
    finally:
        heard_by.recogniser.close()
    return status


def _hear_one(file: Path, desk: Desk, heard_by: Recogniser, options: argparse.Namespace) -> int:
    try:
        source = Recording(file)
    except SoundFileUnreadable as error:
        print(f"tapehand: {error}", file=sys.stderr)
        return 1
    status = EXIT_STATUS["not-understood"]
    told_any = False

    def tell(told: Told) -> None:
        nonlocal status, told_any
        if isinstance(told, Woken):
            listening.listen(desk.expecting)
            return
        if not isinstance(told, (HeardWords, Rejected)):
            return
        told_any = True
        answer = _answer(desk, told)
        listening.listen(desk.expecting)
        status = EXIT_STATUS[answer.status]
        _print(answer, options.json, file, told)

    listening = ears.listener(desk.grammar, source, heard_by, tell, at_rest=WAKE if options.wake else desk.expecting)
    listening.run()
    source.close()
    if not told_any:
        nothing = Rejected(Reason.NOTHING, "", 0.0, heard_by.name, source.seconds, 0.0)
        _print(Answer("", "not-understood", SAY_AGAIN), options.json, file, nothing)
    return status


def _answer(desk: Desk, told: HeardWords | Rejected) -> Answer:
    if isinstance(told, Rejected):
        return Answer(told.words, "not-understood", SAY_AGAIN)
    return desk.ask(told.words, typed=False, rival=told.rival)


def _print(answer: Answer, as_objects: bool, file: Path, told: HeardWords | Rejected) -> None:
    if not as_objects:
        for line in as_text(answer):
            print(line, flush=True)
        return
    reason = {"reason": told.reason} if isinstance(told, Rejected) else {}
    print(as_json(answer, file=str(file), **of_hearing(told), **reason), flush=True)


def say(options: argparse.Namespace) -> int:
    """Words in the voice, to the loudspeaker or a WAV file."""
    chosen, _ = settings.read(settings.settings_path(options.settings))
    voice = PyttsxVoice(voice_settings(chosen))
    try:
        text = " ".join(options.words)
        if options.out:
            say_to_file(text, Path(options.out), voice)
            return 0
        player = Loudspeaker(chosen.loudspeaker)
        try:
            player.play(voice.render(text).at_volume(chosen.volume / 100))
            player.wait()
        finally:
            player.close()
    finally:
        voice.close()
    return 0
