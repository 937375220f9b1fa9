"""The drilled beam over a beam seat: its own thing, shared by every pier that it runs over."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role, Stage
from models.seat.beam_plan import beams_at
from models.seat.rods import rods_of
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """Every beam that runs over this pier, in the pier's frame."""
    rods = frozenset(setting.part_id(rod.name, rod.number) for rod in rods_of(setting))
    for beam in beams_at(setting):
        yield Part(
            id=beam.part_id,
            role=Role.BEAM,
            label=f"beam {beam.spec.name}",
            solid=beam.solid,
            stage=Stage.SET,
            touches=rods,
        )
