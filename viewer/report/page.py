"""A page of text on a terminal or in a file: wrapped, hanging, perhaps colored."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from msgspec import Struct

from viewer.console import ink

_FIGURE = re.compile(r"(\d\"?) (?=(?:in|ft|mm|m|degrees)\b|\d+/\d)")
_GLUE = "\u00a0"
LEAST_COLUMNS = 20
"""Columns that a sentence gets, however narrow the page."""


class Page(Struct, frozen=True):
    """width: columns; colors: whether to color."""

    width: int
    colors: bool = False

    def wrapped(self, lead: str, text: str, hang: int | None = None) -> Iterator[str]:
        """Text after a lead, further lines hanging under its first; a figure and its unit stay together.

        hang: columns of the lead, where it holds more than can be seen (colors).
        """
        columns = len(lead) if hang is None else hang
        lines = textwrap.wrap(
            _FIGURE.sub(rf"\1{_GLUE}", text),
            max(self.width - columns, LEAST_COLUMNS),
            break_long_words=False,
            break_on_hyphens=False,
        ) or [""]
        for i, line in enumerate(lines):
            yield ((" " * columns if i else lead) + line.replace(_GLUE, " ")).rstrip()

    def bold(self, text: str) -> Iterator[str]:
        """Text across the page, bold where there are colors."""
        for line in self.wrapped("", text):
            yield self.ink(line, "bold")

    def ink(self, text: str, color: str) -> str:
        """The text in a color, where there are colors."""
        return ink(text, color) if self.colors else text
