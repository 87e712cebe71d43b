"""The trade tasks as data: what each is called, what it asks for and in what order, and which words tell it.

A new task is one more row. How it is said stands once for all of them in grammars/en/tasks.jsgf: a head that
names it, then sizes with words around them. The words a row knows decide what every size is (``task_meaning``);
what a row asks for is asked for by voice and by keys alike; what answers it is in ``session.lay_out``.

What is left out is asked for, never assumed. The exceptions are nothing at all (end distances, trim, take-off, the
rise of a rail) and what the name of the job says by itself: a ring is whole, around is by quarters, a weight is of
one piece and of steel, which is what a shop buys under those names.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Set
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction
from types import MappingProxyType

from assistant.language.requests import PIECE, Given, Operand, Task

__all__ = [
    "HEADS",
    "TASKS",
    "Head",
    "Slot",
    "TaskKind",
    "Wanted",
    "filled_in",
    "missing",
    "named",
    "next_asked",
    "too_much",
]


class Wanted(Enum):
    """What a slot is filled with."""

    LENGTH = "length"
    """A measurement, as an Operand."""
    COUNT = "count"
    """A whole number, as an int."""
    ANGLE = "angle"
    """Degrees, as a Fraction."""
    NUMBER = "number"
    """A plain number, as a Fraction."""
    PIPE = "pipe size"
    """A pipe by its nominal size, as the Measure that names it."""
    CHOICE = "choice"
    """One of a few words, as a str."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One thing a task takes."""

    name: str
    ask: str = ""
    """How it is asked for, in plain words. Empty: never asked, only taken where it is said."""
    wanted: Wanted = Wanted.LENGTH
    unless: tuple[tuple[str, ...], ...] = ()
    """Not needed where all of one of these are given."""
    optional: bool = False
    """Asked only of him who gave the task's name alone; "no", or Enter, leaves it out."""
    declinable: bool = False
    """Always asked for, but "no" is an answer: none of it, or ask me another way."""
    only_if: tuple[str, str] | None = None
    """Only of use where another slot ("one|other": either) was given this; "" where that one was declined, "*"
    where it was not. "+" as "*", but for the asking only: said unasked it is of use by itself."""
    many: bool = False
    """May be given several times."""
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TaskKind:
    """One task."""

    kind: str
    name: str
    """As it is spoken in the list of jobs."""
    slots: tuple[Slot, ...]
    """In the order they are asked for."""
    plain: tuple[str, ...] = ()
    """What the sizes with no word of their own are, in the order said."""
    before: Mapping[str, str] = field(default_factory=dict)
    """Words that stand before a size, each with the slot that makes it."""
    after: Mapping[str, str] = field(default_factory=dict)
    """Words that stand after a size."""
    alone: Mapping[str, Given] = field(default_factory=dict)
    """Words that fill a slot by themselves."""
    leaving: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Words that decline slots: "about the center" gives no first hole."""
    joining: tuple[str, ...] = ()
    """Words between two sizes that tell nothing."""
    must: tuple[str, ...] = ()
    """Words without which it is another task; one of those joined by a stroke will do."""
    counted: str = ""
    """What the number before the head counts."""
    close: bool = False
    """Whether a size with no word of its own may follow another with nothing to join them."""
    long: str = ""
    """The slot that a size in feet with no word of its own fills before any other."""
    thinnest: str = ""
    """The slot whose size is no bigger than those of ``plain``: a thickness."""
    piece: str = ""
    """The slot whose size is then the piece in hand. Empty: the piece stays what it was."""
    caution_first: bool = False
    """Whether its cautions come before the answer."""
    menu: tuple[str, ...] = ()
    """The tasks it stands for, one of which is to be picked: nine at most, as many as a keypad has digits."""

    @property
    def needed(self) -> tuple[list[str], ...]:
        """``must`` taken apart at its strokes: one word of each is said."""
        return tuple(one.split("|") for one in self.must)

    def slot(self, name: str) -> Slot:
        return next(slot for slot in self.slots if slot.name == name)


def _length(name: str, ask: str = "", **more: object) -> Slot:
    return Slot(name, ask, Wanted.LENGTH, **more)  # type: ignore[arg-type]


def _count(name: str, ask: str = "", **more: object) -> Slot:
    return Slot(name, ask, Wanted.COUNT, **more)  # type: ignore[arg-type]


def _angle(name: str, ask: str = "", **more: object) -> Slot:
    return Slot(name, ask, Wanted.ANGLE, **more)  # type: ignore[arg-type]


def _word(name: str, ask: str = "", choices: tuple[str, ...] = (), **more: object) -> Slot:
    return Slot(name, ask, Wanted.CHOICE, choices=choices, **more)  # type: ignore[arg-type]


_ENDS = (
    _length(
        "each end",
        "How much from each end? Say no for none.",
        unless=(("one end",), ("other end",)),
        optional=True,
    ),
    _length("one end"),
    _length("other end"),
)
_END_WORDS = {".each_end": "each end", ".one_end": "one end", ".other_end": "other end"}
_SIDES = (_length("one side", "How long is one side?"), _length("other side", "How long is the other side?"))

_ASK_MOST = "What is the biggest space allowed?"
_ASK_TAKE_OFF = "How much take-off for one fitting? Say no for none."
_ASK_LONG_POINTS = "How long, to the long points? Say no for the cut only."
_ASK_GAP = "How much gap for one weld? Say no for none."
_ASK_KERF = "How wide is the kerf? Say no for none."
_ASK_SCHEDULE = "What schedule? Say no for standard."
_LONG = (_length("length", "How long?"), _count("count"))
_BY_POUNDS = (_length("depth", "How deep?"), _length("pounds", "How many pounds a foot?"))
_ANGLE = (
    _length("leg", "How long is one leg?"),
    _length("other leg", "How long is the other leg?"),
    _length("thickness", "How thick?"),
)
_FACES = (
    _word("face", "By the inside or by the outside?", ("inside", "outside"), unless=(("inside",), ("outside",))),
    _length("inside", "How big across the inside?", only_if=("face", "inside")),
    _length("outside", "How big across the outside?", unless=(("inside",),), only_if=("face", "outside")),
)
_FACE_WORDS = {".inside": "inside", ".outside": "outside"}
_OF_A_RING = _angle("degrees", "How many degrees of it? Say no for a full ring.", optional=True)
_WAY = _word("way", "Is the leg in or out?", ("leg in", "leg out"))
_WAY_WORDS: Mapping[str, Given] = {".leg_in": ("way", "leg in"), ".leg_out": ("way", "leg out")}
_GAGED = ("gage of beam", "gage of channel", "gage of angle")
_METALS = ("steel", "stainless", "aluminum", "brass")
_METAL = _word("metal", "What metal? Say no for steel.", _METALS, optional=True)
_METAL_WORDS: Mapping[str, Given] = {f".{metal}": ("metal", metal) for metal in _METALS}
_TUBES = ("weigh tube", "weigh round tube")
_BARS = tuple(f"weigh {bar}" for bar in ("flat", "round", "square", "hex"))
_SHAPES = tuple(f"weigh {shape}" for shape in ("pipe", "angle", "channel", "beam"))


def _bar(shape: str, called: str, *sizes: Slot) -> TaskKind:
    """The weight of bar of a shape, by its sizes across and its length."""
    return TaskKind(
        f"weigh {shape}",
        called,
        (*sizes, *_LONG, _METAL),
        plain=(*(size.name for size in sizes), "length"),
        after={".long": "length", ".piece": "count", **({".thick": "thickness"} if len(sizes) > 1 else {})},
        alone=_METAL_WORDS,
        joining=(*((".by",) if len(sizes) > 1 else ()), f".{shape}", ".bar", ".of"),
        must=(f".{shape}",),
        long="length",
    )


_ROWS = (
    TaskKind(
        "spaces",
        "equal spaces",
        (
            _length("whole", "How long?"),
            _count(
                "count",
                "How many spaces? Say no to give the biggest space instead.",
                unless=(("most",), ("spacing",)),
                declinable=True,
            ),
            _length("spacing"),
            _length("most", _ASK_MOST, unless=(("spacing",),), only_if=("count", "")),
            *_ENDS,
        ),
        plain=("whole",),
        before={
            ".in": "whole",
            ".most": "most",
            ".of": "spacing",
            ".at": "spacing",
            ".on": "spacing",
            ".every": "spacing",
        },
        after={**_END_WORDS, ".apart": "spacing|most", ".spaces": "count"},
        counted="count",
        piece="whole",
    ),
    TaskKind(
        "holes",
        "equal holes",
        (
            _length("whole", "How long?"),
            _count(
                "holes",
                "How many holes? Say no to give the biggest space instead.",
                unless=(("most",), ("spacing",)),
                declinable=True,
            ),
            _length("spacing"),
            _length("most", _ASK_MOST, unless=(("spacing",),), only_if=("holes", "")),
            *_ENDS,
        ),
        plain=("whole",),
        before={".in": "whole", ".most": "most", ".at": "spacing", ".on": "spacing", ".every": "spacing"},
        after={**_END_WORDS, ".apart": "spacing|most", ".holes": "holes"},
        counted="holes",
        piece="whole",
    ),
    TaskKind(
        "pickets",
        "pickets",
        (
            _length("clear", "How wide is the opening?"),
            _length("bar", "How wide is the picket?"),
            _length("most", "What is the biggest gap allowed?", unless=(("count",),)),
            _count("count"),
            _word("strict"),
            _word("marks", "Marks at the edges or at the centers?", ("edges", "centers")),
            _length("rail rise", "How much does the rail rise? Say no where it is level.", optional=True),
            _length("rail run", "In how much run?", only_if=("rail rise", "*")),
        ),
        plain=("clear",),
        before={
            ".in": "clear|rail run",
            ".bar": "bar",
            ".most": "most",
            ".under": "most",
            ".gap": "most",
            ".rising": "rail rise",
        },
        after={".bar": "bar", ".gap": "most"},
        alone={".under": ("strict", "yes"), ".centers": ("marks", "centers"), ".edges": ("marks", "edges")},
        joining=(".square",),
        counted="count",
        piece="clear",
    ),
    TaskKind(
        "square",
        "square by diagonals",
        (
            _length("long", "How long is the long side?"),
            _length("short", "How long is the short side?"),
            _length("long across", "And the side across from the long one?", optional=True),
            _length("short across", "And the side across from the short one?", optional=True),
            _length("first", "What does the first diagonal read?"),
            _length("second", "What does the other diagonal read?"),
        ),
        plain=("long", "short"),
        before={".got": "first", ".and": "second"},
        joining=(".by",),
    ),
    TaskKind("diagonal", "diagonal", _SIDES, plain=("one side", "other side"), joining=(".of", ".by", ".and")),
    TaskKind(
        "brace",
        "brace",
        (
            _length("rise", "How much rise?", unless=(("run", "length"),)),
            _length("run", "How much run? Say no to give the brace instead.", unless=(("length",),), declinable=True),
            _length("length", "How long is the brace?", only_if=("run", "")),
        ),
        plain=("rise", "run"),
        before={".rise": "rise", ".run": "run", ".brace": "length"},
        after={".rise": "rise", ".run": "run"},
        joining=(".by", ".and"),
    ),
    TaskKind("check", "check a cut piece", (_length("cut", "What does it measure?"),), plain=("cut",)),
    TaskKind("burn", "hold on an inch", (_length("inch", "Which inch do you hold on?"),), plain=("inch",)),
    TaskKind(
        "sticks",
        "sticks for a cut list",
        (
            _length("stock", "How long are the sticks?"),
            _count("sticks", "How many of them are there? Say no for all it takes.", optional=True),
            _length("kerf", _ASK_KERF, optional=True),
            _length("trim", "How much trim off the end? Say no for none.", optional=True),
        ),
        plain=("stock",),
        before={".kerf": "kerf", ".trim": "trim"},
        after={".of_them": "sticks"},
        joining=(".of", ".sticks"),
        counted="sticks",
    ),
    TaskKind(
        "offcuts",
        "offcuts for a cut list",
        (_count("sticks", "How many offcuts?"), _length("stock", "How long is each?")),
        plain=("stock",),
        joining=(".of", ".at"),
        counted="sticks",
    ),
    TaskKind(
        "cut",
        "one line of the cut list",
        (_count("count", "How many pieces?"), _length("cut", "How long is each?")),
        plain=("count",),
        before={".at": "cut"},
        after={".piece": "count"},
    ),
    TaskKind(
        "nest",
        "nest the cut list",
        (
            _length("stock", many=True),
            _count("sticks", many=True),
            _length("kerf", _ASK_KERF, declinable=True),
            _length("trim"),
            _length("useful"),
            _count("count", many=True),
            _length("cut", many=True),
        ),
    ),
    TaskKind(
        "miter",
        "miter",
        (
            _length("width", "How wide is the piece?"),
            _length("long", _ASK_LONG_POINTS, unless=(("short",),), optional=True),
            _length("short"),
            _angle("corner", "How many degrees is the corner? Say no for ninety.", unless=(("saw",),), declinable=True),
            _angle("saw"),
            _word("ends", "Mitered one end, or both ends?", ("one end", "both ends"), only_if=("long|short", "+")),
        ),
        plain=("width", "corner"),
        before={".long_point": "long", ".short_point": "short", ".outside": "long", ".inside": "short"},
        after={".degrees": "corner"},
        alone={".single": ("ends", "one end"), ".each_end": ("ends", "both ends")},
        joining=(".on", ".at", ".square", ".tube", ".angle", ".flat", ".bar"),
        piece="long",
    ),
    TaskKind("kerf", "kerf", (_length("kerf", _ASK_KERF, declinable=True),), plain=("kerf",)),
    TaskKind(
        "with kerf",
        "so many with kerf",
        (
            _length("length", "How long is each?"),
            _count("count", "How many pieces?"),
            _length("kerf", _ASK_KERF, declinable=True),
        ),
    ),
    TaskKind(
        "how many",
        "how many out of a stick",
        (
            _length("length", "How long is each piece?"),
            _length("stick", "Out of how long a stick?"),
            _length("kerf", _ASK_KERF, declinable=True),
        ),
        plain=("length",),
        before={".at": "length", ".in": "stick", ".out_of": "stick", ".kerf": "kerf"},
        after={".piece": "length"},
    ),
    TaskKind(
        "bevel",
        "bevel",
        (_length("rise", "How much rise?"), _length("run", "In how much run?")),
        plain=("rise", "run"),
        before={".in": "run", ".rise": "rise", ".run": "run"},
        after={".rise": "rise", ".run": "run"},
        joining=(".by", ".of", ".and"),
    ),
    TaskKind(
        "stairs",
        "stairs",
        (
            _length("rise", "How much rise, finished floor to finished floor?"),
            _length("tread", "How much run for one tread?"),
            _count("risers", "How many risers? Say no to have them counted.", optional=True),
            _word(
                "rule",
                "Is the stair public, industrial or in a house?",
                ("public", "industrial", "house"),
                unless=(("risers",),),
            ),
            _length("thickness", "How thick is a tread? Say no to leave it out.", optional=True),
        ),
        plain=("rise",),
        before={".rise": "rise", ".tread": "tread", ".run": "tread"},
        after={".rise": "rise", ".tread": "tread", ".risers": "risers", ".thick": "thickness", ".run": "tread"},
        alone={".public": ("rule", "public"), ".industrial": ("rule", "industrial"), ".house": ("rule", "house")},
        joining=(".of", ".in"),
        caution_first=True,
    ),
    TaskKind(
        "bevel of angle",
        "bevel of an angle",
        (_angle("angle", "How many degrees?"),),
        after={".degrees": "angle"},
        joining=(".of",),
        must=(".degrees",),
    ),
    TaskKind(
        "bevel cut",
        "bevel cut",
        (
            _length("rise", "How much bevel?"),
            _length("run", "In how much? A square says twelve."),
            _length("depth", "How deep is the piece?"),
            _length("long", _ASK_LONG_POINTS, optional=True),
        ),
        plain=("rise",),
        before={".in": "run", ".across": "depth", ".on": "depth", ".long_point": "long"},
        joining=(".of",),
        piece="long",
    ),
    TaskKind(
        "bolt circle",
        "bolt circle",
        (
            _length("circle", "How big is the circle?"),
            _count("holes", "How many holes?"),
            _word("straddle", "Is a hole on the line, or do they straddle it?", ("on the line", "straddle")),
        ),
        plain=("circle",),
        before={".chord_for": "holes", ".on": "circle"},
        after={".circle": "circle", ".holes": "holes"},
        alone={".straddle": ("straddle", "straddle"), ".on_line": ("straddle", "on the line")},
        joining=(".on", ".of"),
        must=(".circle",),
        counted="holes",
    ),
    TaskKind(
        "gage",
        "gage lines",
        (_length("gage", "What gage?"), _length("width", "On how wide a piece?")),
        plain=("gage", "width"),
        before={".on": "width", ".about": "width", ".in": "width"},
        piece="width",
    ),
    TaskKind(
        "row",
        "row of holes",
        (
            _length("along", "How long is the piece?"),
            _count("holes", "How many holes?"),
            _length("pitch", "How far apart?"),
            _length("first", "How far from the end is the first? Say no to center them.", declinable=True),
        ),
        before={".at": "pitch", ".about": "along", ".in": "along"},
        after={".apart": "pitch", ".from_end": "first", ".holes": "holes"},
        alone={".about": ("along", PIECE)},
        leaving={".about": ("first",)},
        counted="holes",
        piece="along",
    ),
    TaskKind(
        "three four five",
        "three four five",
        _SIDES,
        plain=("one side", "other side"),
        joining=(".in", ".by", ".and"),
    ),
    TaskKind(
        "corner",
        "check a corner",
        (*_SIDES, _length("across", "How much across?")),
        plain=("one side", "other side"),
        before={".across": "across"},
        joining=(".of", ".by", ".and"),
    ),
    TaskKind(
        "cope",
        "coped corner of angle",
        _ANGLE,
        plain=("leg", "other leg", "thickness"),
        after={".thick": "thickness"},
        joining=(".by", ".angle", ".of"),
        must=(".angle",),
        close=True,
        thinnest="thickness",
    ),
    TaskKind(
        "grid",
        "grid of holes",
        (
            _count("columns", "How many holes along?"),
            _count("rows", "How many holes across?"),
            _length("pitch", "How far apart along?"),
            _length("gage", "How far apart across?"),
            _length("along", "How long is the piece?"),
            _length("width", "How wide is the piece?"),
            _length("end", "How far from the end is the first? Say no to center them.", declinable=True),
            _length("edge", "How far from the edge is the first? Say no to center them.", declinable=True),
        ),
        plain=("columns", "rows", "gage", "width"),
        before={".at": "pitch", ".on": "along", ".in": "along", ".about": "along"},
        after={".from_end": "end", ".from_edge": "edge"},
        leaving={".about": ("end", "edge")},
        joining=(".by", ".and", ".of", ".holes", ".about"),
        piece="along",
    ),
    TaskKind(
        "offset",
        "pipe offset",
        (
            _length("rise", "How much offset?"),
            _angle("fitting", "What angle are the fittings, in degrees?"),
            _length("take-off", _ASK_TAKE_OFF, unless=(("pipe",),), optional=True),
            Slot("pipe", wanted=Wanted.PIPE),
            _length("gap", _ASK_GAP, declinable=True, only_if=("take-off|pipe", "+")),
        ),
        plain=("rise",),
        before={".at": "fitting", ".take_off": "take-off", ".gap": "gap"},
        after={".degrees": "fitting", ".take_off": "take-off", ".gap": "gap", ".pipe": "pipe"},
        joining=(".of", ".on", ".in"),
    ),
    TaskKind(
        "rolling offset",
        "rolling offset",
        (
            _length("rise", "How much up?"),
            _length("roll", "How much over?"),
            _angle("fitting", "What angle are the fittings, in degrees?"),
            _length("take-off", _ASK_TAKE_OFF, unless=(("pipe",),), optional=True),
            Slot("pipe", wanted=Wanted.PIPE),
            _length("gap", _ASK_GAP, declinable=True, only_if=("take-off|pipe", "+")),
        ),
        plain=("rise", "roll", "fitting"),
        before={".at": "fitting", ".take_off": "take-off", ".gap": "gap"},
        after={
            ".up": "rise",
            ".over": "roll",
            ".degrees": "fitting",
            ".take_off": "take-off",
            ".gap": "gap",
            ".pipe": "pipe",
        },
        joining=(".by", ".and", ".on", ".in"),
        close=True,
    ),
    TaskKind(
        "around pipe",
        "around a pipe",
        (Slot("pipe", "What size pipe?", Wanted.PIPE), _count("parts")),
        after={".pipe": "pipe", ".piece": "parts"},
        joining=(".of", ".in", ".on"),
        must=(".pipe",),
    ),
    TaskKind(
        "around",
        "around a round",
        (_length("outside", "How big across the outside?"), _count("parts")),
        plain=("outside",),
        after={".outside": "outside", ".piece": "parts"},
        joining=(".of", ".in", ".circle"),
    ),
    TaskKind(
        "pipe miter",
        "pipe miter",
        (
            Slot("pipe", "What size pipe?", Wanted.PIPE),
            _count("pieces", "How many pieces?"),
            _angle("turn", "How many degrees does it turn?"),
        ),
        plain=("turn",),
        after={".pipe": "pipe", ".piece": "pieces", ".degrees": "turn"},
        joining=(".on", ".of"),
        must=(".piece",),
    ),
    TaskKind(
        "saddle",
        "saddle",
        (
            Slot("branch", "What size is the branch?", Wanted.PIPE),
            Slot("header", "What size is the header?", Wanted.PIPE),
            _word("fit", "By the branch's outside, or set on by its inside?", ("outside", "inside")),
            _count("schedule", _ASK_SCHEDULE, unless=(("standard",),), declinable=True, only_if=("fit", "inside")),
            _word("standard"),
            _angle("degrees", "At how many degrees? Say no for ninety.", declinable=True),
        ),
        plain=("branch",),
        before={".on": "header", ".at": "degrees", ".schedule": "schedule"},
        after={".degrees": "degrees", ".pipe": "branch|header"},
        alone={
            ".inside": ("fit", "inside"),
            ".outside": ("fit", "outside"),
            ".standard": ("standard", "yes"),
        },
        joining=(".pipe",),
    ),
    TaskKind(
        "elbow",
        "elbow take-off",
        (Slot("pipe", "What size pipe?", Wanted.PIPE), _angle("angle", "How many degrees?")),
        plain=("pipe", "angle"),
        after={".pipe": "pipe", ".degrees": "angle"},
        joining=(".of", ".take_off", ".at"),
        close=True,
    ),
    TaskKind(
        "bend",
        "bend",
        (
            _length("thickness", "How thick?"),
            _length("first leg", "How long is the first leg, outside?"),
            _length("second leg", "How long is the second leg, outside?"),
            _length("more legs", many=True),
            _length("radius", "What inside radius?"),
            _angle("degrees", "How many degrees is a bend? Say no for ninety.", declinable=True),
            _word(
                "material",
                "By the K of steel, stainless or aluminum, or by the Navy rule?",
                ("steel", "stainless", "aluminum", "navy"),
                unless=(("k",),),
            ),
            Slot("k", wanted=Wanted.NUMBER),
        ),
        plain=("first leg", "second leg", "more legs"),
        before={".radius": "radius", ".k": "k"},
        after={
            ".plate": "thickness",
            ".thick": "thickness",
            ".flat": "thickness",
            ".bar": "thickness",
            ".radius": "radius",
            ".degrees": "degrees",
        },
        alone={
            ".steel": ("material", "steel"),
            ".stainless": ("material", "stainless"),
            ".aluminum": ("material", "aluminum"),
            ".navy": ("material", "navy"),
        },
        joining=(".by", ".and"),
        thinnest="thickness",
    ),
    TaskKind(
        "ring",
        "ring",
        (
            *_FACES,
            _length("bar", "How thick is the bar?"),
            _OF_A_RING,
        ),
        before={**_FACE_WORDS, ".bar": "bar"},
        after={**_FACE_WORDS, ".bar": "bar", ".thick": "bar", ".degrees": "degrees"},
        joining=(".of",),
    ),
    TaskKind(
        "ring of angle",
        "ring of angle",
        (*_FACES, *_ANGLE, _WAY, _OF_A_RING),
        plain=("leg", "other leg", "thickness"),
        after={**_FACE_WORDS, ".thick": "thickness", ".degrees": "degrees"},
        alone=_WAY_WORDS,
        joining=(".by", ".angle", ".of"),
        must=(".angle",),
        close=True,
        thinnest="thickness",
    ),
    TaskKind(
        "ring of channel",
        "ring of channel",
        (*_FACES, *_BY_POUNDS, _WAY, _OF_A_RING),
        plain=("depth", "pounds"),
        after={**_FACE_WORDS, ".degrees": "degrees"},
        alone=_WAY_WORDS,
        joining=(".by", ".channel", ".of"),
        must=(".channel",),
        close=True,
    ),
    TaskKind(
        "arc",
        "chord, rise and radius",
        (
            _length("chord", "How long is the chord?", unless=(("rise", "radius"),)),
            _length(
                "rise",
                "How much rise at the middle? Say no to give the radius instead.",
                unless=(("chord", "radius"),),
                declinable=True,
            ),
            _length("radius", "What radius?", unless=(("chord", "rise"),), only_if=("rise", "")),
            _length("every", "How far apart are the ordinates? Say no for each foot.", optional=True),
        ),
        before={".chord": "chord", ".rise": "rise", ".radius": "radius", ".every": "every"},
        after={".chord": "chord", ".rise": "rise", ".radius": "radius"},
        joining=(".radius",),
    ),
    TaskKind(
        "camber",
        "camber",
        (_length("middle", "How much camber at the middle?"), _length("length", "In how long a piece?")),
        plain=("middle",),
        before={".in": "length"},
        joining=(".of",),
        piece="length",
    ),
    TaskKind(
        "useful drop",
        "shortest drop to keep",
        (_length("useful", "What is the shortest drop you keep? Say no for none.", declinable=True),),
        before={".over": "useful"},
        must=(".over",),
    ),
    TaskKind(
        "k",
        "K for bends",
        (Slot("k", "What K? It lies between nothing and a half.", Wanted.NUMBER),),
        plain=("k",),
    ),
    TaskKind("usual gage", "usual gage of a shape", (Slot("shape", "Gage of what?"),), menu=_GAGED),
    *(
        TaskKind(
            f"gage of {shape}",
            shape,
            _BY_POUNDS,
            plain=("depth", "pounds"),
            joining=(".by", f".{shape}", ".of"),
            must=(f".{shape}",),
        )
        for shape in ("beam", "channel")
    ),
    TaskKind(
        "gage of angle",
        "angle",
        (_length("leg", "How long is the leg?"),),
        plain=("leg",),
        joining=(".angle", ".of"),
        must=(".angle",),
    ),
    TaskKind(
        "gauge",
        "sheet gauge",
        (
            _count("number", "What gauge?"),
            _word(
                "of",
                "Is it a sheet of steel, stainless or aluminum, or a tube wall?",
                ("steel", "stainless", "aluminum", "tube wall"),
            ),
        ),
        alone={
            ".steel": ("of", "steel"),
            ".stainless": ("of", "stainless"),
            ".aluminum": ("of", "aluminum"),
            ".tube": ("of", "tube wall"),
        },
        joining=(".plate",),
        counted="number",
    ),
    TaskKind(
        "stringer",
        "stringer marks",
        (
            _length("rise", "How much rise, finished floor to finished floor?"),
            _length("tread", "How much run for one tread?"),
            _count("risers", "How many risers?"),
        ),
        plain=("rise",),
        before={".rise": "rise", ".tread": "tread", ".run": "tread"},
        after={".rise": "rise", ".tread": "tread", ".risers": "risers", ".run": "tread"},
        caution_first=True,
    ),
    TaskKind(
        "guard opening",
        "opening in a machine guard",
        (_length("distance", "How far is the guard from the moving part?"),),
        plain=("distance",),
        joining=(".at",),
        caution_first=True,
    ),
    TaskKind(
        "shrinkage",
        "weld shrinkage",
        (
            _length("thickness", "How thick is the plate?"),
            _length("opening", "How wide is the root opening? Say no for none.", declinable=True),
            _angle("groove", "How many degrees is the groove, both sides together? Say no for none.", declinable=True),
        ),
        before={".opening": "opening"},
        after={
            ".plate": "thickness",
            ".thick": "thickness",
            ".opening": "opening",
            ".gap": "opening",
            ".degrees": "groove",
        },
        joining=(".of", ".in", ".on"),
    ),
    TaskKind(
        "growth",
        "growth from heat",
        (
            _length("length", "How long is it cold?"),
            Slot("hotter", "How many degrees Fahrenheit hotter?", Wanted.ANGLE),
        ),
        plain=("length",),
        before={".at": "hotter"},
        after={".degrees": "hotter"},
        joining=(".of", ".in"),
    ),
    TaskKind(
        "weight",
        "weight",
        (Slot("shape", "Weigh what?"),),
        menu=("weigh plate", "weigh a bar", "weigh a tube", *_SHAPES),
    ),
    TaskKind("weigh a bar", "bar", (Slot("shape", "What bar?"),), menu=_BARS),
    TaskKind("weigh a tube", "tube", (Slot("shape", "What tube?"),), menu=_TUBES),
    TaskKind(
        "weigh plate",
        "plate",
        (
            _length("length", "How long?"),
            _length("width", "How wide?"),
            _length("thickness", "How thick?"),
            _count("count"),
            _METAL,
        ),
        plain=("length", "width", "thickness"),
        after={".plate": "thickness", ".thick": "thickness", ".piece": "count"},
        alone=_METAL_WORDS,
        joining=(".by", ".plate", ".of"),
        must=(".plate",),
        close=True,
        thinnest="thickness",
    ),
    _bar("flat", "flat bar", _length("width", "How wide?"), _length("thickness", "How thick?")),
    _bar("round", "round bar", _length("diameter", "How big across?")),
    _bar("square", "square bar", _length("side", "How big is one side?")),
    _bar("hex", "hexagon bar", _length("flats", "How big across the flats?")),
    TaskKind(
        "weigh tube",
        "square or rectangular tube",
        (
            _length("side", "How big is one side?"),
            _length("other side", "How big is the other side?"),
            _length("wall", "How thick is the wall?"),
            *_LONG,
            _METAL,
        ),
        plain=("side", "other side", "wall", "length"),
        after={".long": "length", ".thick": "wall", ".piece": "count"},
        alone=_METAL_WORDS,
        joining=(".by", ".square", ".tube", ".of"),
        must=(".tube",),
        close=True,
        long="length",
        thinnest="wall",
    ),
    TaskKind(
        "weigh round tube",
        "round tube",
        (_length("outside", "How big across the outside?"), _length("wall", "How thick is the wall?"), *_LONG, _METAL),
        plain=("outside", "wall", "length"),
        after={".long": "length", ".thick": "wall", ".piece": "count"},
        alone=_METAL_WORDS,
        joining=(".by", ".round", ".tube", ".of"),
        must=(".round", ".tube"),
        close=True,
        long="length",
        thinnest="wall",
    ),
    TaskKind(
        "weigh pipe",
        "pipe",
        (
            Slot("pipe", "What size pipe?", Wanted.PIPE),
            _count("schedule", _ASK_SCHEDULE, unless=(("standard",),), declinable=True),
            _word("standard"),
            *_LONG,
            _METAL,
        ),
        plain=("pipe", "length"),
        before={".schedule": "schedule"},
        after={".pipe": "pipe", ".long": "length", ".piece": "count"},
        alone={**_METAL_WORDS, ".standard": ("standard", "yes")},
        joining=(".pipe", ".of"),
        must=(".pipe|.schedule",),
        close=True,
        long="length",
    ),
    TaskKind(
        "weigh angle",
        "angle",
        (*_ANGLE, *_LONG, _METAL),
        plain=("leg", "other leg", "thickness", "length"),
        after={".long": "length", ".thick": "thickness", ".piece": "count"},
        alone=_METAL_WORDS,
        joining=(".by", ".angle", ".of"),
        must=(".angle",),
        close=True,
        long="length",
        thinnest="thickness",
    ),
    *(
        TaskKind(
            f"weigh {shape}",
            shape,
            (*_BY_POUNDS, *_LONG),
            plain=("depth", "pounds", "length"),
            after={".long": "length", ".piece": "count"},
            joining=(".by", f".{shape}", ".of"),
            must=(f".{shape}",),
            long="length",
        )
        for shape in ("channel", "beam")
    ),
)
TASKS: Mapping[str, TaskKind] = MappingProxyType({row.kind: row for row in _ROWS})
"""By kind, the most used first."""


@dataclass(frozen=True, slots=True)
class Head:
    """What a head word may name."""

    kinds: tuple[str, ...]
    words: tuple[str, ...] = ()
    """Words of the loop that the head says too: "rise" names the task and tells what comes next."""
    bare: str = ""
    """The task it asks for when said alone. Empty: alone it is a piece of that name, and "a brace" asks."""


HEADS: Mapping[str, Head] = MappingProxyType(
    {
        "#spaces": Head(("spaces",), bare="spaces"),
        "#every": Head(("spaces",), (".every",)),
        "#holes": Head(("holes", "row", "bolt circle"), bare="holes"),
        "#pickets": Head(("pickets",), bare="pickets"),
        "#picket": Head(("pickets",)),
        "#gage": Head(("gage", *_GAGED, "gauge"), bare="gage"),
        "#row": Head(("row",), bare="row"),
        "#grid": Head(("grid",), bare="grid"),
        "#diagonal": Head(("diagonal",), bare="diagonal"),
        "#square": Head(("square",), bare="square"),
        "#three_four_five": Head(("three four five",), bare="three four five"),
        "#corner": Head(("corner", "cope"), bare="corner"),
        "#brace": Head(("brace",)),
        "#rise": Head(("brace", "arc"), (".rise",)),
        "#run": Head(("brace",), (".run",)),
        "#bevel": Head(("bevel", "bevel of angle", "bevel cut"), bare="bevel"),
        "#bevel_cut": Head(("bevel cut",), bare="bevel cut"),
        "#bolt_circle": Head(("bolt circle",), (".circle",), bare="bolt circle"),
        "#chord_for": Head(("bolt circle",), (".circle", ".chord_for")),
        "#miter": Head(("miter", "pipe miter"), bare="miter"),
        "#pipe_miter": Head(("pipe miter",), bare="pipe miter"),
        "#around": Head(("around", "around pipe"), bare="around pipe"),
        "#saddle": Head(("saddle",), bare="saddle"),
        "#offset": Head(("offset",), bare="offset"),
        "#rolling": Head(("rolling offset",), bare="rolling offset"),
        "#elbow": Head(("elbow",), bare="elbow"),
        "#arc": Head(("arc",), bare="arc"),
        "#radius": Head(("arc",), (".radius",), bare="arc"),
        "#chord": Head(("arc",), (".chord",), bare="arc"),
        "#ring": Head(("ring", "ring of angle", "ring of channel"), bare="ring"),
        "#bend": Head(("bend",), bare="bend"),
        "#k": Head(("k",), bare="k"),
        "#camber": Head(("camber",), bare="camber"),
        "#stairs": Head(("stairs",), bare="stairs"),
        "#stringer": Head(("stringer",), bare="stringer"),
        "#check": Head(("check",), bare="check"),
        "#hold_on": Head(("burn",)),
        "#burn": Head(("burn",), bare="burn"),
        "#sticks": Head(("sticks",), bare="sticks"),
        "#offcuts": Head(("offcuts", "useful drop"), bare="offcuts"),
        "#kerf": Head(("kerf",), bare="kerf"),
        "#cut": Head(("cut",), bare="cut"),
        "#how_many": Head(("how many",)),
        "#nest": Head(("nest",), bare="nest"),
        "#guard_opening": Head(("guard opening",), bare="guard opening"),
        "#shrinkage": Head(("shrinkage",), bare="shrinkage"),
        "#growth": Head(("growth",), bare="growth"),
        "#weigh": Head(("weigh plate", *_BARS, *_TUBES, *_SHAPES), bare="weight"),
    }
)


def named(piece: str) -> Task | None:
    """The task that is called what a piece may be called, too: a brace. None where only a piece is."""
    head = HEADS.get(f"#{piece}")
    return Task(head.kinds[0]) if head else None


def missing(task: Task, known: Container[str] = ()) -> tuple[Slot, ...]:
    """What a task cannot be answered without, in the order it is asked for. ``known`` need not be asked for."""
    return tuple(
        slot for slot in TASKS[task.kind].slots if not slot.optional and slot.name not in known and _open(slot, task)
    )


def too_much(task: Task) -> bool:
    """Whether it was given something that what else was given settles already, or leaves no use for. A word too
    many says only more plainly what is meant."""
    given = dict(task.given)
    return any(
        slot.name in given
        and ((slot.wanted is not Wanted.CHOICE and _settled(slot, given.keys() - {slot.name})) or _idle(slot, given))
        for slot in TASKS[task.kind].slots
    )


def filled_in(task: Task, name: str, value: Operand | int | Fraction | str) -> Task:
    """The task with one more thing given."""
    order = {slot.name: n for n, slot in enumerate(TASKS[task.kind].slots)}
    return replace(task, given=tuple(sorted((*task.given, (name, value)), key=lambda given: order[given[0]])))


def next_asked(task: Task, everything: bool, known: Container[str] = ()) -> Slot | None:
    """What to ask for next; ``everything`` asks for what may be left out too."""
    if not everything and not missing(task, known):
        return None
    for slot in TASKS[task.kind].slots:
        if slot.name not in known and (everything or not slot.optional) and _open(slot, task):
            return slot
    return None


def _open(slot: Slot, task: Task) -> bool:
    """Whether it is still to be asked for."""
    given = dict(task.given)
    settled = _settled(slot, {name for name, value in given.items() if value != ""})
    return bool(slot.ask) and slot.name not in given and not settled and _of_use(slot, given)


def _settled(slot: Slot, given: Set[str]) -> bool:
    return any(given >= set(names) for names in slot.unless)


def _idle(slot: Slot, given: Mapping[str, Operand | int | Fraction | str]) -> bool:
    """Whether it says more of something that was not given at all."""
    return slot.only_if is not None and slot.only_if[1] == "*" and not _of_use(slot, given)


def _of_use(slot: Slot, given: Mapping[str, Operand | int | Fraction | str]) -> bool:
    if slot.only_if is None:
        return True
    names, wanted = slot.only_if
    values = [given[name] for name in names.split("|") if name in given]
    return any(value != "" if wanted in ("*", "+") else value == wanted for value in values)
