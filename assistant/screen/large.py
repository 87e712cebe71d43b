"""Figures five lines tall, for a terminal read from a few steps away."""

from __future__ import annotations

__all__ = ["large"]

HEIGHT = 5
# Drawn for this program: each figure as its five rows, "#" where it is filled.
_FIGURES = {
    "0": "### # # # # # # ###",
    "1": " #  ##   #   #  ###",
    "2": "###   # ### #   ###",
    "3": "###   # ###   # ###",
    "4": "# # # # ###   #   #",
    "5": "### #   ###   # ###",
    "6": "### #   ### # # ###",
    "7": "###   #   #  #   # ",
    "8": "### # # ### # # ###",
    "9": "### # # ###   # ###",
    "/": "  #   #  #  #   #  ",
    "'": " #   #             ",
    '"': "# # # #            ",
    "-": "        ###        ",
    "+": "     #  ###  #     ",
    ".": "                 # ",
    " ": "                   ",
}
_WIDTH = 3


def large(text: str, ink: str = "#") -> list[str]:
    """The rows of a text of figures; none where there is a figure it cannot draw.

    >>> large("1/")
    [' #    #', '##    #', ' #   # ', ' #  #  ', '### #  ']
    """
    if any(figure not in _FIGURES for figure in text):
        return []
    rows = []
    for row in range(HEIGHT):
        start = row * (_WIDTH + 1)
        rows.append(" ".join(_FIGURES[figure][start : start + _WIDTH] for figure in text).replace("#", ink))
    return rows
