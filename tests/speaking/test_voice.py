"""The real voice: espeak-ng through pyttsx3, heard by pocketsphinx."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from pathlib import Path

import pytest

from assistant.errors import Slip, VoiceUnavailable
from assistant.speaking import voice as voice_module
from assistant.speaking.sound import Sound
from assistant.speaking.voice import PyttsxVoice, SilentVoice, VoiceSettings, say_to_file
from tests.speaking.ears import heard

PHRASES = [
    "fifty three and five eighths",
    "nineteen and eleven sixteenths",
    "four foot two and a quarter plus",
    "twenty six and thirteen sixteenths minus",
    "three of seven",
    "say again",
]

signals = pytest.mark.skipif(sys.platform == "win32", reason="no signals to send on Windows")


def gone(pid: int) -> bool:
    """Neither running nor a zombie."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    return False


def test_each_phrase_is_said_and_no_other(voice: PyttsxVoice) -> None:
    sounds = [voice.render(phrase) for phrase in PHRASES]
    assert len({sound.pcm for sound in sounds}) == len(PHRASES)
    assert all(sound.seconds > 0.5 for sound in sounds)
    assert [heard(sound, PHRASES) for sound in sounds] == PHRASES


def test_said_twice_is_the_same_sound_without_asking_again(voice: PyttsxVoice) -> None:
    first = voice.render(PHRASES[0])
    assert voice.is_prepared(PHRASES[0])
    assert voice.render(PHRASES[0]) == first


def test_slower_is_longer(voice: PyttsxVoice) -> None:
    usual = voice.render(PHRASES[0]).seconds
    voice.adjust(VoiceSettings(words_per_minute=100))
    assert not voice.is_prepared(PHRASES[0])
    assert voice.render(PHRASES[0]).seconds > usual * 1.2
    voice.adjust(VoiceSettings(words_per_minute=-5))  # as slow as it goes, and no nonsense
    assert usual * 1.2 < voice.render(PHRASES[0]).seconds < 20


def test_every_voice_on_the_list_speaks_and_sounds_otherwise(voice: PyttsxVoice) -> None:
    usual = voice.render(PHRASES[4])
    names = voice.voices
    assert names[0] == ""
    assert len(set(names)) == len(names) > 1
    sounds = {usual.pcm}
    for name in names[1:6]:
        voice.adjust(VoiceSettings(voice=name))
        sounds.add(voice.render(PHRASES[4]).pcm)
    assert len(sounds) == min(6, len(names))


def test_pauses_are_as_long_as_the_settings_say() -> None:
    def seconds(fraction_ms: int, lean_ms: int) -> float:
        speaker = PyttsxVoice(VoiceSettings(fraction_pause_ms=fraction_ms, lean_pause_ms=lean_ms))
        try:
            return speaker.render("Ten and a half plus.").seconds
        except VoiceUnavailable as reason:
            pytest.skip(str(reason))
        finally:
            speaker.close()

    assert seconds(400, 100) - seconds(100, 100) == pytest.approx(0.3, abs=0.001)
    assert seconds(100, 500) - seconds(100, 100) == pytest.approx(0.4, abs=0.001)


def test_an_unknown_voice_is_replaced_by_one_that_speaks(voice: PyttsxVoice) -> None:
    other = PyttsxVoice(VoiceSettings(voice="nobody by this name"))
    assert other.render("ready").seconds > 0.2
    other.close()


def test_a_variant_of_a_voice_is_another_voice(voice: PyttsxVoice) -> None:
    other = PyttsxVoice(VoiceSettings(voice="en-us+klatt3"))
    assert other.render(PHRASES[0]).pcm != voice.render(PHRASES[0]).pcm
    assert heard(other.render(PHRASES[0]), PHRASES) == PHRASES[0]
    other.close()


@pytest.mark.parametrize("text", ["", "   ", "...", "\x00", "?!"])
def test_nothing_to_say_is_no_sound_and_no_trouble(voice: PyttsxVoice, text: str) -> None:
    assert voice.render(text).pcm == b""


def test_odd_text_is_spoken_without_harm(voice: PyttsxVoice) -> None:
    assert voice.render('<b>5" & 3\' ½ é \U0001f600 [[x]] %s \\ "quoted"').seconds > 0.5
    assert voice.render("ten " * 500).seconds > 60
    assert heard(voice.render(PHRASES[0]), PHRASES) == PHRASES[0]


@signals
def test_a_killed_voice_speaks_again(voice: PyttsxVoice) -> None:
    first = voice.child_pid
    assert first is not None
    os.kill(first, signal.SIGKILL)
    assert heard(voice.render(PHRASES[1]), PHRASES) == PHRASES[1]
    assert voice.child_pid not in (None, first)
    assert gone(first)


