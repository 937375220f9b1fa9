"""How much room words take: Helvetica, which every PDF reader has, and which Arial matches in a DXF.

The height of a text is that of its capitals, as drawings give it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

CAPITALS = 0.718
"""Height of the capitals of Helvetica, in sizes of the font (Adobe's metrics: CapHeight 718)."""
ASCENT = 1.05
"""Highest stroke of any letter or quote mark, in heights of the capitals (the font's own box: 741/718)."""
DESCENT = 0.30
"""Lowest stroke of any letter, in heights of the capitals (Descender -207/718)."""
_FIGURE = re.compile(r"(\d\"?) (?=(?:in|ft|cu|mm|m|lb|kg)\b|\d+/\d)")
_GLUE = "\u00a0"
PITCH = 1.75
"""From one line of text to the next, in heights of the capitals."""


def font(bold: bool) -> str:
    """The font's name in a PDF."""
    return "Helvetica-Bold" if bold else "Helvetica"


def plain(words: str) -> str:
    """The words in letters that the font has; what it lacks becomes a question mark."""
    return words.encode("cp1252", errors="replace").decode("cp1252")


@lru_cache(maxsize=20_000)
def width(words: str, height: float, bold: bool = False) -> float:
    """mm: how long the words run at this height of capitals."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(plain(words), font(bold), height / CAPITALS))


def wrapped(words: str, height: float, room: float, bold: bool = False) -> Iterator[str]:
    """The words in lines of at most `room` mm; a word longer than that is broken, a figure keeps its unit."""
    line = ""
    for word in _words(words, height, room, bold):
        while width(word, height, bold) > room and len(word) > 1:
            cut = next(
                n for n in range(len(word) - 1, 0, -1) if n == 1 or width(word[:n], height, bold) <= room
            )
            if line:
                yield line
                line = ""
            yield word[:cut]
            word = word[cut:]
        longer = f"{line} {word}" if line else word
        if line and width(longer, height, bold) > room:
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line


def _words(words: str, height: float, room: float, bold: bool) -> Iterator[str]:
    """The words one by one, figures with their units where both fit on a line."""
    for glued in _FIGURE.sub(rf"\1{_GLUE}", words).split(" "):
        word = glued.replace(_GLUE, " ")
        if width(word, height, bold) <= room:
            yield word
        else:
            yield from word.split()
