"""A sheet of paper, and writing on it. Positions in inches from the bottom left, exact until they are written."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from assistant.length import MM_PER_INCH

__all__ = ["A4", "LETTER", "PAPERS", "Paper", "Sheets", "broken"]

Inches = int | Fraction
POINTS_PER_INCH = 72
"""PDF 32000-1:2008, 8.3.2.3: the default unit of user space."""
_BOLD, _PLAIN = "Helvetica-Bold", "Helvetica"


@dataclass(frozen=True, slots=True)
class Paper:
    name: str
    width: Fraction
    height: Fraction
    margin: Fraction = Fraction(1, 2)
    """No common printer prints closer to the edge than this leaves (common practice, no source)."""

    @property
    def turned(self) -> Paper:
        """The same paper lying on its side."""
        return Paper(self.name, self.height, self.width, self.margin)


LETTER = Paper("letter", Fraction(17, 2), Fraction(11))
A4 = Paper("a4", 210 / MM_PER_INCH, 297 / MM_PER_INCH)
"""ISO 216."""
PAPERS = {paper.name: paper for paper in (LETTER, A4)}


class Sheets:
    """Pages being drawn. Nothing of the time, the computer or the person goes into the file."""

    def __init__(self, paper: Paper, title: str) -> None:
        self.paper = paper
        self._file = io.BytesIO()
        size = (_points(paper.width), _points(paper.height))
        self.canvas = Canvas(self._file, pagesize=size, invariant=1)
        self.canvas.setTitle(title)
        self.canvas.setCreator("Tapehand")
        self.canvas.setAuthor("")
        self.canvas.setViewerPreference("PrintScaling", "None")  # never fitted to the page behind his back

    def next_page(self) -> None:
        self.canvas.showPage()

    def finished(self) -> bytes:
        """The whole file."""
        self.canvas.showPage()
        self.canvas.save()
        return self._file.getvalue()

    def text(self, words: str, x: Inches, y: Inches, size: int, bold: bool = True, anchor: str = "start") -> None:
        """Words on the line ``y``; ``size`` in points."""
        self.canvas.setFont(_BOLD if bold else _PLAIN, size)
        draw = {
            "start": self.canvas.drawString,
            "middle": self.canvas.drawCentredString,
            "end": self.canvas.drawRightString,
        }[anchor]
        draw(_points(x), _points(y), _printable(words))

    def line(self, x1: Inches, y1: Inches, x2: Inches, y2: Inches, width: float = 1, dashed: bool = False) -> None:
        """A straight line; ``width`` in points."""
        self.canvas.setLineWidth(width)
        self.canvas.setDash([4, 3] if dashed else [])
        self.canvas.line(_points(x1), _points(y1), _points(x2), _points(y2))
        self.canvas.setDash([])

    def box(self, x: Inches, y: Inches, width: Inches, height: Inches, gray: float | None = None) -> None:
        """An outlined box, filled with a gray from 0, black, to 1 where one is given."""
        self.canvas.setLineWidth(1)
        if gray is not None:
            self.canvas.setFillGray(gray)
        fill = 0 if gray is None else 1
        self.canvas.rect(_points(x), _points(y), _points(width), _points(height), stroke=1, fill=fill)
        self.canvas.setFillGray(0)

    def polyline(self, points: Sequence[tuple[Inches, Inches]], width: float = 1, filled: bool = False) -> None:
        path = self.canvas.beginPath()
        for n, (x, y) in enumerate(points):
            (path.lineTo if n else path.moveTo)(_points(x), _points(y))
        self.canvas.setLineWidth(width)
        self.canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)


def broken(words: str, size: int, width: Inches) -> list[str]:
    """Words in lines no wider than ``width`` inches, set bold at ``size`` points.

    >>> broken("one two three", 12, 1)
    ['one two', 'three']
    """
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and stringWidth(_printable(longer), _BOLD, size) <= width * POINTS_PER_INCH:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _points(inches: Inches) -> float:
    """Where it is drawn. The one place a length becomes a float: ink is not that exact."""
    return float(inches * POINTS_PER_INCH)


def _printable(words: str) -> str:
    """The letters that the fonts of every PDF reader have (PDF 32000-1:2008, annex D, WinAnsi)."""
    return words.encode("cp1252", "replace").decode("cp1252")
