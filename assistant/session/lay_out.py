"""From a trade task with everything it needs to its answer: which layout works out which task, and from what."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from assistant.errors import Slip
from assistant.language.requests import Measure, Task
from assistant.layout import (
    arc,
    arithmetic,
    bend,
    camber,
    circle,
    cope,
    elbow,
    gauge,
    guard,
    heat,
    miter,
    offset,
    pattern,
    pipe,
    slope,
    spacing,
    square,
    stairs,
    sticks,
    template,
    triangle,
    weight,
)
from assistant.layout.pickets import Rake, pickets
from assistant.layout.result import Result
from assistant.layout.square import Opposite
from assistant.layout.sticks import Nest
from assistant.layout.template import Wrap
from assistant.length import INCHES_PER_FOOT, Length

__all__ = ["lay_out", "nest_of", "wrap_of"]


class _Given:
    """What was given for a task, by name. What was declined is not there."""

    def __init__(self, task: Task) -> None:
        self._values: dict[str, list[Any]] = {}
        for name, value in task.given:
            if value != "":
                self._values.setdefault(name, []).append(value)

    def __contains__(self, name: str) -> bool:
        return name in self._values

    def length(self, name: str) -> Measure:
        (value,) = self._values[name]
        assert isinstance(value, Measure)
        return value

    def length_if(self, name: str) -> Measure | None:
        return self.length(name) if name in self else None

    def count(self, name: str) -> int:
        (value,) = self._values[name]
        assert isinstance(value, int)
        return value

    def count_if(self, name: str) -> int | None:
        return self.count(name) if name in self else None

    def word(self, name: str) -> str:
        return str(self._values[name][0]) if name in self else ""

    def degrees(self, name: str, otherwise: int = 90) -> Fraction:
        return Fraction(self._values[name][0]) if name in self else Fraction(otherwise)

    def counts(self, name: str) -> list[int]:
        return list(self._values.get(name, ()))

    def number_if(self, name: str) -> Fraction | None:
        return Fraction(self._values[name][0]) if name in self else None

    def lengths(self, name: str) -> list[Measure]:
        return list(self._values.get(name, ()))


_NOTHING = Measure(Length(0))
_QUARTERS = 4


def _end(given: _Given, name: str) -> Measure:
    return given.length_if(name) or given.length_if("each end") or _NOTHING


def _spaces(given: _Given) -> Result:
    return spacing.spaces(
        given.length("whole"),
        count=given.count_if("count"),
        holes=given.count_if("holes"),
        most=given.length_if("most"),
        spacing=given.length_if("spacing"),
        start=_end(given, "one end"),
        end=_end(given, "other end"),
    )


def _pickets(given: _Given) -> Result:
    rake = None
    if "rail rise" in given:
        rake = Rake(given.length("rail rise").length, given.length("rail run").length)
    return pickets(
        given.length("clear"),
        bar=given.length("bar"),
        most=given.length_if("most"),
        count=given.count_if("count"),
        strict="strict" in given,
        centers=given.word("marks") == "centers",
        rake=rake,
    )


def _square(given: _Given) -> Result:
    opposite = None
    if "long across" in given and "short across" in given:
        opposite = Opposite(given.length("long across").length, given.length("short across").length)
    return square.square(
        given.length("long"),
        given.length("short"),
        first=given.length("first"),
        second=given.length("second"),
        opposite=opposite,
    )


def _row(given: _Given) -> Result:
    return pattern.row(
        given.length("along"),
        holes=given.count("holes"),
        pitch=given.length("pitch"),
        first=given.length_if("first"),
    )


def _sides(given: _Given) -> tuple[Measure, Measure]:
    return given.length("one side"), given.length("other side")


def _miter(given: _Given) -> Result:
    return miter.miter(
        given.length("width"),
        corner=180 - 2 * given.degrees("saw") if "saw" in given else given.degrees("corner"),
        long=given.length_if("long"),
        short=given.length_if("short"),
        ends=1 if given.word("ends") == "one end" else 2,
    )


def _bevel_cut(given: _Given) -> Result:
    in_twelve = given.length("rise").length * INCHES_PER_FOOT / given.length("run").length.inches
    return miter.bevel_cut(given.length("depth"), Measure(in_twelve), long=given.length_if("long"))


def _grid(given: _Given) -> Result:
    return pattern.grid(
        given.length("along"),
        given.length("width"),
        columns=given.count("columns"),
        rows=given.count("rows"),
        pitch=given.length("pitch"),
        gage=given.length("gage"),
        end=given.length_if("end"),
        edge=given.length_if("edge"),
    )


def _elbow_of(size: Measure, fitting: Fraction) -> Measure:
    """The take-off of a pipe's elbow, where it is exact: a stocked one."""
    off = elbow.take_off(size.length.inches, fitting)
    if not isinstance(off, Length):
        raise Slip("I know the take-off of ninety and forty-five degree elbows only. Say the take-off.")
    return Measure(off)


