"""How the surveyor's file is read: units, columns, descriptions, and what it is good for."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import Angle, Line, NonNegative, Spec, choice, none_word
from models.spec.before import Before

SHOT_UNITS = ("ft", "us survey ft", "m", "mm")
COLUMNS = ("PNEZD", "PENZD", "NEZD", "ENZD")
FITS = ("control points", "best fit", "as it stands")


class ShotWords(Spec):
    """The crew's words for what was shot, where they are not ours."""

    rod: Line | None = None
    dowel: Line | None = None
    top: Line | None = None
    bottom: Line | None = None


class Play(Spec):
    """How far the framing above lets a plate go; as far as it has to, where left out."""

    shift: NonNegative | None = Field(None, description="the most that its center may move, in any direction")
    turn: Annotated[Angle, Field(ge=0.0, le=180.0)] | None = Field(
        None, description="the most that it may turn, degrees either way"
    )


class ShotsSpec(Spec):
    """The surveyor's points and the crew's tape."""

    units: Annotated[Literal["ft", "us survey ft", "m", "mm"], choice(*SHOT_UNITS)] | None = Field(
        None, description="of the numbers in the file; the site's own (its foot, or mm) when left out"
    )
    columns: Annotated[Literal["PNEZD", "PENZD", "NEZD", "ENZD"], choice(*COLUMNS)] = Field(
        "PNEZD",
        description="of a file without a header: P point, N northing, E easting, Z elevation, D description",
    )
    pattern: Line = Field(
        "MARK WHAT NUMBER",
        description="how a description names a part; MARK, WHAT and NUMBER stand for a pier's mark, what was "
        "shot (rod, dowel, top, bottom) and its number or wind",
    )
    words: ShotWords = Field(default_factory=ShotWords)
    uncertainty: NonNegative = Field(3.048, description="of a shot, in plan and in height; .01 ft")
    tape_uncertainty: NonNegative = Field(3.175, description='of a measurement by tape; 1/8"')
    fit: Annotated[Literal["control points", "best fit", "as it stands"], choice(*FITS)] | None = Field(
        None,
        description="how the shots come to lie over the drawing; by control points where two were shot, else "
        "the best fit over all piers where three were and it brings the shots nearer, else as it stands",
    )
    play: Annotated[Play | None, Before(none_word)] = None
