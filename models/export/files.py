"""Solids as files: every part as a watertight OBJ, a list of them, and the whole as one GLB."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from math import degrees
from pathlib import Path
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from models.colors import color
from models.export.glb import Piece, glb
from models.part import Part, Role
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.shapes.chamfer import concrete_volume
from models.shapes.mesh import CHORD_ERROR, Mesh, concrete_mesh, mesh_of
from models.site import Site

GLB_CHORD_ERROR = 0.25
"""mm: the GLB is for looking at."""
GLB_NAME = "site.glb"
LIST_NAME = "parts.json"


class _Item(Struct, frozen=True, eq=False):
    """One thing to export: a part of a pier, or (part None) the pier's concrete."""

    pier: Pier
    part: Part | None

    @property
    def id(self) -> str:
        return f"{self.pier.mark}/concrete" if self.part is None else self.part.id

    @property
    def role(self) -> Role:
        return Role.CONCRETE if self.part is None else self.part.role

    @property
    def label(self) -> str:
        return "concrete" if self.part is None else self.part.label

    @property
    def volume(self) -> float:
        return concrete_volume(self.pier.concrete) if self.part is None else self.part.solid.volume

    def mesh(self, chord_error: float) -> Mesh:
        if self.part is None:
            return concrete_mesh(self.pier.concrete, chord_error)
        return mesh_of(self.part.solid, chord_error)


def write_solids(site: Site, directory: Path, pier: str | None = None) -> None:
    """Write every part (of one pier, when its mark is given) into a folder; made where there is none.

    Each part is a watertight OBJ in mm, in the frame of its pier; what several piers share is written once,
    in the frame of the first of them. parts.json lists the parts with their volumes in closed form and their
    frames; site.glb holds everything in meters, y up, recentered. Whoever needs the folder whole or not at
    all hands over an empty one and moves it into place (viewer.files.folder does).
    Raises BadInput when no pier has that mark, OSError when a file can't be written.
    """
    piers = [p for p in site.piers if pier is None or p.mark == pier]
    if not piers:
        marks = ", ".join(p.mark for p in site.piers)
        raise BadInput([Problem(Place("--pier"), f"there is no pier {pier}", f"the piers are {marks}")])
    taken: set[str] = set()
    rows: list[dict[str, Any]] = []
    for item in _items(piers):
        name = _file_name(item.id, item.pier.mark, taken)
        path = directory / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(obj_text(item.mesh(CHORD_ERROR), item.id).encode("utf-8"))
        rows.append(_row(item, name))
    listed = json.dumps(rows, indent=1, ensure_ascii=False, allow_nan=False)
    (directory / LIST_NAME).write_bytes(listed.encode("utf-8"))
    (directory / GLB_NAME).write_bytes(site_glb(site, piers))


def obj_text(mesh: Mesh, name: str) -> str:
    """A mesh as Wavefront OBJ text, 12 significant digits, faces counted from 1."""
    vertices = "v %.12g %.12g %.12g\n" * len(mesh.vertices) % tuple(mesh.vertices.ravel().tolist())
    faces = "f %d %d %d\n" * len(mesh.faces) % tuple((mesh.faces + 1).ravel().tolist())
    return f"# mm, z up\no {name}\n{vertices}{faces}"


def site_glb(site: Site, piers: list[Pier]) -> bytes:
    """Some piers of a site as one GLB: a mesh for each role, meters, y up, the middle of it all at zero."""
    meshes: dict[Role, list[Mesh]] = {}
    base = piers[0].frame
    for item in _items(piers):
        # Differences first: a survey's coordinates must not cost a digit.
        rotation, shift = item.pier.frame.rotation, item.pier.frame.shift - base.shift
        local = item.mesh(GLB_CHORD_ERROR)
        meshes.setdefault(item.role, []).append(replace(local, vertices=local.vertices @ rotation.T + shift))
    pieces = [Piece(role.value, merged(meshes[role]), color(role)) for role in Role if role in meshes]
    corners = np.concatenate([piece.mesh.vertices for piece in pieces])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    extras = {"site": site.spec.site.name, "origin_mm": (middle + base.shift).tolist()}
    return glb(pieces, middle, extras)


def merged(meshes: list[Mesh]) -> Mesh:
    """Many meshes as one, side by side."""
    first = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate([mesh.faces + start for mesh, start in zip(meshes, first, strict=True)]),
    )


def _items(piers: list[Pier]) -> Iterator[_Item]:
    """The concrete and the parts of each pier; what piers share comes with the first of them only."""
    seen: set[str] = set()
    for pier in piers:
        yield _Item(pier, None)
        for part in pier.parts:
            if part.id not in seen:
                seen.add(part.id)
                yield _Item(pier, part)


def _row(item: _Item, file: str) -> dict[str, Any]:
    frame = item.pier.frame
    return {
        "id": item.id,
        "label": item.label,
        "role": item.role.value,
        "pier": item.pier.mark,
        "file": file,
        "volume_mm3": item.volume,
        "origin_mm": frame.shift.tolist(),
        "turn_deg": degrees(float(np.arctan2(frame.rotation[1, 0], frame.rotation[0, 0]))),
        "chord_error_mm": CHORD_ERROR,
    }


def _file_name(part_id: str, mark: str, taken: set[str]) -> str:
    """A name that every system takes, new even where capitals don't count: `pier-P7/tie-3.obj`.

    taken: the names so far, in small letters; the new one is added.
    """
    stem = part_id.removeprefix(f"{mark}/")
    base = f"pier-{_plain(mark)}/{_plain(stem)}"
    name, count = f"{base}.obj", 1
    while name.lower() in taken:
        count += 1
        name = f"{base}-{count}.obj"
    taken.add(name.lower())
    return name


def _plain(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-") or "part"