def _offset(given: _Given) -> Result:
    fitting, take_off = given.degrees("fitting"), given.length_if("take-off")
    if take_off is None and "pipe" in given:
        take_off = _elbow_of(given.length("pipe"), fitting)
    return offset.offset(
        given.length("rise"),
        roll=given.length_if("roll"),
        fitting=fitting,
        take_off=take_off,
        gap=given.length_if("gap"),
    )


def _outside(given: _Given, name: str) -> Measure:
    """The outside diameter of a pipe by its nominal size. Raises a Slip where there is no such pipe."""
    return Measure(pipe.pipe(given.length(name).length.inches).outside)


def _pipe_miter(given: _Given) -> dict[str, Any]:
    return {"outside": _outside(given, "pipe"), "turn": given.degrees("turn"), "pieces": given.count("pieces")}


_WALLS = {"std": "standard", "xs": "extra strong"}


def _wall(given: _Given, of: pipe.Pipe) -> Length:
    """The wall of a pipe by its schedule, the standard one where none is given. Raises a Slip for one it has not."""
    wall = str(given.count("schedule")) if "schedule" in given else "std"
    if wall not in of.walls:
        known = ", ".join(_WALLS.get(name, name) for name in of.walls)
        raise Slip(f"I have no schedule {_WALLS.get(wall, wall)} in that pipe. I know {known}.")
    return of.walls[wall]


def _saddle(given: _Given) -> dict[str, Any]:
    branch = _outside(given, "branch")
    sizes = {"branch": branch, "header": _outside(given, "header"), "degrees": given.degrees("degrees")}
    if given.word("fit") != "inside":
        return sizes
    wall = _wall(given, pipe.pipe(given.length("branch").length.inches))
    return sizes | {"bore": Measure(branch.length - wall * 2)}


def _bend(given: _Given) -> Result:
    legs = [given.length("first leg"), given.length("second leg"), *given.lengths("more legs")]
    return bend.bend(
        given.length("thickness"),
        legs,
        radius=given.length("radius"),
        degrees=given.degrees("degrees"),
        k=given.number_if("k"),
        material=given.word("material"),
    )


def _ring(given: _Given) -> Result:
    return arc.ring(
        given.length("bar"),
        **_of_a_ring(given),
    )


def _ring_of(designation: Callable[[_Given], str]) -> Callable[[_Given], Result]:
    def roll(given: _Given) -> Result:
        return arc.rolled(
            designation(given),
            leg_out=given.word("way") == "leg out",
            **_of_a_ring(given),
        )

    return roll


def _of_a_ring(given: _Given) -> dict[str, Any]:
    """How big across, and how much of it."""
    return {
        "inside": given.length_if("inside"),
        "outside": None if "inside" in given else given.length_if("outside"),
        "degrees": given.degrees("degrees", 360),
    }


def _arc(given: _Given) -> Result:
    every = {"every": given.length("every")} if "every" in given else {}
    return arc.arc(
        chord=given.length_if("chord"), rise=given.length_if("rise"), radius=given.length_if("radius"), **every
    )


_RULES = {"public": stairs.PUBLIC, "industrial": stairs.INDUSTRIAL, "house": stairs.HOUSE}


