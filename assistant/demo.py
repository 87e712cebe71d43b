"""``tapehand demo``: a whole job end to end with no microphone, loudspeaker, screen or keypad.

One voice asks, as a person at the bench would. What it says goes through the real listening path: voice
detection, endpoint, recogniser, grammar. The session answers, and the usual voice says the answer. Then the same job
goes on by keys, down to the cut list. The folder gets the conversation as sound, as a transcript, and one answer a
line as ``--json`` prints them.
"""

from __future__ import annotations

import random
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path

from assistant.cli.printed import as_json, of_hearing
from assistant.desk import Desk
from assistant.errors import Slip
from assistant.hearing import ears
from assistant.hearing.listener import HeardWords, Rejected, Told
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.recording import Recording
from assistant.hearing.sound import RATE
from assistant.keypad.joblist import JOBS_A_PAGE
from assistant.keypad.jobs import JOBS
from assistant.language.understand import understand
from assistant.session.answer import Answer
from assistant.session.conversation import SAY_AGAIN
from assistant.settings import Settings
from assistant.speaking.earcons import earcon
from assistant.speaking.player import RecordingPlayer
from assistant.speaking.sound import FULL_SCALE, Sound, join, silence
from assistant.speaking.voice import PyttsxVoice, Voice, VoiceSettings

__all__ = ["ASKER", "KEYED", "REQUESTS", "Turn", "by_keys", "conversation", "in_a_room", "run"]

REQUESTS = (
    # A guard rail between two columns, from raw readings to the cut list: what is clear between the end posts, the
    # post centers from the first of them, and how long a post and a picket are.
    "eighteen foot seven and three eighths",
    "take off two and three quarter inches",
    "take off two and three quarter inches",
    "keep that as rail",
    "in four parts",
    "next",
    "next",
    "how come",
    "middle",
    "forty two, less one and a half, less three eighths",
    "keep that as post",
    "forty two, less three and a half, less one and a half",
    "eighteen foot seven and three eighths",
    "take off four",
    "post",
)
"""What is asked aloud, in this order. A comma is a breath."""

KEYED = (
    # The grinder starts, and the rest goes by the keypad: posts and rails from twenty foot sticks.
    ("sticks for a cut list", "20..E", "E", ".1/8E", "E"),
    ("one line of the cut list", "5E", "40.1/8E"),
    ("one line of the cut list", "2E", "18..3.3/8E"),
    ("nest the cut list", "E", "E", "E", "E"),
)
"""What is then picked from the list of jobs, and the keys that answer what it asks."""

ENOUGH = 12
"""Heard right, of all of them, for the demo to have worked: a synthesized voice is not heard the same every time."""

ASKER = VoiceSettings(words_per_minute=160, voice="en-us+klatt3", fraction_pause_ms=0, lean_pause_ms=0)
"""Another throat than the one that answers, so that the recording can be followed. Of espeak-ng's voices those made
by the Klatt synthesizer are the best heard (measured: 11 of 12 requests against 8)."""
TRIES = (160, 145)
"""Words a minute. What was not heard at all is asked once more and slower, as anybody would."""
ANSWERER = VoiceSettings()
LEAD_MS, TAIL_MS = 300, 1000
"""Silence around what is asked: the room before it, and long enough after it for the endpoint."""
BETWEEN_MS = 500
ROOM_NOISE = 30
"""Standard deviation of the samples of a quiet room. No microphone gives the digital silence around synthesized
speech, and the recogniser mistakes its first words for others there (measured)."""


@dataclass(frozen=True, slots=True)
class Turn:
    said: str
    """What the asking voice said, or which keys were pressed."""
    told: HeardWords | Rejected | None
    """What came out of the listening path; None where it noticed nothing."""
    answer: Answer
    right: bool
    """Whether what was heard means what was said."""
    keyed: bool = False


def conversation(asker: Voice, heard_by: Recogniser, desk: Desk, player: RecordingPlayer) -> Iterator[Turn]:
    """Ask everything, one thing at a time. The player gets what is asked, and an earcon."""
    for said in REQUESTS:
        for pace in TRIES:
            asker.adjust(replace(ASKER, words_per_minute=pace))
            turn = _ask(said, asker, heard_by, desk, player)
            yield turn
            if isinstance(turn.told, HeardWords):
                break


