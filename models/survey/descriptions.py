"""What a surveyor's description names: a pier's mark, what was shot there, and which one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from models.spec.shots import ShotsSpec

What = Literal["rod", "dowel", "top", "bottom", "control"]

_OURS: Mapping[What, tuple[str, ...]] = {
    "rod": ("ROD", "AB", "ANCHOR", "BOLT"),
    "dowel": ("DOWEL", "DWL"),
    "top": ("TOP",),
    "bottom": ("BOT", "BOTTOM", "BASE"),
}
_WINDS = "NE|NW|SE|SW|N|E|S|W"
_HEIGHTS = r"(?:[\s_-]*(?:TOP|BOT|BOTTOM|UPPER|LOWER|HIGH|LOW))?"
"""A word that crews add to the two shots of one rod; which of them is higher, their elevations tell."""


class Named(NamedTuple):
    """mark: of a pier, or the name of a control point; which: a number or a wind, or empty."""

    mark: str
    what: What
    which: str


class Descriptions:
    """Reads descriptions by the site's pattern: `P7 ROD 3`, `P7 TOP NE`, `P7 BOT`, `P7 DOWEL 2`.

    Capitals do not matter; where the pattern has a blank, a description may have blanks, dashes, underscores
    or nothing. Raises ValueError in one sentence for a pattern without MARK and WHAT.
    """

    def __init__(self, spec: ShotsSpec, marks: Iterable[str], controls: Iterable[str]) -> None:
        for word in ("MARK", "WHAT"):
            if spec.pattern.count(word) != 1:
                raise ValueError(f"the pattern {spec.pattern} needs the word {word} once")
        self._marks = {mark.upper(): mark for mark in marks}
        self._controls = {" ".join(name.upper().split()): name for name in controls}
        self._words: dict[str, What] = {}
        for what, ours in _OURS.items():
            theirs = getattr(spec.words, what)
            for word in (theirs,) if theirs is not None else ours:
                self._words[" ".join(word.upper().split())] = what
        self._shape = re.compile(self._expression(spec.pattern), re.ASCII)

    def read(self, text: str) -> Named | None:
        """What a description names; None where it names nothing that this site has."""
        plain = " ".join(text.upper().split())
        if plain in self._controls:
            return Named(self._controls[plain], "control", "")
        found = self._shape.fullmatch(plain)
        if found is None:
            return None
        number = found.groupdict().get("number") or ""
        which = str(int(number)) if number.isdigit() else number
        return Named(self._marks[found["mark"]], self._words[found["what"]], which)

    def _expression(self, pattern: str) -> str:
        marks = "|".join(re.escape(mark) for mark in sorted(self._marks, key=len, reverse=True))
        words = "|".join(re.escape(word) for word in sorted(self._words, key=len, reverse=True))
        pieces = re.split(r"(MARK|WHAT|NUMBER)", pattern)
        made = ""
        for piece in pieces:
            if piece == "MARK":
                made += rf"(?P<mark>{marks})(?!\d)"
            elif piece == "WHAT":
                made += rf"(?P<what>{words})"
            elif piece == "NUMBER":
                made += rf"(?P<number>\d{{1,4}}|{_WINDS})?"
            else:
                made += "".join(r"[\s_-]*" if c.isspace() else re.escape(c.upper()) for c in piece)
        return made + (_HEIGHTS if "NUMBER" in pattern else "")
