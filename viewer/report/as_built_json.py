"""The site as placed as JSON: mm, moves and points in site axes, null where nothing was measured."""

from __future__ import annotations

import json
from collections.abc import Iterable
from math import degrees
from typing import TYPE_CHECKING, Any

import numpy as np

from clash.fits.as_built import flush
from clash.fits.projection import projection_left
from viewer.report.json_out import finding_row, number

if TYPE_CHECKING:
    from clash.fits.as_built import AsBuilt
    from clash.fits.placed import PlacedPier
    from clash.fits.seats import SeatFit

VERSION = 1


def as_built_json(found: AsBuilt) -> bytes:
    """Everything of an as-built report; its schema: `viewer.report.as_built_schema.as_built_schema`."""
    grout, level_of = _grout(found)
    tallest = max((level.level for level in found.levels if level.level is not None), default=None)
    seats = [
        _seat(found, fit, grout, level_of) for fit in found.seats if len(fit.piers) == 1 and _is_plate(fit)
    ]
    content = {
        "version": VERSION,
        "site": found.site.spec.site.name,
        "input_sha256": found.site.sha256,
        "shots": found.shots.file,
        "uncertainty_mm": found.site.spec.shots.uncertainty,
        "fit": _fit(found),
        "piers": [_pier(found, p) for p in found.piers],
        "seats": seats,
        "beams": [_seat(found, fit, {}, {}) for fit in found.seats if not _is_plate(fit)],
        "level_mm": tallest,
        "levels": [
            {
                "level_mm": level.level,
                "drawn_mm": level.drawn,
                "complete": level.complete,
                "piers": [found.site.piers[bed.pier].mark for bed in level.beds],
            }
            for level in found.levels
        ],
        "unmatched": [{"line": place.line, "text": text} for place, text in found.shots.unmatched],
        "checked": found.checked,
        "findings": [finding_row(finding) for finding in found.findings],
    }
    return (json.dumps(content, indent=1, allow_nan=False) + "\n").encode("ascii")


def _is_plate(fit: SeatFit) -> bool:
    return "/plate/" in fit.part


def _fit(found: AsBuilt) -> dict[str, Any]:
    located = found.located
    fit = located.fit
    return {
        "way": located.way,
        "turn_deg": degrees(fit.turn),
        "move_mm": _numbers(located.move),
        "about_mm": _numbers(located.about),
        "residual_mm": number(fit.rms),
        "ppm": number(fit.ppm),
        "points": len(located.fitted),
        "lift_mm": number(located.lift),
        "outliers": [
            {"point": t.shot.point, "says": t.shot.label, "off_mm": _numbers(off)}
            for t, off, out in zip(located.fitted, fit.residuals, fit.outliers, strict=True)
            if out
        ],
    }


def _pier(found: AsBuilt, p: PlacedPier) -> dict[str, Any]:
    pier = found.site.piers[p.index]
    top = p.top.height - pier.spec.top
    plumb = p.top.off - p.bottom.off
    return {
        "pier": pier.mark,
        "off_mm": _numbers(p.stand.off),
        "off_of": "top" if p.top.known else "rods" if p.group.known else None,
        "turn_deg": number(degrees(p.turn)),
        "top_off_mm": number(top),
        "plumb_mm": _numbers(plumb),
        "plumb_over_mm": number(p.top.height - p.bottom.height),
        "rods_off_mm": _numbers(p.group.off),
        "flush_mm": {
            beam: left for (beam, i), left in flush(found.site, found.piers).items() if i == p.index
        },
    }


def _seat(
    found: AsBuilt, fit: SeatFit, grout: dict[int, float | None], level: dict[int, float | None]
) -> dict[str, Any]:
    pier = found.site.piers[fit.piers[0]]
    left: dict[int, float] = {}
    its_level = level.get(fit.piers[0])
    if its_level is not None:
        left = projection_left(found.site, found.piers[fit.piers[0]], its_level)
    many = len(fit.piers) > 1 or not _is_plate(fit)
    row: dict[str, Any] = {
        "part": fit.part,
        "drops_on": fit.drops_on,
        "room_mm": number(fit.room),
        "bound_mm": number(fit.bound),
        "uncertainty_mm": number(fit.unsure),
        "move_mm": _numbers(fit.move),
        "turn_deg": number(degrees(fit.turn)),
        "why_not": fit.missing,
        "enlarge_mm": number(fit.lacks),
        "holes": [
            {
                "pier": found.site.piers[hole.pier].mark,
                "rod": hole.number,
                "room_mm": number(room),
                "drawn_mm": list(hole.center),
                "as_placed_mm": _numbers((hole.low + hole.high) / 2.0),
            }
            for hole, room in zip(fit.holes, fit.rooms or (None,) * len(fit.holes), strict=True)
        ],
        "in_the_way": [
            {
                "pier": found.site.piers[fit.holes[way.rod].pier].mark,
                "rod": fit.holes[way.rod].number,
                "by_mm": way.by,
                "toward": _numbers(fit.to_site.vectors(np.array([*way.toward, 0.0]))[:2]),
            }
            for way in fit.in_the_way
        ],
    }
    if many:
        return {
            "beam": fit.part.rpartition("/")[0],
            "piers": [found.site.piers[i].mark for i in fit.piers],
            **row,
        }
    return {
        "pier": pier.mark,
        **row,
        "grout_mm": number(grout.get(fit.piers[0])),
        "level_mm": number(its_level),
        "projection_left_mm": {str(n): number(mm) for n, mm in left.items()},
    }


def _grout(found: AsBuilt) -> tuple[dict[int, float | None], dict[int, float | None]]:
    """By pier: grout under its plate, and the level of its underside; None where that is not known."""
    grout: dict[int, float | None] = {}
    at: dict[int, float | None] = {}
    for level in found.levels:
        for bed in level.beds:
            at[bed.pier] = level.level
            grout[bed.pier] = None if level.level is None else number(bed.grout(level.level))
    return grout, at


def _numbers(values: Iterable[float]) -> list[float] | None:
    """Numbers, or None when any of them is none."""
    found = [number(float(v)) for v in values]
    return [v for v in found if v is not None] if None not in found else None
