"""Writing SVG as text: exact positions in, decimals out."""

from __future__ import annotations

from fractions import Fraction
from xml.sax.saxutils import escape, quoteattr

__all__ = [
    "BLADE",
    "FAMILY",
    "INK",
    "LIT",
    "MUTED",
    "PAPER",
    "SLIVER",
    "STEEL",
    "Number",
    "decimal",
    "element",
    "text",
]

Number = int | Fraction

FAMILY = "Tapehand, sans-serif"
"""The font that ships with the page, under the name the page gives it."""

# The colors of the pictures. Each has its own shape or word beside it: none of them means anything alone.
BLADE = "#f5c84b"
INK = "#14181c"
LIT = "#d81e1e"
SLIVER = "#0a46c8"
STEEL = "#8fa3b5"
PAPER = "#ffffff"
MUTED = "#c3ccd4"


def decimal(value: Number) -> str:
    """A position to the nearest hundredth, half up, without trailing zeros.

    >>> decimal(Fraction(1, 3)), decimal(Fraction(-1, 8)), decimal(40)
    ('0.33', '-0.12', '40')
    """
    hundredths = (Fraction(value) * 100 + Fraction(1, 2)).__floor__()
    sign, (whole, part) = "-" if hundredths < 0 else "", divmod(abs(hundredths), 100)
    return f"{sign}{whole}.{part:02d}".rstrip("0").rstrip(".") if part else f"{sign}{whole}"


def element(tag: str, *inside: str, **attributes: Number | str) -> str:
    """One element. ``_`` in a name stands for ``-``, one at its end for nothing.

    >>> element("line", x1=Fraction(5, 2), stroke_width=4)
    '<line x1="2.5" stroke-width="4"/>'
    """
    written = "".join(
        f" {name.rstrip('_').replace('_', '-')}={quoteattr(value if isinstance(value, str) else decimal(value))}"
        for name, value in attributes.items()
    )
    content = "\n".join(inside) if tag in ("svg", "g") else "".join(inside)
    edge = "\n" if tag in ("svg", "g") and content else ""
    return f"<{tag}{written}>{edge}{content}{edge}</{tag}>" if content else f"<{tag}{written}/>"


def text(words: str, x: Number, y: Number, size: int, fill: str = INK, anchor: str = "middle") -> str:
    """Words on the line ``y``, centered on ``x`` unless the anchor says otherwise."""
    return element(
        "text",
        escape(words),
        x=x,
        y=y,
        font_family=FAMILY,
        font_size=size,
        font_weight="bold",
        text_anchor=anchor,
        fill=fill,
    )
