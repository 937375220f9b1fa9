"""Surveys of a built site, with what is to be found planted in them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np

from clash.fits.as_built import AsBuilt, as_built
from models.build import build_site
from models.part import ANCHORS, Role
from models.reading.site_file import read_site
from models.site import Site
from models.spec.site import SiteSpec
from models.survey.shots import shots_in

FOOT = 304.8
HEADER = "Point,Northing,Easting,Elevation,Description"
CORNERS = {"NE": (1, 1), "NW": (-1, 1), "SW": (-1, -1), "SE": (1, -1)}
Off = Mapping[str, tuple[float, float]]

SITE = """\
site: {name: Quay of the station, units: ft-in}
concrete: {strength: 4000 psi, aggregate: 3/4", exposure: weather, cover: {side: 2", top: 2", bottom: 2"}}
kinds:
  plate pier:
    outline: {square: 24"}
    use: pedestal
    cage:
      verticals: {size: No. 6, count: 8}
      ties: {size: No. 3, spacing: 10"}
      dowels: {size: No. 6, count: 4, lap: 2'-6", height: 2'-9"}
    seat:
      type: plate
      rods: {diameter: 3/4", pattern: {grid: [2, 2], spacing: 8"}, embedment: 1'-6", projection: 5"}
      plate: {outline: {square: 14"}, thickness: 3/4", above: 1 1/2", holes: {diameter: 1 5/16"}}
      washer: {size: 2", thickness: 1/4"}
      level on: nuts
      grout: {least: 1", most: 2"}
  beam pier:
    outline: {square: 24"}
    use: pedestal
    seat:
      type: beam
      rods: {diameter: 3/4", pattern: {at: [[-4", 0], [4", 0]]}, embedment: 2'-0", projection: 13"}
      washer: {size: 3", thickness: 1/4", shape: square}
beams:
  - {name: B1, piers: [Q1, Q2, Q3], width: 8", depth: 11 1/4", overhang: 12", hole: 1 1/2"}
piers:
  - {mark: P1, x: 0, y: 0, top: 4', bottom: 0, kind: plate pier}
  - {mark: P2, x: 10', y: 0, top: 4', bottom: 0, kind: plate pier}
  - {mark: P3, x: 20', y: 0, top: 4', bottom: 0, kind: plate pier}
  - {mark: Q1, x: 0, y: 10', top: 4', bottom: 0, kind: beam pier}
  - {mark: Q2, x: 10', y: 10', top: 4', bottom: 0, kind: beam pier}
  - {mark: Q3, x: 20', y: 10', top: 4', bottom: 0, kind: beam pier}
"""
"""Six piers on a grid of ten feet: three under plates, three under one beam."""


def built(folder: Path, text: str = SITE) -> Site:
    """The site of a text, read and built."""
    path = folder / "site.yaml"
    path.write_text(text, encoding="utf-8")
    spec, sha256 = read_site(path)
    return build_site(spec, sha256)


def survey(
    site: Site,
    rods: Off | None = None,
    tops: Mapping[str, tuple[float, float, float]] | None = None,
    turn: float = 0.0,
    move: tuple[float, float] = (0.0, 0.0),
    bottoms: bool = True,
) -> list[tuple[str, float, float, float]]:
    """Every rod, and the four corners of every pier at its top and near its bottom, as (what, x, y, z).

    mm, site axes; rods: by "P1 ROD 2" or by mark, mm that it was placed off; tops: by mark, mm that the whole
    top was placed off (its rods with it); turn (rad), move (mm): of the whole survey against the drawing.
    """
    rods, tops = rods or {}, tops or {}
    points: list[tuple[str, float, float, float]] = []
    for pier in site.piers:
        dx, dy, dz = tops.get(pier.mark, (0.0, 0.0, 0.0))
        anchors = [part for part in pier.parts if part.role in ANCHORS]
        for number, rod in enumerate(anchors, start=1):
            name = f"{pier.mark} ROD {number}"
            x, y, z = pier.frame.points(rod.solid.knots[0])
            ox, oy = rods.get(name, rods.get(pier.mark, (0.0, 0.0)))
            points.append((name, x + dx + ox, y + dy + oy, z + dz))
        half = (pier.spec.outline.square or 0.0) / 2.0
        for wind, (sx, sy) in CORNERS.items():
            x, y, z = pier.frame.points(np.array([sx * half, sy * half, 0.0]))
            points.append((f"{pier.mark} TOP {wind}", x + dx, y + dy, z + dz))
            if bottoms:
                points.append((f"{pier.mark} BOT {wind}", x, y, z - 900.0))
    c, s = np.cos(turn), np.sin(turn)
    return [(name, c * x - s * y + move[0], s * x + c * y + move[1], z) for name, x, y, z in points]


def dowels(site: Site, off: Off | None = None) -> list[tuple[str, float, float, float]]:
    """The top of every dowel; off: by "P1 DOWEL 2", mm."""
    points = []
    for pier in site.piers:
        bars = [part for part in pier.parts if part.role is Role.DOWEL]
        for number, bar in enumerate(bars, start=1):
            name = f"{pier.mark} DOWEL {number}"
            x, y, z = pier.frame.points(bar.solid.knots[0])
            ox, oy = (off or {}).get(name, (0.0, 0.0))
            points.append((name, x + ox, y + oy, z))
    return points


def as_csv(points: list[tuple[str, float, float, float]], unit: float = FOOT, digits: int = 4) -> str:
    """The points as a surveyor's file with a header; unit: mm in the unit of its numbers."""
    lines = [
        f"{k},{y / unit:.{digits}f},{x / unit:.{digits}f},{z / unit:.{digits}f},{name}"
        for k, (name, x, y, z) in enumerate(points, start=1)
    ]
    return "\n".join([HEADER, *lines]) + "\n"


def judged(site: Site, text: str) -> AsBuilt:
    """The site as placed, by the text of a shots file."""
    return as_built(site, shots_in(text, "shots.csv", site.spec))


def spec_of(folder: Path, text: str = SITE) -> SiteSpec:
    """The spec of a site's text."""
    return built(folder, text).spec