@signals
def test_a_hung_voice_is_given_up_on_and_speaks_again(voice: PyttsxVoice, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(voice_module, "RENDER_DEADLINE_S", 0.5)
    first = voice.child_pid
    assert first is not None
    os.kill(first, signal.SIGSTOP)
    monkeypatch.setattr(voice_module, "START_DEADLINE_S", 30.0)
    assert heard(voice.render(PHRASES[2]), PHRASES) == PHRASES[2]
    assert gone(first)


def test_prepared_phrases_are_ready_and_what_is_asked_for_now_comes_first(voice: PyttsxVoice) -> None:
    later = [f"mark number {number}" for number in range(400)]
    voice.prepare(later)
    voice.render("asked for now")
    assert not voice.is_prepared(later[-1]), "all of the others were spoken first"
    voice.prepare(PHRASES[:2])  # replaces the rest
    deadline = time.monotonic() + 20
    while not all(map(voice.is_prepared, PHRASES[:2])):
        assert time.monotonic() < deadline
        time.sleep(0.01)
    assert not voice.is_prepared(later[-1])


def test_the_oldest_prepared_phrases_make_room(voice: PyttsxVoice, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(voice_module, "CACHE_BYTES", 200_000)
    for phrase in PHRASES:
        voice.render(phrase)
    assert not voice.is_prepared(PHRASES[0])
    assert voice.is_prepared(PHRASES[-1])


def test_several_threads_each_get_their_own_phrase(voice: PyttsxVoice) -> None:
    got: dict[str, Sound] = {}
    threads = [
        threading.Thread(target=lambda phrase=phrase: got.update({phrase: voice.render(phrase)})) for phrase in PHRASES
    ]
    voice.prepare(reversed(PHRASES))
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert {phrase: heard(sound, PHRASES) for phrase, sound in got.items()} == {phrase: phrase for phrase in PHRASES}


def test_closing_leaves_no_process_and_nothing_speaks_after(voice: PyttsxVoice) -> None:
    pid = voice.child_pid
    voice.prepare(PHRASES)
    voice.close()
    voice.close()
    assert pid is not None
    assert gone(pid)
    with pytest.raises(VoiceUnavailable):
        voice.render("nobody speaks")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="breaks a library the way Linux looks for it")
def test_no_speech_engine_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("libespeak-ng.so.1", "libespeak.so.1"):
        (tmp_path / name).write_bytes(b"")  # found first, and no library: as good as none
    monkeypatch.setenv("LD_LIBRARY_PATH", str(tmp_path))
    silent = PyttsxVoice()
    with pytest.raises(VoiceUnavailable, match=r"no voice on this computer.*sudo apt install espeak-ng.*screen\.$"):
        silent.render("anything")
    assert silent.child_pid is None
    silent.close()


@pytest.mark.parametrize(
    ("library", "sentence"),
    [
        ("raise ImportError", r"The voice is not installed\. Run \./tapehand to install the voice parts\."),
        ("import os; os._exit(3)", r"The voice has stopped working\. The answers are on the screen\."),
        ("print('noise', flush=True); 1/0", r"The voice has stopped working\. The answers are on the screen\."),
    ],
)
def test_a_speech_library_that_is_missing_or_broken_is_one_plain_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: str, sentence: str
) -> None:
    (tmp_path / "pyttsx3.py").write_text(library)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    silent = PyttsxVoice()
    with pytest.raises(VoiceUnavailable, match=sentence):
        silent.render("anything")
    silent.close()


def test_say_to_file_writes_what_was_said(voice: PyttsxVoice, tmp_path: Path) -> None:
    soundfile = pytest.importorskip("soundfile", reason="no libsndfile here to read the file with")
    path = tmp_path / "answer.wav"
    say_to_file(PHRASES[3], path, voice)
    samples, rate = soundfile.read(path, dtype="int16")
    assert soundfile.info(path).channels == 1
    assert heard(Sound(samples.tobytes(), rate), PHRASES) == PHRASES[3]


def test_say_to_file_with_nothing_to_say_writes_nothing(voice: PyttsxVoice, tmp_path: Path) -> None:
    with pytest.raises(Slip, match="nothing to say"):
        say_to_file(" ", tmp_path / "answer.wav", voice)
    assert not (tmp_path / "answer.wav").exists()


def test_the_stand_in_keeps_what_was_said() -> None:
    silent = SilentVoice()
    assert silent.render("ten").seconds > 0
    silent.prepare(["never said"])
    silent.render("eleven")
    assert silent.said == ["ten", "eleven"]
