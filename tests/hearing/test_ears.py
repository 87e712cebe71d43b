"""Hearing put together for the English grammar, and the choice of the recogniser."""

from __future__ import annotations

import pytest

from assistant.errors import ModelUnusable
from assistant.hearing import ears, prepared
from assistant.hearing.accept import judged
from assistant.hearing.recogniser import Hypothesis, Reason
from assistant.hearing.utterance import Completeness
from assistant.language.grammar import Grammar, load_english

ENGLISH = load_english()


@pytest.mark.parametrize(
    ("words", "finished"),
    [
        ("fifty three and", Completeness.MUST_GO_ON),
        ("center of", Completeness.MUST_GO_ON),
        ("fifty three", Completeness.MAY_END),
        ("scratch that", Completeness.CANNOT_GO_ON),
        ("where am i", Completeness.CANNOT_GO_ON),
        ("", Completeness.MAY_END),
        ("no such words", Completeness.MAY_END),
    ],
)
def test_the_grammar_tells_how_finished_a_sentence_sounds(words, finished):
    assert ears.completeness(ENGLISH)("request", words) is finished


def test_every_word_of_the_grammar_can_be_heard():
    pocketsphinx = pytest.importorskip("pocketsphinx", reason="the voice parts are not installed")
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    given = ears.pronunciations()
    assert [w for w in sorted(ENGLISH.words) if decoder.lookup_word(w) is None and w not in given] == []
    for word, sound in given.items():
        assert all(p.isupper() for p in sound.split()), word


def test_the_prepared_search_is_the_grammars_own(tmp_path, monkeypatch):
    monkeypatch.setattr(prepared, "user_cache_dir", lambda name: str(tmp_path))
    prepared.prepare(ENGLISH)
    (kept,) = tmp_path.iterdir()
    fresh = Grammar.__new__(Grammar)
    fresh.__dict__.update(rules=ENGLISH.rules, _automata={})
    prepared.prepare(fresh)
    for root in ("request", "next_in_string"):
        assert fresh.automaton(root) == ENGLISH.automaton(root)
    whole = kept.read_text(encoding="utf-8")
    assert len(whole.splitlines()) == 2 + sum(len(ENGLISH.automaton(r).arcs) for r in ("request", "next_in_string"))
    for spoiled in ("[[not json", "", "[1]", whole[: len(whole) // 2], whole.split("\n", 1)[1]):
        kept.write_text(spoiled, encoding="utf-8")
        prepared.prepare(fresh)  # it is made again
        assert kept.read_text(encoding="utf-8") == whole


def test_a_bad_model_gives_way_to_ours_with_a_sentence(tmp_path):
    pytest.importorskip("vosk", reason="the voice parts are not installed")
    chosen = ears.recogniser(ENGLISH, str(tmp_path / "no-model"))
    assert chosen.recogniser.name == "vosk"
    assert "no speech model" in chosen.trouble
    assert chosen.trouble.endswith("Until then I hear with en.")
    chosen.recogniser.close()


@pytest.mark.parametrize("missing", ["am/final.mdl", "conf/model.conf", "conf/mfcc.conf", "graph/HCLr.fst"])
def test_a_model_folder_with_a_file_missing_is_told(tmp_path, missing):
    from assistant.hearing.vosk_engine import check_folder

    for name in ("am/final.mdl", "conf/model.conf", "conf/mfcc.conf", "graph/HCLr.fst"):
        if name != missing:
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_bytes(b"x")
    with pytest.raises(ModelUnusable, match=r"(Copy|Use|small)"):
        check_folder(tmp_path)


def test_judging():
    def parses(words):
        return words == "next"

    assert judged(Hypothesis("next", 0.9), "scripted", parses).reason == Reason.TRUSTED
    assert judged(Hypothesis("next", 0.2), "scripted", parses).reason == Reason.UNCLEAR
    assert judged(Hypothesis("nxt", 0.9), "scripted", parses).reason == Reason.NOT_FOR_US
    assert judged(Hypothesis("", 0.0), "scripted", parses).reason == Reason.NOTHING
    assert judged(Hypothesis("next", 0.9, Reason.NOISE), "scripted", parses).reason == Reason.NOISE
