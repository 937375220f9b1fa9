"""GLB files: the binary container of glTF 2.0 (Khronos specification, sections 3 and 4)."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from models.motion import Array
from models.shapes.mesh import Mesh

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_ARRAY, _INDEX = 34962, 34963
_FLOAT, _UNSIGNED = 5126, 5125


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One named mesh of a GLB: z up, mm; color: red, green, blue, opacity, 0 to 1, as on a screen (sRGB)."""

    name: str
    mesh: Mesh
    color: tuple[float, float, float, float]


def glb(pieces: Sequence[Piece], origin: Array, extras: dict[str, Any]) -> bytes:
    """A whole GLB in meters, y up, the point `origin` (3,) mm at its zero; extras go into its `asset`."""
    binary = bytearray()
    views: list[dict[str, int]] = []
    accessors: list[dict[str, Any]] = []
    for piece in pieces:
        # x east, y up, z south: a turn about x, so that it stays right-handed.
        meters = (piece.mesh.vertices - origin)[:, [0, 2, 1]] * np.array([1e-3, 1e-3, -1e-3])
        points = meters.astype("<f4")
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
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=True, allow_nan=False).encode("ascii")
    chunks = _chunk(_JSON, text, b" ") + _chunk(_BIN, bytes(binary), b"\0")
    return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


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
