"""How much room words take, in the font that they are set in (viewer.drawing.fonts).

The height of a text is that of its capitals, as drawings give it. Arial in a DXF runs as Helvetica does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from viewer.drawing.fonts import setting

_FIGURE = re.compile(r"(\d\"?) (?=(?:in|ft|cu|mm|m|lb|kg)\b|\d+/\d)")
_GLUE = "\u00a0"
PITCH = 1.75
"""From one line of text to the next, in heights of the capitals."""


@lru_cache(maxsize=20_000)
def width(words: str, height: float, bold: bool = False) -> float:
    """mm: how long the words run at this height of capitals."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    way = setting(words, bold)
    return float(stringWidth(way.words, way.font, height / way.capitals))


def reach(words: str, height: float, bold: bool = False) -> tuple[float, float]:
    """mm: how far these words reach below and above their baseline, at this height of capitals."""
    way = setting(words, bold)
    return way.descent * height / way.capitals, way.ascent * height / way.capitals


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
