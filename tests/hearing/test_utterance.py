"""Where a sentence begins and ends, frame by frame. One letter a frame: v a voice, m a murmur, . silence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.utterance import LONGEST_SECONDS, Began, Completeness, Ended, Endpoint, WentOn
from assistant.hearing.voice_activity import FRAME_SECONDS

PROBABILITY = {"v": 0.9, "m": 0.4, ".": 0.05}
FRAMES_IN = {level: -(-level.value // FRAME_SECONDS) for level in Completeness}


def run(frames: str, completeness: Completeness = Completeness.MAY_END) -> list[object]:
    """What came of each frame; frame n is the two bytes of n."""
    endpoint = Endpoint(lambda: completeness)
    return [endpoint.feed(n.to_bytes(2, "big"), PROBABILITY[f]) for n, f in enumerate(frames)]


def numbers(pcm: bytes) -> list[int]:
    return [int.from_bytes(pcm[i : i + 2], "big") for i in range(0, len(pcm), 2)]


@pytest.mark.parametrize(
    ("frames", "begins_at"),
    [
        ("....vv", 5),
        ("....v.v", 6),
        ("....v..v", None),  # two clicks
        (".v.......", None),
        ("mmmmmmmm", None),  # a murmur goes on a sentence but does not begin one
        ("vv", 1),
    ],
)
def test_it_takes_two_frames_of_voice_in_three_to_begin(frames: str, begins_at: int | None) -> None:
    began = [n for n, step in enumerate(run(frames)) if isinstance(step, Began)]
    assert began == ([] if begins_at is None else [begins_at])


def test_the_sound_before_the_beginning_is_kept_whole_and_once() -> None:
    steps = run("." * 30 + "vvvvv")
    began = steps[31]
    assert isinstance(began, Began)
    kept = numbers(began.pcm)
    assert kept == list(range(kept[0], 32))  # up to and with the frame that began it, no gap
    assert (30 - kept[0]) * FRAME_SECONDS >= 0.4  # what the endpoint promises to keep from before the first voice
    assert [numbers(s.pcm) for s in steps[32:] if isinstance(s, WentOn)] == [[32], [33], [34]]


@pytest.mark.parametrize("completeness", list(Completeness))
def test_how_long_a_silence_ends_it(completeness: Completeness) -> None:
    steps = run("vvvvvv" + "." * 40, completeness)
    ended = [n for n, step in enumerate(steps) if isinstance(step, Ended)]
    assert ended == [5 + FRAMES_IN[completeness]]
    step = steps[ended[0]]
    assert isinstance(step, Ended)
    assert completeness.value <= step.silence < completeness.value + FRAME_SECONDS
    assert step.voiced == pytest.approx(6 * FRAME_SECONDS)
    assert not step.cut


def test_a_breath_does_not_end_it() -> None:
    steps = run("vvvv" + "." * 15 + "m" + "." * 15 + "vv" + "." * 16)
    assert [type(s) for s in steps].count(Ended) == 1
    assert isinstance(steps[-1], Ended)


def test_the_words_so_far_decide_anew_in_every_silence() -> None:
    said = [Completeness.MUST_GO_ON]
    endpoint = Endpoint(lambda: said[0])
    for frame in "vvvv" + "." * 20:  # 0.64 s: "fifty-three and ..."
        assert not isinstance(endpoint.feed(b"", PROBABILITY[frame]), Ended)
    for frame in "vvvv":
        endpoint.feed(b"", PROBABILITY[frame])
    said[0] = Completeness.CANNOT_GO_ON
    steps = [endpoint.feed(b"", PROBABILITY["."]) for _ in range(8)]
    assert [isinstance(s, Ended) for s in steps] == [False] * 7 + [True]


def test_each_silence_is_asked_about_once() -> None:
    asked: list[int] = []
    endpoint = Endpoint(lambda: (asked.append(1), Completeness.MUST_GO_ON)[1])
    for frame in "vvvv" + "." * 20 + "vv" + "." * 4 + "v" + "." * 40:
        endpoint.feed(b"", PROBABILITY[frame])
    assert len(asked) == 2  # a looking back costs the recogniser a second hearing; four frames are a stop


def test_endless_talk_is_cut_off() -> None:
    steps = run("v" * 1000 + "." * 16 + "vvvv")
    ended = [(n, s) for n, s in enumerate(steps) if isinstance(s, Ended)]
    assert [s.cut for _, s in ended] == [True]
    assert ended[0][0] * FRAME_SECONDS == pytest.approx(LONGEST_SECONDS, abs=2 * FRAME_SECONDS)
    began = [n for n, s in enumerate(steps) if isinstance(s, Began)]
    assert began == [1, 1017]  # its tail is not another sentence: a silence must come first


def test_stopping_forgets_the_sentence_and_the_sound_before_it() -> None:
    endpoint = Endpoint()
    for frame in "....vvvv":
        endpoint.feed(b"\x01\x01", PROBABILITY[frame])
    endpoint.stop()
    assert not endpoint.talking
    steps = [endpoint.feed(b"\x02\x02", PROBABILITY[f]) for f in "vv"]
    assert steps == [None, Began(b"\x02\x02\x02\x02")]


def test_what_was_kept_while_nobody_was_listened_to_comes_first() -> None:
    endpoint = Endpoint()
    endpoint.keep(b"\x07\x07")
    steps = [endpoint.feed(b"\x08\x08", PROBABILITY["v"]) for _ in range(2)]
    assert steps[1] == Began(b"\x07\x07\x08\x08\x08\x08")


@given(st.text(alphabet="vm.", max_size=300), st.sampled_from(Completeness))
def test_every_sentence_is_begun_before_it_goes_on_and_ended_before_the_next(
    frames: str, completeness: Completeness
) -> None:
    talking, given_out = False, -1
    for n, step in enumerate(run(frames, completeness)):
        if isinstance(step, Began):
            assert not talking
            talking = True
            assert numbers(step.pcm)[0] > given_out  # no frame twice
            given_out = numbers(step.pcm)[-1]
        elif isinstance(step, WentOn):
            assert talking
            assert numbers(step.pcm) == [given_out + 1]
            given_out = n
        elif isinstance(step, Ended):
            assert talking
            talking = False