def _ask(said: str, asker: Voice, heard_by: Recogniser, desk: Desk, player: RecordingPlayer) -> Turn:
    asked = in_a_room(join([silence(LEAD_MS, RATE), asker.render(said), silence(TAIL_MS, RATE)], RATE))
    player.play(asked)
    told = _listen(asked.pcm, heard_by, desk)
    if not isinstance(told, HeardWords):
        player.play(earcon("not-understood"))
        return Turn(said, told, Answer("", "not-understood", SAY_AGAIN), False)
    player.play(earcon("got-it"))
    meant = understand(desk.grammar, said.replace(",", ""), desk.expecting)[1]
    outcome = understand(desk.grammar, told.words, desk.expecting, told.rival)[1]
    return Turn(said, told, desk.ask(told.words, typed=False, rival=told.rival), outcome == meant)


def by_keys(desk: Desk) -> Iterator[Turn]:
    """The rest of the job on the keypad: every key press that is answered with more than its echo."""
    for job, *lines in KEYED:
        page, place = divmod([one.name for one in JOBS].index(job), JOBS_A_PAGE)
        # With a piece in hand the star is "times", and Enter opens the list.
        for keys in (f"*E{'E' * page}{place + 1}", *lines):
            *_, answer = desk.keys(keys)
            yield Turn(keys, None, answer, right=True, keyed=True)


def in_a_room(sound: Sound) -> Sound:
    """The sound with the noise of a quiet room under it, as a microphone would bring it."""
    noise = random.Random(len(sound.pcm))
    louder = (int(sample + noise.gauss(0, ROOM_NOISE)) for sample in array("h", sound.pcm))
    return Sound(array("h", (max(-FULL_SCALE, min(FULL_SCALE, sample)) for sample in louder)).tobytes(), sound.rate)


def _listen(pcm: bytes, heard_by: Recogniser, desk: Desk) -> HeardWords | Rejected | None:
    """What was heard last."""
    last: HeardWords | Rejected | None = None

    def tell(told: Told) -> None:
        nonlocal last
        if isinstance(told, (HeardWords, Rejected)):
            last = told

    source = Recording(pcm)
    ears.listener(desk.grammar, source, heard_by, tell, at_rest=desk.expecting).run()
    source.close()
    return last


def run(folder: Path) -> int:
    """Write the demo to the folder. Returns the exit status: 0 when enough was heard right.

    Raises:
        Slip: where the folder cannot be written.
        VoiceUnavailable: where there is no voice to ask with.
        ModelUnusable: where there is nothing to hear with.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for old in ("conversation.wav", "transcript.txt", "answers.jsonl"):
            (folder / old).unlink(missing_ok=True)
    except OSError:
        raise Slip(f"{folder} cannot be written. Choose another folder with --out.") from None
    desk, player = Desk(Settings()), RecordingPlayer()
    asker, answerer = PyttsxVoice(ASKER), PyttsxVoice(ANSWERER)
    heard_by = ears.recogniser(desk.grammar).recogniser
    turns = []
    try:
        for turn in chain(conversation(asker, heard_by, desk, player), by_keys(desk)):
            player.play(answerer.render(turn.answer.say))
            player.play(silence(BETWEEN_MS, RATE))
            print("\n".join(_lines(turn)), flush=True)
            turns.append(turn)
    finally:
        for part in (asker, answerer, heard_by):
            part.close()
    player.save(folder / "conversation.wav")
    right = sum(turn.right for turn in turns if not turn.keyed)
    summary = f"{right} of {len(REQUESTS)} requests heard right by {heard_by.name}."
    _write(folder / "transcript.txt", [line for turn in turns for line in _lines(turn)] + [summary])
    _write(folder / "answers.jsonl", [_object(turn) for turn in turns])
    print(f"{summary} The recording, the transcript and the answers are in {folder}.")
    return 0 if right >= ENOUGH else 1


def _lines(turn: Turn) -> list[str]:
    if turn.keyed:
        return [f"keyed   {turn.said}", f"answer  {turn.answer.say}", ""]
    heard = turn.told.words if isinstance(turn.told, HeardWords) else "(nothing to act on)"
    wrong = "   <- heard wrong" if isinstance(turn.told, HeardWords) and not turn.right else ""
    return [f"asked   {turn.said}", f"heard   {heard}{wrong}", f"answer  {turn.answer.say}", ""]


def _object(turn: Turn) -> str:
    return as_json(turn.answer, said=turn.said, **(of_hearing(turn.told) if turn.told else {}))


def _write(path: Path, lines: list[str]) -> None:
    try:
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError:
        raise Slip(f"{path} cannot be written. Choose another folder with --out, or make room on the disk.") from None
