"""GLB files: the binary container of glTF 2.0 (Khronos specification, sections 3 and 4)."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.shapes.mesh import Mesh

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_ARRAY, _INDEX = 34962, 34963
_FLOAT, _UNSIGNED = 5126, 5125


class Piece(Struct, frozen=True, eq=False):
    """One named mesh of a GLB: z up, mm; color: red, green, blue, opacity, 0 to 1, as on a screen (sRGB)."""

    name: str
    mesh: Mesh
    color: tuple[float, float, float, float]


class Camera(Struct, frozen=True, eq=False):
    """Where to look from first: (3,) mm, z up; it looks at the origin. angle: rad, from low to high."""

    at: Array
    angle: float


def glb(
    pieces: Sequence[Piece], origin: Array, extras: dict[str, Any], camera: Camera | None = None
) -> bytes:
    """A whole GLB in meters, y up, the point `origin` (3,) mm at its zero; extras go into its `asset`."""
    binary = bytearray()
    views: list[dict[str, int]] = []
    accessors: list[dict[str, Any]] = []
    for piece in pieces:
        points = _meters(piece.mesh.vertices, origin).astype("<f4")
        indices = piece.mesh.faces.astype("<u4").reshape(-1)
        accessors.append(
            {
                "bufferView": len(views),
                "componentType": _FLOAT,
                "count": len(points),
                "type": "VEC3",
                "min": points.min(axis=0).tolist(),
                "max": points.max(axis=0).tolist(),
            }
        )
        views.append(_append(binary, points.tobytes(), _ARRAY))
        accessors.append(
            {
                "bufferView": len(views),
                "componentType": _UNSIGNED,
                "count": len(indices),
                "type": "SCALAR",
            }
        )
        views.append(_append(binary, indices.tobytes(), _INDEX))
    document = {
        "asset": {"version": "2.0", "generator": "pierclear", "extras": extras},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(pieces)))}],
        "nodes": [{"name": piece.name, "mesh": i} for i, piece in enumerate(pieces)],
        "meshes": [
            {
                "name": piece.name,
                "primitives": [{"attributes": {"POSITION": 2 * i}, "indices": 2 * i + 1, "material": i}],
            }
            for i, piece in enumerate(pieces)
        ],
        "materials": [_material(piece) for piece in pieces],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(binary)}],
    }
    if camera is not None:
        _look(document, camera, origin)
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=True, allow_nan=False).encode("ascii")
    chunks = _chunk(_JSON, text, b" ") + _chunk(_BIN, bytes(binary), b"\0")
    return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


def _look(document: dict[str, Any], camera: Camera, origin: Array) -> None:
    """Adds a camera that looks at the origin (glTF 2.0, 3.10: along its own -z, y up)."""
    away = _meters(camera.at, origin)
    far = float(np.linalg.norm(away))
    back = away / far
    right = np.cross([0.0, 1.0, 0.0], back)
    right /= np.linalg.norm(right)
    columns = (right, np.cross(back, right), back, away)
    matrix = [
        v for column, w in zip(columns, (0.0, 0.0, 0.0, 1.0), strict=True) for v in (*column.tolist(), w)
    ]
    lens = {"yfov": camera.angle, "znear": far / 100.0, "zfar": far * 100.0}
    document["cameras"] = [{"type": "perspective", "perspective": lens}]
    document["scenes"][0]["nodes"].append(len(document["nodes"]))
    document["nodes"].append({"name": "camera", "camera": 0, "matrix": matrix})


def _meters(points: Array, origin: Array) -> Array:
    """Points (..., 3) as a GLB has them: x east, y up, z south, a turn about x, so right-handed."""
    turned: Array = (points - origin)[..., [0, 2, 1]] * np.array([1e-3, 1e-3, -1e-3])
    return turned


def _append(binary: bytearray, data: bytes, target: int) -> dict[str, int]:
    view = {"buffer": 0, "byteOffset": len(binary), "byteLength": len(data), "target": target}
    binary += data
    return view


def _chunk(kind: int, data: bytes, padding: bytes) -> bytes:
    data += padding * (-len(data) % 4)
    return struct.pack("<II", len(data), kind) + data


def _material(piece: Piece) -> dict[str, Any]:
    *rgb, opacity = piece.color
    material: dict[str, Any] = {
        "name": piece.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*(_linear(c) for c in rgb), opacity],
            "metallicFactor": 0.0,
            "roughnessFactor": 0.8,
        },
    }
    if opacity < 1.0:
        material["alphaMode"] = "BLEND"
    return material


def _linear(channel: float) -> float:
    """Linear light of an sRGB channel (IEC 61966-2-1), which is what a base color is given in."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4