def _stairs(given: _Given) -> Result:
    return stairs.stairs(
        given.length("rise"),
        tread=given.length("tread"),
        risers=given.count_if("risers"),
        rule=_RULES.get(given.word("rule")),
        thickness=given.length_if("thickness"),
    )


def _weigh_tube(given: _Given) -> Result:
    side, other, wall = (given.length(name) for name in ("side", "other side", "wall"))
    big, small = sorted((side.length, other.length), reverse=True)
    length = given.length("length")
    try:
        return weight.shape(f"HSS{_size(big)}x{_size(small)}x{_size(wall.length)}", length, **_so_many(given))
    except Slip:  # not in the table: by its sizes
        return weight.tube(side, other, wall, length, **_so_many(given))


def _weigh_pipe(given: _Given) -> Result:
    of = pipe.pipe(given.length("pipe").length.inches)
    return weight.pipe_weight(Measure(of.outside), Measure(_wall(given, of)), given.length("length"), **_so_many(given))


def _so_many(given: _Given) -> dict[str, Any]:
    """How many of what is weighed, and of what metal."""
    return {"count": given.count_if("count") or 1, "metal": given.word("metal") or "steel"}


def _weigh_shape(designation: Callable[[_Given], str]) -> Callable[[_Given], Result]:
    return lambda given: weight.shape(designation(given), given.length("length"), **_so_many(given))


def _angle_name(given: _Given) -> str:
    """The designation of an angle: "L3x2x1/4"."""
    big, small = sorted((given.length("leg").length, given.length("other leg").length), reverse=True)
    return f"L{_size(big)}x{_size(small)}x{_size(given.length('thickness').length)}"


def _beam_name(given: _Given) -> str:
    return f"W{_rolled(given)}"


def _channel_name(given: _Given) -> str:
    return f"C{_rolled(given)}"


def _rolled(given: _Given) -> str:
    """A rolled shape after its letter: "8x31"."""
    return f"{_size(given.length('depth').length)}x{_decimal(given.length('pounds').length)}"


def _size(length: Length) -> str:
    """A size as a designation writes it: "3-1/2"."""
    return str(length).replace(" ", "-")


