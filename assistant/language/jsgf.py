"""Reads and writes JSGF, the JSpeech Grammar Format (W3C Note, 5 June 2000).

Supported: rules, ``public``, words, ``<references>`` (local, or ``<grammar.rule>`` after an ``import``),
grouping, ``[optional]``, ``*``, ``+``, alternatives with ``/weights/``, ``{tags}`` and documentation comments
with ``@example`` lines. Recursion and ``<NULL>``/``<VOID>`` are not used by our grammars and are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

__all__ = [
    "Alternatives",
    "Expansion",
    "File",
    "Optional",
    "Reference",
    "Repeat",
    "Rule",
    "Sequence",
    "Tagged",
    "Word",
]


@dataclass(frozen=True, slots=True)
class Word:
    text: str


@dataclass(frozen=True, slots=True)
class Reference:
    """``<name>``, full: "grammar.rule"."""

    name: str


@dataclass(frozen=True, slots=True)
class Sequence:
    parts: tuple[Expansion, ...]


@dataclass(frozen=True, slots=True)
class Alternatives:
    options: tuple[Expansion, ...]
    weights: tuple[float, ...]
    """One an option; all 1 where none is written. Only the sampler and recognisers look at them."""


@dataclass(frozen=True, slots=True)
class Optional:
    inner: Expansion


@dataclass(frozen=True, slots=True)
class Repeat:
    """``inner*`` or, with ``once``, ``inner+``."""

    inner: Expansion
    once: bool


@dataclass(frozen=True, slots=True)
class Tagged:
    """``inner {tag}``: what the words mean. The parser hands ``tag`` the values of ``inner``."""

    inner: Expansion
    tag: str


Expansion = Word | Reference | Sequence | Alternatives | Optional | Repeat | Tagged


@dataclass(frozen=True, slots=True)
class Rule:
    name: str
    """Full: "grammar.rule"."""
    body: Expansion
    public: bool
    examples: tuple[str, ...] = ()
    """The ``@example`` lines above it."""


@dataclass(slots=True)
class File:
    """One grammar file."""

    name: str
    rules: list[Rule] = field(default_factory=list)

    @classmethod
    def read(cls, text: str) -> File:
        """Read the text of one file.

        Raises:
            ValueError: naming the place where the text is not JSGF.
        """
        return _Reader(text).file()


_TOKEN = re.compile(
    r"""(?P<doc>/\*\*.*?\*/)|(?P<comment>/\*.*?\*/|//[^\n]*)|(?P<space>\s+)
      |(?P<tag>\{[^}]*\})|(?P<weight>/\s*[0-9.]+\s*/)|(?P<ref><[^>]+>)|(?P<mark>[=|;()\[\]*+])
      |(?P<word>[^\s=|;()\[\]*+{}<>/]+)""",
    re.VERBOSE | re.DOTALL,
)


class _Reader:
    def __init__(self, text: str) -> None:
        head, _, body = text.partition(";")
        if not head.startswith("#JSGF"):
            raise ValueError("a JSGF file starts with #JSGF")
        self._tokens = list(self._scan(body))
        self._at = 0
        self._name = ""
        self._imported: dict[str, str] = {}

    @staticmethod
    def _scan(text: str) -> Iterator[tuple[str, str]]:
        at = 0
        while at < len(text):
            found = _TOKEN.match(text, at)
            if not found:
                raise ValueError(f"not JSGF here: {text[at : at + 30]!r}")
            at = found.end()
            if found.lastgroup not in ("space", "comment"):
                yield str(found.lastgroup), found.group()

    def _peek(self) -> tuple[str, str]:
        return self._tokens[self._at] if self._at < len(self._tokens) else ("end", "")

    def _take(self, *expected: str) -> str:
        kind, text = self._peek()
        if expected and text not in expected and kind not in expected:
            raise ValueError(f"in grammar {self._name!r}: expected {' or '.join(expected)}, found {text!r}")
        self._at += 1
        return text

    def file(self) -> File:
        self._take("grammar")
        self._name = self._take("word")
        self._take(";")
        out = File(self._name)
        while self._peek()[1] == "import":
            self._take()
            full = self._take("ref")[1:-1]
            self._imported[full.rpartition(".")[2]] = full
            self._take(";")
        while self._peek()[0] != "end":
            out.rules.append(self._rule())
        return out

    def _rule(self) -> Rule:
        examples: tuple[str, ...] = ()
        while self._peek()[0] == "doc":
            examples = tuple(re.findall(r"@example\s+([^\n*]+?)\s*(?=\n|\*)", self._take()))
        public = self._peek()[1] == "public"
        if public:
            self._take()
        name = self._take("ref")[1:-1]
        self._take("=")
        body = self._alternatives()
        self._take(";")
        return Rule(f"{self._name}.{name}", body, public, examples)

    def _alternatives(self) -> Expansion:
        options: list[Expansion] = []
        weights: list[float] = []
        while True:
            weights.append(float(self._take().strip("/ ")) if self._peek()[0] == "weight" else 1.0)
            options.append(self._sequence())
            if self._peek()[1] != "|":
                break
            self._take()
        return options[0] if len(options) == 1 else Alternatives(tuple(options), tuple(weights))

    def _sequence(self) -> Expansion:
        parts: list[Expansion] = []
        while self._peek()[1] not in ("|", ";", ")", "]") and self._peek()[0] != "end":
            parts.append(self._item())
        if not parts:
            raise ValueError(f"in grammar {self._name!r}: an empty alternative")
        return parts[0] if len(parts) == 1 else Sequence(tuple(parts))

    def _item(self) -> Expansion:
        kind, text = self._peek()
        item: Expansion
        if text == "(":
            self._take()
            item = self._alternatives()
            self._take(")")
        elif text == "[":
            self._take()
            item = Optional(self._alternatives())
            self._take("]")
        elif kind == "ref":
            name = self._take()[1:-1]
            item = Reference(name if "." in name else self._imported.get(name, f"{self._name}.{name}"))
        elif kind == "word":
            item = Word(self._take())
        else:
            raise ValueError(f"in grammar {self._name!r}: unexpected {text!r}")
        while self._peek()[0] == "tag" or self._peek()[1] in ("*", "+"):
            text = self._take()
            item = Repeat(item, once=text == "+") if text in "*+" else Tagged(item, text[1:-1].strip())
        return item


def write(expansion: Expansion) -> str:
    """``expansion`` as JSGF text without tags and weights; ``<a.b>`` becomes the local ``<a_b>``."""
    match expansion:
        case Word(text):
            return text
        case Reference(full):
            return f"<{full.replace('.', '_')}>"
        case Sequence(parts):
            return " ".join(write(p) for p in parts)
        case Alternatives(options, _):
            return "( " + " | ".join(write(o) for o in options) + " )"
        case Optional(inner):
            return f"[ {write(inner)} ]"
        case Repeat(inner, once):
            return f"( {write(inner)} ){'+' if once else '*'}"
        case Tagged(inner, _):
            return f"( {write(inner)} )"
