"""A mark as it is set large: feet, whole inches and the fraction apart."""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["Figures", "figures"]

_WRITTEN = re.compile(
    r"""(?:(?P<feet>\d+)'-?)?
    (?P<whole>\d+(?:\.\d+)?(?![\d/]))?\ ?
    (?:(?P<top>\d+)/(?P<bottom>\d+))?
    (?P<unit>"|\ ?mm)?""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Figures:
    """Each part as text, empty where there is none."""

    feet: str = ""
    whole: str = ""
    top: str = ""
    bottom: str = ""
    unit: str = ""
    """The inch sign, or "mm"."""


def figures(written: str) -> Figures | None:
    """What ``assistant.tape.written`` wrote, taken apart; None for anything else.

    >>> figures("26 13/16")
    Figures(feet='', whole='26', top='13', bottom='16', unit='')
    >>> figures("4'-7 15/16\\"")
    Figures(feet='4', whole='7', top='15', bottom='16', unit='"')
    >>> figures("5/8").whole, figures("600 mm").unit, figures("5.1875").whole
    ('', 'mm', '5.1875')
    """
    found = _WRITTEN.fullmatch(written)
    if not written or not found:
        return None
    parts = {name: (part or "").strip() for name, part in found.groupdict().items()}
    return Figures(**parts)
