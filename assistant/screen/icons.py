"""A small picture for each job a person may choose, so that nobody has to read to pick one."""

from __future__ import annotations

from assistant.screen.svg import element

__all__ = ["icon"]

_BAR = "M4 14H92V34H4Z"
# The first row with a word that is in the choice decides. Strokes on a field of 96 by 48.
_DRAWN = (
    ("total", "M84 8H20L50 24L20 40H84"),
    ("string", "M4 14H28V34H4ZM28 14H60V34H28ZM60 14H92V34H60"),
    ("saddle", "M4 46V30H92V46M34 30C34 18 62 18 62 30M34 30V4M62 30V4"),
    ("miter", "M4 40H52L92 4M4 20H44L76 -8M44 20L52 40"),
    ("rolling", "M4 40H30L62 12H92M30 40V8M62 12L92 30"),
    ("offset", "M4 40H30L62 12H92"),
    ("stair", "M4 46V34H24V24H46V14H68V4H92"),
    ("picket", "M4 6H92M4 44H92M14 6V44M31 6V44M48 6V44M65 6V44M82 6V44"),
    ("hole", f"{_BAR}M16 24m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0M44 24m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0"
     "M72 24m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0"),
    ("gage", f"{_BAR}M30 14V34M66 14V34M30 42H66M48 8V40"),
    ("gauge", f"{_BAR}M30 14V34M66 14V34M30 42H66M48 8V40"),
    ("pattern", f"{_BAR}M30 14V34M66 14V34M30 42H66M48 8V40"),
    ("bolt circle", "M48 24m-20 0a20 20 0 1 0 40 0a20 20 0 1 0 -40 0M48 4V4.1M68 24V24.1M48 44V44.1M28 24V24.1"),
    ("diagonal", "M16 4H80V44H16ZM16 44L80 4"),
    ("round tube", "M48 24m-20 0a20 20 0 1 0 40 0a20 20 0 1 0 -40 0M48 24m-13 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0"),
    ("tube", "M24 4H72V44H24ZM34 13H62V35H34Z"),
    ("square", "M16 4H80V44H16ZM16 44L80 4M16 4L80 44"),
    ("brace", "M14 4V44H82M14 10L74 44"),
    ("slope", "M8 44H88V8Z"),
    ("bevel", "M8 44H88V8Z"),
    ("elbow", "M4 44V28Q4 12 20 12H44M20 44V34Q20 28 26 28H44M44 6V34M56 20H92M84 12L92 20L84 28"),
    ("guard", "M10 4V44M30 4V44M50 4V44M70 4V44M90 4V44M4 14H92M4 34H92"),
    ("kerf", f"{_BAR}M44 8V40M52 8V40"),
    ("setting", "M8 12H88M8 24H88M8 36H88M30 6V18M64 18V30M42 30V42"),
    ("bend", "M10 40H56Q66 40 66 30V4"),
    ("ring", "M48 24m-20 0a20 20 0 1 0 40 0a20 20 0 1 0 -40 0M48 24m-13 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0"),
    ("around", "M48 24m-20 0a20 20 0 1 0 40 0a20 20 0 1 0 -40 0M72 8A28 28 0 1 0 76 24M76 24L70 18M76 24L82 18"),
    ("quarter point", "M48 24m-20 0a20 20 0 1 0 40 0a20 20 0 1 0 -40 0M48 -2V12M48 36V50M22 24H36M60 24H74"),
    ("radius", "M8 40Q48 -20 88 40M8 40H88M48 40V10"),
    ("arc", "M8 40Q48 -20 88 40M8 40H88M48 40V10"),
    ("camber", "M8 34Q48 10 88 34M8 40H88"),
    ("stick", "M4 8H92V18H4ZM34 8V18M64 8V18M4 30H92V40H4ZM48 30V40"),
    ("drop", "M4 8H92V18H4ZM34 8V18M64 8V18M4 30H40V40H4ZM52 30H92V40H52Z"),
    ("cut", "M4 8H92V18H4ZM34 8V18M64 8V18M4 30H92V40H4ZM48 30V40"),
    ("weigh", "M48 6V40M28 44H68M18 12H78M18 12L8 30H28ZM78 12L68 30H88Z"),
    ("space", f"{_BAR}M22 14V34M40 14V34M57 14V34M75 14V34"),
    ("part", f"{_BAR}M26 14V34M48 14V34M70 14V34"),
    ("center", f"{_BAR}M48 2V46M42 8L48 2L54 8"),
    ("so many", "M4 4H40V12H4ZM4 20H40V28H4ZM4 36H40V44H4ZM56 24H84M70 10V38"),
    ("millimeters", "M4 8H92V40H4ZM13 8V22M22 8V16M31 8V22M40 8V16M49 8V22M58 8V16M67 8V22M76 8V16M85 8V22"),
    ("feet", "M4 8H92V40H4ZM26 8V24M48 8V32M70 8V24"),
    ("inches", "M4 8H92V40H4ZM26 8V24M48 8V32M70 8V24"),
    ("board", "M10 4H86V44H10ZM22 16H74M22 26H74M22 36H54"),
    ("three four five", "M12 44V6L84 44ZM12 34H22V44"),
    ("corner", "M12 4V44H84M12 6L84 44M12 34H22V44"),
    ("hold on", "M4 20H92V42H4ZM26 20V31M48 20V31M70 20V31M26 0V13M19 7L26 14L33 7"),
    ("other end", "M90 6V42M82 24H8M20 12L8 24L20 36"),
    ("plate", "M8 32L28 8H88L68 32ZM8 32V40H68V32M68 40L88 16V8"),
    ("flat bar", "M4 18H76V34H4ZM76 18L92 8V24L76 34M4 18L20 8H92"),
    ("round bar", "M80 24m-8 0a8 15 0 1 0 16 0a8 15 0 1 0 -16 0M80 9H14A8 15 0 0 0 14 39H80"),
    ("hexagon", "M48 4L66 14V34L48 44L30 34V14Z"),
    ("shrinkage", "M4 14H36V34H4ZM92 14H60V34H92ZM36 14L48 34L60 14"),
    ("growth", "M26 14H70V34H26ZM20 24H4M10 18L4 24L10 30M76 24H92M86 18L92 24L86 30"),
    ("angle", "M28 4H39V33H72V44H28Z"),
    ("channel", "M28 4H70V13H38V35H70V44H28Z"),
    ("beam", "M24 4H72V13H53V35H72V44H24V35H43V13H24Z"),
    ("pipe", "M80 24m-8 0a8 15 0 1 0 16 0a8 15 0 1 0 -16 0M80 9H14A8 15 0 0 0 14 39H80"
     "M80 24m-3 0a3 8 0 1 0 6 0a3 8 0 1 0 -6 0"),
    ("print", "M28 16V2H68V16M20 36H8V16H88V36H76M24 28H72V46H24Z"),
    ("undo", "M30 6L12 20L30 34M12 20H66Q86 20 86 34Q86 46 66 46H44"),
)  # fmt: skip


def icon(words: str) -> str:
    """The picture of a job by its name; empty where none is drawn."""
    path = next((path for word, path in _DRAWN if word in words.casefold()), "")
    if not path:
        return ""
    line = element(
        "path",
        d=path,
        fill="none",
        stroke="currentColor",
        stroke_width=4,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    return element("svg", line, xmlns="http://www.w3.org/2000/svg", viewBox="0 -10 96 68", aria_hidden="true")
