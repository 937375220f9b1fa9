"""What a tried pier says otherwise than its site file, as fields of that file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from models.changes.yaml_text import Tree
from models.lengths import Units, write_angle, write_length
from models.spec.pier import PierSpec

Path = tuple[str, ...]


def _two(value: tuple[float, float], units: Units) -> str:
    return f"[{write_length(value[0], units)}, {write_length(value[1], units)}]"


def _angle(value: float, units: Units) -> str:
    return write_angle(value)


def _by_number(value: dict[int, float], units: Units) -> str:
    return "{" + ", ".join(f"{n}: {write_length(up, units)}" for n, up in sorted(value.items())) + "}"


WRITTEN: dict[Path, Callable[[Any, Units], str]] = {
    ("seat", "rods", "pattern", "offset"): _two,
    ("seat", "rods", "pattern", "turn"): _angle,
    ("cage", "ties", "moved"): _by_number,
}
"""The fields that changes change, and how each is written."""


def differences(was: PierSpec, now: PierSpec, units: Units) -> Tree:
    """The fields of `now` that are not those of `was`, as they are written; empty where there are none."""
    out: dict[str, Any] = {}
    for path, write in WRITTEN.items():
        new = _at(now, path)
        if new is not None and new != _at(was, path):
            block = out
            for name in path[:-1]:
                block = block.setdefault(name, {})
            block[path[-1]] = write(new, units)
    return out


def _at(spec: Any, path: Path) -> Any:
    for name in path:
        spec = None if spec is None else getattr(spec, name)
    return spec
