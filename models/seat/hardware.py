"""Outlines of small hardware: nuts and washers with their bores."""

from __future__ import annotations

from typing import Literal

from models.outline import Loop, Outline, circle, hexagon, rectangle, turned
from models.seat.drilled import bore as hole


def nut(flats: float, bore: float, x: float, y: float, turn: float = 0.0) -> Outline:
    """A hexagon across flats (mm) with its bore, at (x, y); `turn` rad turns a corner off +x.

    Raises ValueError when the bore is as wide as the nut.
    """
    return _bored(hexagon(flats, (x, y), turn), flats, bore, x, y, "nut")


def washer(
    size: float, bore: float, shape: Literal["round", "square"], x: float, y: float, turn: float = 0.0
) -> Outline:
    """A round or square washer (mm) with its bore, at (x, y), turned by `turn` rad.

    Raises ValueError when the bore is as wide as the washer.
    """
    loop = circle(size, (x, y)) if shape == "round" else turned(rectangle(size, size), turn, (x, y))
    return _bored(loop, size, bore, x, y, "washer")


def _bored(loop: Loop, width: float, bore: float, x: float, y: float, what: str) -> Outline:
    if bore >= width:
        raise ValueError(f"the hole of the {what} is as wide as the {what}")
    return Outline(loop, (hole(bore, x, y),))