def _decimal(pounds: Length) -> str:
    """Pounds a foot as a designation writes them: "5.4", "31"."""
    whole, tenths = divmod(pounds.inches * 10 // 1, 10)
    return f"{whole}.{tenths}" if tenths else str(whole)


def _cutting(given: _Given) -> dict[str, Any]:
    cuts = zip(given.lengths("cut"), given.counts("count"), strict=True)
    stocks = zip(given.lengths("stock"), given.counts("sticks"), strict=True)
    return {
        "pieces": [sticks.Pieces(cut, count) for cut, count in cuts],
        "rack": [sticks.Rack(stock, number or None) for stock, number in stocks],
        "kerf": given.length_if("kerf") or _NOTHING,
        "trim": given.length_if("trim") or _NOTHING,
        "useful": given.length_if("useful") or _NOTHING,
    }


_LAYOUTS: Mapping[str, Callable[[_Given], Result]] = {
    "spaces": _spaces,
    "holes": _spaces,
    "pickets": _pickets,
    "square": _square,
    "diagonal": lambda given: square.diagonal(*_sides(given)),
    "brace": lambda given: slope.brace(
        rise=given.length_if("rise"), run=given.length_if("run"), length=given.length_if("length")
    ),
    "bevel": lambda given: slope.bevel(given.length("rise"), given.length("run")),
    "bevel of angle": lambda given: slope.bevel_of_angle(given.degrees("angle")),
    "bevel cut": _bevel_cut,
    "bolt circle": lambda given: circle.bolt_circle(
        given.length("circle"), given.count("holes"), straddle=given.word("straddle") not in ("", "on the line")
    ),
    "gage": lambda given: pattern.gage_lines(given.length("width"), given.length("gage")),
    "row": _row,
    "grid": _grid,
    "three four five": lambda given: triangle.three_four_five(*_sides(given)),
    "cope": lambda given: cope.cope(given.length("leg"), given.length("other leg"), given.length("thickness")),
    "corner": lambda given: triangle.corner(*_sides(given), given.length("across")),
    "miter": _miter,
    "offset": _offset,
    "rolling offset": _offset,
    "around pipe": lambda given: pipe.around_pipe(
        given.length("pipe").length.inches, parts=given.count_if("parts") or _QUARTERS
    ),
    "around": lambda given: pipe.around(given.length("outside"), parts=given.count_if("parts") or _QUARTERS),
    "pipe miter": lambda given: template.pipe_miter(**_pipe_miter(given)),
    "saddle": lambda given: template.saddle(**_saddle(given)),
    "elbow": lambda given: elbow.elbow(given.length("pipe").length.inches, given.degrees("angle")),
    "bend": _bend,
    "ring": _ring,
    "arc": _arc,
    "camber": lambda given: camber.camber(given.length("length"), given.length("middle")),
    "nest": lambda given: sticks.cut_list(**_cutting(given)),
    "with kerf": lambda given: arithmetic.times_with_kerf(
        given.length("length"), given.count("count"), given.length("kerf")
    ),
    "how many": lambda given: arithmetic.pieces_out_of(
        given.length("stick"), given.length("length"), given.length("kerf")
    ),
    "guard opening": lambda given: guard.guard_opening(given.length("distance")),
    "stairs": _stairs,
    "stringer": lambda given: stairs.stringer_marks(
        given.length("rise"), tread=given.length("tread"), risers=given.count("risers")
    ),
    "shrinkage": lambda given: heat.weld_shrinkage(
        given.length("thickness"), opening=given.length_if("opening"), groove=given.degrees("groove", 0)
    ),
    "growth": lambda given: heat.growth(given.length("length"), given.degrees("hotter")),
    "weigh plate": lambda given: weight.plate(
        given.length("length"), given.length("width"), given.length("thickness"), **_so_many(given)
    ),
    "weigh flat": lambda given: weight.flat(
        given.length("width"), given.length("thickness"), given.length("length"), **_so_many(given)
    ),
    "weigh round": lambda given: weight.round_bar(given.length("diameter"), given.length("length"), **_so_many(given)),
    "weigh square": lambda given: weight.flat(
        given.length("side"), given.length("side"), given.length("length"), **_so_many(given)
    ),
    "weigh hex": lambda given: weight.hex_bar(given.length("flats"), given.length("length"), **_so_many(given)),
    "weigh round tube": lambda given: weight.pipe_weight(
        given.length("outside"), given.length("wall"), given.length("length"), **_so_many(given), called="round tube"
    ),
    "weigh tube": _weigh_tube,
    "weigh pipe": _weigh_pipe,
    "weigh angle": _weigh_shape(_angle_name),
    "weigh channel": _weigh_shape(_channel_name),
    "weigh beam": _weigh_shape(_beam_name),
    "gage of beam": lambda given: pattern.gage_of_shape(_beam_name(given)),
    "gage of channel": lambda given: pattern.gage_of_shape(_channel_name(given)),
    "gage of angle": lambda given: pattern.gage_of_angle(given.length("leg")),
    "ring of angle": _ring_of(_angle_name),
    "ring of channel": _ring_of(_channel_name),
    "gauge": lambda given: gauge.gauge(given.count("number"), given.word("of")),
}


def lay_out(task: Task) -> Result:
    """The answer to a task that has everything it needs, its measurements all filled in.

    Raises:
        Slip: where it cannot be.
    """
    return _LAYOUTS[task.kind](_Given(task))


def nest_of(task: Task) -> Nest:
    """The cutting of a cut list, stick by stick.

    Raises:
        Slip: where it cannot be.
    """
    return sticks.nest(**_cutting(_Given(task)))


_WRAPS: Mapping[str, Callable[[_Given], Wrap]] = {
    "pipe miter": lambda given: template.pipe_miter_wrap(**_pipe_miter(given)),
    "saddle": lambda given: template.saddle_wrap(**_saddle(given)),
}


def wrap_of(task: Task) -> Wrap | None:
    """The wrap-around template of a task that was answered; none where it has none."""
    return _WRAPS[task.kind](_Given(task)) if task.kind in _WRAPS else None
