"""A small site as a builder writes it, for tests that read, break and mutate it."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.problems import BadInput, Problem
from models.reading.site_file import read_site

SITE = """\
site:
  name: Boathouse of the station
  units: ft-in
  datum: station datum
  foot: international
  flood: {zone: coastal A, base flood elevation: 11 ft, freeboard: 2 ft}
  control points:
    - {name: CP1, x: 0, y: 0, z: 4.25 ft}

concrete:
  strength: 5000 psi
  aggregate: 3/4"
  exposure: marine splash
  cover: {side: 2 1/2", top: 3", bottom: 3"}
  chamfer: {top: 3/4", corners: 3/4"}

required:
  rod bar clear: 1"

placing:
  rods set by: template

kinds:
  tall:
    outline: {square: 18"}
    use: column
    cage:
      verticals:
        size: No. 6
        count: 8
      ties:
        size: 3
        spacing: 12"
        top group: {count: 3, clear: 1"}
        crossties:
          pairs: [[2, 6], [4, 8]]
      dowels: {size: No. 6, count: 4, height: 3'-0", hook: 90}
    seat:
      type: beam
      rods:
        diameter: 3/4"
        pattern: {grid: [1, 2], spacing: 8"}
        embedment: 3'-0"
        projection: 18 1/2"
      washer: {size: 3", thickness: 1/4", shape: square}
    embeds:
      - name: conduit
        diameter: 1 1/4"
        points: [[3", 0, 2"], [3", 0, -20"]]
        exits: [top]

  post:
    outline: {round: 24"}
    use: pedestal
    cage:
      verticals: {size: No. 5, count: 6}
      ties: {size: No. 3, spacing: 10", lap: 8"}
    seat:
      type: plate
      rods:
        bar: "#8"
        pattern: {circle: 10", count: 4, start: 45}
        embedment: 24"
        projection: 1 1/4"
        end: L
      plate:
        outline: {square: 14"}
        thickness: 1/2"
        above: 1"
        holes: {diameter: 1 1/4"}
        cutouts: [{round: 2"}]
      level on: shims
      shim: {square: 2"}
      grout: {least: 3/4", most: 1 1/2"}
      template:
        thickness: 3/4"
        outline: {square: 20"}
        holes: {diameter: 1 1/16"}
        opening: {rectangle: [6", 4"], center: [0, 0]}

grade beams:
  - {name: GB1, start: [-2', 0], end: [30', 0], width: 24", top: 1', depth: 18"}

beams:
  - name: B1
    piers: [P1, P2]
    width: 5 1/4"
    depth: 16"
    plies: 3
    overhang: 12"
    hole: 13/16"
    named end: west

piers:
  - {mark: P1, x: 0, y: 0, top: 9', bottom: 1', kind: tall}
  - mark: P2
    x: 10'
    y: 0
    top: 9'-0 1/2"
    bottom: 1'
    kind: tall
    turn: 45
    cage:
      ties: {spacing: 8"}
  - {mark: P3, x: 20', y: 0, top: 4', bottom: 1', kind: post}

answered:
  - {finding: cover/P3/rod/1, by: the engineer, date: 2025-05-06, reference: RFI 4}
"""

SCHEDULE = '''\
mark,x,y,top,bottom,kind,cage.ties.spacing,notes
P1,0',0',9',1',tall,,first
P2,10',0',"9'-0 1/2""",1',tall,"8""",
P3,20',0',4',1',post,,
'''


def write(folder: Path, text: str = SITE, name: str = "site.yaml") -> Path:
    """The site's text as a file, in UTF-8."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def with_schedule(text: str = SITE, schedule: str = "piers.csv") -> str:
    """The site with its piers in a schedule."""
    before, rest = text.split("\npiers:\n")
    after = rest[rest.index("\nanswered:") :]
    return f"{before}\npiers:\n  schedule: {schedule}\n{after}"


def line_of(text: str, part: str) -> int:
    """The line, from 1, of the only place where `part` stands."""
    assert text.count(part) == 1, (part, text.count(part))
    return text[: text.index(part)].count("\n") + 1


def column_of(text: str, part: str) -> int:
    """The column, from 1, of the only place where `part` stands."""
    at = text.index(part)
    return at - (text.rfind("\n", 0, at) + 1) + 1


def problems(folder: Path, text: str) -> tuple[Problem, ...]:
    """The problems of a site that must be refused, each one line."""
    with pytest.raises(BadInput) as told:
        read_site(write(folder, text))
    assert all("\n" not in str(problem) for problem in told.value.problems)
    return told.value.problems
