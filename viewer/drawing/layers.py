"""Layers in the words of the trade, and how each is drawn."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Layer(StrEnum):
    """What a mark is for; the value is the layer's name in a DXF."""

    CUT = "CUT"
    """Only what a machine cuts: the outline of a plate, its holes, its cutouts."""
    OUTLINE = "OUTLINE"
    HOLES = "HOLES"
    OPENING = "POUR OPENING"
    CONCRETE = "CONCRETE BELOW"
    CENTER = "CENTER LINES"
    DIMENSIONS = "DIMENSIONS"
    DIAGONALS = "DIAGONALS"
    TEXT = "TEXT"
    TABLE = "TABLE"
    NORTH = "NORTH"
    HOLD = "HOLD"
    SHEET = "SHEET"
    SCALE_CHECK = "SCALE CHECK"
    JOIN = "JOIN"
    SHADE = "SHADE"
    BARS = "BARS"
    TONE = "CONCRETE"
    """Concrete that is cut or seen: words may stand on it."""
    STEEL = "STEEL"
    """Solid things in their color: bars, rods, nuts, plywood."""
    LATER = "SET LATER"
    """Outlines of what comes after the pour."""
    FINDINGS = "FINDINGS"
    PICTURE = "PICTURE"
    PLACED = "AS PLACED"
    WELDS = "WELDS"


PARTS = frozenset(
    {
        Layer.CUT,
        Layer.OUTLINE,
        Layer.HOLES,
        Layer.OPENING,
        Layer.STEEL,
        Layer.LATER,
        Layer.FINDINGS,
        Layer.PICTURE,
        Layer.TONE,
    }
)
"""Edges of real things: no text may lie on them."""
SOLID = frozenset({Layer.STEEL})
"""Areas of real things: no text may lie within them either."""


class Pen(Struct, frozen=True):
    """How a layer is drawn. width: mm on paper; dash: mm on and off, empty for a full line; gray: 0 is black;
    aci: the index of its color in a DXF."""

    width: float
    dash: tuple[float, ...] = ()
    gray: float = 0.0
    aci: int = 7


_CENTER_DASH = (6.0, 1.2, 1.2, 1.2)
PENS: dict[Layer, Pen] = {
    Layer.CUT: Pen(0.5, aci=1),
    Layer.OUTLINE: Pen(0.5),
    Layer.HOLES: Pen(0.5),
    Layer.OPENING: Pen(0.5),
    Layer.CONCRETE: Pen(0.25, (2.5, 1.2), 0.35, 8),
    Layer.CENTER: Pen(0.13, _CENTER_DASH, 0.35, 8),
    Layer.DIMENSIONS: Pen(0.18, aci=3),
    Layer.DIAGONALS: Pen(0.13, (1.2, 1.2), 0.35, 4),
    Layer.TEXT: Pen(0.18),
    Layer.TABLE: Pen(0.18),
    Layer.NORTH: Pen(0.25, aci=5),
    Layer.HOLD: Pen(0.7, aci=1),
    Layer.SHEET: Pen(0.35),
    Layer.SCALE_CHECK: Pen(0.18, aci=6),
    Layer.JOIN: Pen(0.13, aci=6),
    Layer.BARS: Pen(0.25, aci=5),
    Layer.PLACED: Pen(0.5, aci=1),
    Layer.WELDS: Pen(0.25, aci=2),
    Layer.SHADE: Pen(0.13, gray=0.75, aci=9),
    Layer.TONE: Pen(0.5, aci=8),
    Layer.STEEL: Pen(0.13, aci=5),
    Layer.LATER: Pen(0.25, (1.6, 0.9), 0.2, 4),
    Layer.FINDINGS: Pen(0.35, aci=1),
    Layer.PICTURE: Pen(0.18),
}
"""By layer; our own choice, in the widths that pens come in."""
