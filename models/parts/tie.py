"""Closed ties around the verticals."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage.parts import laterals
from models.cage.plan import Ring
from models.part import Part, Role
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """Every tie of a cage that is not round, the highest first; hooks move on by a corner from tie to tie."""
    cage = setting.cage
    if cage is None or cage.ties is None or isinstance(cage.plan, Ring):
        return
    yield from laterals(setting, cage, cage.ties, "tie", Role.TIE, "tie {} from top")
