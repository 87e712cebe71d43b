"""Reading JSGF: examples after the W3C Note "JSpeech Grammar Format" (5 June 2000)."""

import random

import pytest

from assistant.language.grammar import Grammar
from assistant.language.jsgf import Alternatives, File, Optional, Repeat, Sequence, Tagged, Word
from assistant.language.parse import Parser

HEAD = "#JSGF V1.0 UTF-8 en;\ngrammar g;\n"


def body(text):
    return File.read(f"{HEAD}public <r> = {text};").rules[0].body


def test_the_forms_of_an_expansion():
    assert body("open") == Word("open")
    assert body("please open") == Sequence((Word("please"), Word("open")))
    assert body("/10/ small | /2/ medium") == Alternatives((Word("small"), Word("medium")), (10.0, 2.0))
    assert body("[very] big") == Sequence((Optional(Word("very")), Word("big")))
    assert body("so+") == Repeat(Word("so"), once=True)
    assert body("(so) *") == Repeat(Word("so"), once=False)


def test_a_tag_belongs_to_what_stands_right_before_it():
    # JSGF section 4.7: "tag ... attaches to the immediately preceding rule expansion"
    assert body("open {OPEN} window") == Sequence((Tagged(Word("open"), "OPEN"), Word("window")))
    assert body("(open window) {OPEN}") == Tagged(Sequence((Word("open"), Word("window"))), "OPEN")


def test_comments_and_examples():
    file = File.read(HEAD + "/* c */ // d\n/** words\n * @example open it\n */\npublic <r> = open it;")
    assert file.rules[0].examples == ("open it",)
    assert file.rules[0].public


@pytest.mark.parametrize(
    "text",
    ["grammar g;", HEAD + "<r> = (a;", HEAD + "<r> = ;", HEAD + "<r> a;", HEAD + "<r> = a | ;"],
)
def test_what_is_not_jsgf_is_refused(text):
    with pytest.raises(ValueError, match=r"."):
        File.read(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [("<r> = <s>;", "not defined"), ("<r> = a <r>;", "calls itself"), ("<r> = a; <r> = b;", "twice")],
)
def test_rules_that_cannot_work_are_refused(text, why):
    with pytest.raises(ValueError, match=why):
        Grammar([HEAD + text])


def test_rules_reach_across_files():
    grammar = Grammar(
        [
            "#JSGF V1.0;\ngrammar request;\nimport <other.*>;\npublic <request> = big <other.thing>+;",
            "#JSGF V1.0;\ngrammar other;\npublic <thing> = bolt {1} | nut {2};",
        ]
    )
    assert grammar.words_of("request") == {"big", "bolt", "nut"}
    assert Parser(grammar).parse(["big", "nut"]) == [2]
    assert Parser(grammar).parse(["nut"]) == []
    assert grammar.sample(random.Random(1)).startswith("big ")
