"""One thing in which a drawing is not as the site file says."""

from __future__ import annotations

from msgspec import Struct

from clash.report.findings import Level


class Difference(Struct, frozen=True):
    """What differs, in a sentence, and how bad that is."""

    level: Level
    says: str


def capital(words: str) -> str:
    """Words that begin a sentence."""
    return words[0].upper() + words[1:]
