"""Which font words are set in: Helvetica, which every PDF reader has, or one with more letters.

Helvetica as PDF readers have it knows the letters of western Europe (cp1252). Words with others (Polish,
Greek, Cyrillic and so on) are set as a whole in DejaVu Sans, which ships inside matplotlib; a PDF then
carries the letters of it that it uses. Where that font isn't found, or lacks a letter, the letter becomes a
question mark.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from unicodedata import normalize

from msgspec import Struct

CAPITALS = 0.718
"""Height of the capitals of Helvetica and Arial, in sizes of the font (Adobe's metrics: CapHeight 718)."""
_FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
_WIDE = (1493 / 2048, 0.95, 0.25)
"""DejaVu's capitals (its H is 1493 of 2048 units high), the top of accents on them, its lowest strokes."""
_FOLDER = Path("mpl-data", "fonts", "ttf")


class Setting(Struct, frozen=True):
    """Words as they are set. font: its name in a PDF; words: in letters that it has; capitals, ascent,
    descent: height of its capitals, its highest and its lowest stroke, in sizes of the font."""

    font: str
    words: str
    capitals: float
    ascent: float
    descent: float


def setting(words: str, bold: bool) -> Setting:
    """The font for some words, and the words in its letters."""
    words = normalize("NFC", words)  # some systems write an accent after its letter
    plain = words.encode("cp1252", errors="replace").decode("cp1252")
    if plain != words:
        wide = _wide(bold)
        if wide is not None:
            letters = "".join(c if ord(c) in wide.letters else "?" for c in words)
            return Setting(wide.name, letters, *_WIDE)
    return Setting("Helvetica-Bold" if bold else "Helvetica", plain, CAPITALS, 0.754, 0.2154)


class _Wide(Struct, frozen=True, eq=False):
    name: str
    letters: frozenset[int]


@lru_cache(maxsize=2)
def _wide(bold: bool) -> _Wide | None:
    """The font with more letters, read when the first of them is met; None where it isn't there."""
    found = find_spec("matplotlib")  # where it is, without loading it
    if found is None or found.origin is None:
        return None
    file = Path(found.origin).parent / _FOLDER / _FILES[bold]
    if not file.is_file():
        return None
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    try:
        made = TTFont(file.stem, str(file))
    except (TTFError, OSError):  # another file under that name: the letters stay question marks
        return None
    registerFont(made)
    return _Wide(file.stem, frozenset(made.face.charToGlyph))
