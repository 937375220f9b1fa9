"""A site with one pier changed: that pier built anew, and the beams that are drilled at its rods."""

from __future__ import annotations

from msgspec.structs import fields, replace

from models.build import build_pier
from models.outline import Loop
from models.part import Part, Role
from models.pier import Pier
from models.seat.beam_plan import beams_at
from models.setting import Setting
from models.site import Site
from models.solids import Prism, same_solid
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec

PLACE = ("mark", "kind", "x", "y", "top", "bottom", "turn", "outline", "concrete")
"""Fields of a pier that its neighbors depend on: a change of these is not tried, but written and read."""

_SAID = tuple(f for f in fields(Part) if f.name != "solid")


def rebuilt(site: Site, spec: PierSpec) -> Site:
    """The site with the pier of this mark as `spec` has it; all else stays, part by part, what it was.

    Raises ValueError with one sentence when the pier, or a beam over it, cannot exist so; AssertionError
    where `spec` moves the pier or changes its concrete.
    """
    i = next(k for k, pier in enumerate(site.piers) if pier.mark == spec.mark)
    was = site.piers[i]
    assert all(getattr(spec, name) == getattr(was.spec, name) for name in PLACE), spec.mark
    listed = list(site.spec.piers)
    listed[i] = spec
    whole = site.spec.model_copy(update={"piers": listed})
    piers = list(site.piers)
    piers[i] = _with_parts_of(was, build_pier(whole, spec))
    changed = _drilled_anew(was, piers[i])
    under = {mark for beam in whole.beams if f"{beam.name}/beam" in changed for mark in beam.piers}
    for k, pier in enumerate(piers):
        if k != i and pier.mark in under:
            piers[k] = _with_beams(whole, pier)
    return Site(whole, tuple(piers), site.sha256)


def changed_holes(was: Part, now: Part) -> list[Loop]:
    """The round holes that only one of two drawings of a beam has, in the beam's own frame."""
    before, after = ({_key(hole): hole for hole in _prism(part).outline.holes} for part in (was, now))
    return [{**before, **after}[key] for key in before.keys() ^ after.keys()]


def _with_parts_of(was: Pier, now: Pier) -> Pier:
    """A pier with the very concrete, and wherever they are the same the very parts, that it had before: who
    keeps something by them (gaps, pictures) need not make it anew."""
    before = {part.id: part for part in was.parts}
    parts = tuple(_or_same(part, before.get(part.id)) for part in now.parts)
    return replace(now, concrete=was.concrete, parts=parts)


def _or_same(part: Part, old: Part | None) -> Part:
    if old is None or not same_solid(part.solid, old.solid):
        return part
    return old if all(getattr(part, f.name) == getattr(old, f.name) for f in _SAID) else part


def _key(hole: Loop) -> tuple[bytes, bytes]:
    return hole.starts.tobytes(), hole.centers.tobytes()


def _drilled_anew(was: Pier, now: Pier) -> set[str]:
    """Ids of the beams over a pier whose holes are others than before."""
    before = {part.id: part for part in was.parts if part.role is Role.BEAM}
    return {part.id for part in now.parts if part.id in before and changed_holes(before[part.id], part)}


def _with_beams(site: SiteSpec, pier: Pier) -> Pier:
    """A pier with the beams over it as they are drilled now; nothing else of it depends on their holes."""
    beams = {b.part_id: b.solid for b in beams_at(Setting(site, pier.spec, pier.frame, pier.concrete, None))}
    parts = tuple(
        replace(part, solid=beams[part.id])
        if part.role is Role.BEAM and changed_holes(part, replace(part, solid=beams[part.id]))
        else part
        for part in pier.parts
    )
    return replace(pier, parts=parts)


def _prism(part: Part) -> Prism:
    assert isinstance(part.solid, Prism)
    return part.solid
