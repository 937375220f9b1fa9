"""Whether what a spec says can be at all: each thing said one way only, and cages that fit their piers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from models.catalogue import NotInCatalogue, bar, heavy_hex_nut, rod_sizes
from models.lengths import Units, show_length
from models.shapes.outline_from import loop_of
from models.shapes.spine import turns
from models.spec.base import Spec, nearest
from models.spec.cage import Cage
from models.spec.outline import OutlineSpec
from models.spec.pier import KindSpec, PierSpec, PrismEmbed, SweptEmbed
from models.spec.seat import Pattern, Plate, Rods, Seat
from models.spec.site import GradeBeamSpec, SiteSpec
from models.spec.weld import BARS, TYPES

Path = tuple[str | int, ...]


TALLEST = 200_000.0
"""mm: more is a slip of a unit (practice), and would be more ties than a computer cares to hold."""
MOST_TIES = 2_000


class Wrong(NamedTuple):
    """One thing that cannot be: the field it is told at, what is wrong, and what would do."""

    at: Path
    wrong: str
    instead: str


def wrongs_in(spec: Spec, path: Path = ()) -> Iterator[Wrong]:
    """What is wrong inside the blocks of any spec, each block taken for itself."""
    yield from _rivals(spec, path)
    if isinstance(spec, OutlineSpec):
        yield from _outline(spec, path)
    elif isinstance(spec, Pattern):
        yield from _pattern(spec, path)
    elif isinstance(spec, Rods):
        yield from _rods(spec, path)
    elif isinstance(spec, Seat):
        yield from _seat(spec, path)
    elif isinstance(spec, GradeBeamSpec):
        yield from _grade_beam(spec, path)
    elif isinstance(spec, SweptEmbed) and spec.bend is None and turns(spec.points):
        yield Wrong((*path, "points"), "the line turns without a bend", "give bend, its inside diameter")
    elif isinstance(spec, PrismEmbed) and spec.bottom >= spec.top:
        yield Wrong(
            (*path, "bottom"), "its bottom is not below its top", "heights count up from the concrete"
        )
    for name in type(spec).model_fields:
        value = getattr(spec, name)
        if isinstance(value, Spec):
            yield from wrongs_in(value, (*path, name))
        elif isinstance(value, list):
            for i, item in enumerate(value):
                if isinstance(item, Spec):
                    yield from wrongs_in(item, (*path, name, i))


def wrongs_of_kind(kind: KindSpec, units: Units) -> Iterator[Wrong]:
    """What cannot be of a kind or a pier as a whole: its cage against its outline."""
    names: dict[str, int] = {}
    for i, embed in enumerate(kind.embeds):
        if embed.name in names:
            yield Wrong(("embeds", i, "name"), f"{embed.name} is the name of two embeds", "rename one")
        names[embed.name] = i
    if kind.cage is not None:
        yield from _cage_form(kind, kind.cage)
        yield from _cage_room(kind, kind.cage, units)


def wrongs_of_pier(pier: PierSpec, units: Units) -> Iterator[Wrong]:
    """What cannot be of a pier: its top, its height against its steel."""
    height = pier.top - pier.bottom
    if height <= 0.0:
        yield Wrong(
            ("bottom",), "the bottom is not below the top", "give elevations, the bottom the lower one"
        )
        return
    shown = show_length(height, units)
    if height > TALLEST:
        yield Wrong(("top",), f"the pier would be {shown} tall", "check both elevations and their unit")
        return
    chamfer = pier.concrete.chamfer.top
    if chamfer >= height:
        yield Wrong(("concrete", "chamfer", "top"), f"the pier is only {shown} tall", "check both")
    if pier.cage is None:
        return
    cover, bars, ties = pier.concrete.cover, pier.cage.verticals, pier.cage.ties
    ends = [(bars.top, ("cage", "verticals", "top")), (cover.top, ("concrete", "cover", "top"))]
    feet = [(bars.bottom, ("cage", "verticals", "bottom")), (cover.bottom, ("concrete", "cover", "bottom"))]
    top = next(((v, at) for v, at in ends if v is not None), (0.0, ends[0][1]))
    foot = next(((v, at) for v, at in feet if v is not None), (0.0, feet[0][1]))
    if (top[0] or 0.0) + (foot[0] or 0.0) >= height:
        at = top[1] if (top[0] or 0.0) >= (foot[0] or 0.0) else foot[1]
        yield Wrong(
            at, f"nothing is left for the verticals in a pier {shown} tall", "check the elevations too"
        )
    if ties is not None and height / ties.spacing > MOST_TIES:
        wrong = f"a pier {shown} tall would hold {height / ties.spacing:,.0f} ties"
        yield Wrong(("cage", "ties", "spacing"), wrong, "check the spacing and the elevations")
    for name in ("first", "top"):
        reach = None if ties is None else getattr(ties, name)
        if reach is not None and reach >= height:
            yield Wrong(("cage", "ties", name), f"the pier is only {shown} tall", "check the elevations too")


def wrongs_of_site(site: SiteSpec, marks: Sequence[str]) -> Iterator[Wrong]:
    """Names across the site: each used once, and none that is nowhere.

    marks: of all piers, as written; `site` need not have its piers yet.
    """
    known, names = set(marks), set(marks)
    called = [(("grade_beams", i, "name"), beam.name) for i, beam in enumerate(site.grade_beams)]
    called += [(("beams", i, "name"), beam.name) for i, beam in enumerate(site.beams)]
    for at, name in called:
        if name in names:
            yield Wrong(at, f"{name} is the name of something else already", "give it a name of its own")
        names.add(name)
    for i, beam in enumerate(site.beams):
        for j, mark in enumerate(beam.piers):
            if mark not in known:
                near = nearest(mark, marks)
                instead = f"did you mean {near}?" if near else "write the mark of a pier of this site"
                yield Wrong(("beams", i, "piers", j), f"there is no pier {mark}", instead)
            elif mark in beam.piers[:j]:
                yield Wrong(("beams", i, "piers", j), f"{mark} is in the list twice", "give each pier once")
        if len(beam.piers) == 1 and beam.direction is None:
            wrong = "a beam over one pier needs its direction"
            yield Wrong(("beams", i, "piers"), wrong, "give direction, in degrees from the site's x")
        if beam.holes_at is not None and beam.hole is None:
            yield Wrong(
                ("beams", i, "holes_at"), "holes need their diameter", "give hole, like hole: 1 1/16 in"
            )
    answered: set[str] = set()
    for i, answer in enumerate(site.answered):
        if answer.finding in answered:
            wrong = f"{answer.finding} is answered twice"
            yield Wrong(("answered", i, "finding"), wrong, "keep the answer that holds")
        answered.add(answer.finding)


def _rivals(spec: Spec, path: Path) -> Iterator[Wrong]:
    """Exactly one of the ways of `rivals`, and nothing that belongs to another."""
    ways = type(spec).rivals
    if not ways:
        return
    used = [way for way in ways if getattr(spec, way[0]) is not None]
    names = [_shown(way[0]) for way in ways]
    if not used:
        yield Wrong(path, "it says too little", f"give one of {', '.join(names[:-1])} or {names[-1]}")
    elif len(used) > 1:
        both = " and ".join(_shown(way[0]) for way in used)
        yield Wrong((*path, used[1][0]), f"{both} exclude each other", "keep one of them")
    else:
        mine = used[0]
        for way in ways:
            for field in set(way) - set(mine):
                if field in spec.model_fields_set and getattr(spec, field) is not None:
                    wrong = f"{_shown(field)} goes with {_shown(way[0])}, not with {_shown(mine[0])}"
                    yield Wrong((*path, field), wrong, "leave it off")


def _shown(field: str) -> str:
    return field.replace("_", " ")


def _outline(spec: OutlineSpec, path: Path) -> Iterator[Wrong]:
    if spec.edges is None:
        return
    try:
        loop_of(spec)
    except ValueError as error:
        yield Wrong((*path, "edges"), str(error), "check the corners in their order")


def _pattern(spec: Pattern, path: Path) -> Iterator[Wrong]:
    if spec.grid is not None and spec.spacing is None and max(spec.grid) > 1:
        yield Wrong((*path, "grid"), "a grid needs its spacing", "give spacing, center to center")
    if spec.circle is not None and spec.count is None:
        yield Wrong((*path, "circle"), "a circle needs the count of its rods", "give count, like count: 4")
    places = spec.at or []
    for i, place in enumerate(places):
        if place in places[:i]:
            wrong = f"it is the same place as item {places.index(place) + 1}"
            yield Wrong((*path, "at", i), wrong, "give each place once")


def _grade_beam(spec: GradeBeamSpec, path: Path) -> Iterator[Wrong]:
    if spec.start is None:
        return
    for name in ("end", "width"):
        if getattr(spec, name) is None:
            yield Wrong(path, f"it needs its {name} beside its start", "give start, end and width")
    if spec.end == spec.start:
        yield Wrong((*path, "end"), "it ends where it starts", "check both places")


def _rods(spec: Rods, path: Path) -> Iterator[Wrong]:
    if spec.end == "plate" and spec.head_plate is None:
        yield Wrong((*path, "end"), "end: plate needs head_plate", "give head_plate its size and thickness")
    if spec.end != "plate" and spec.head_plate is not None:
        yield Wrong((*path, "head_plate"), f"it goes with end: plate, not with {spec.end}", "leave one off")
    if spec.bar is not None and spec.diameter is None and spec.end == "nut":
        at = (*path, "end") if "end" in spec.model_fields_set else (*path, "bar")
        yield Wrong(at, "a bar has no thread for a nut at its foot", "write end: plain, plate, L or J")
    hooked = spec.end in ("J", "L")
    for name in ("bend", "tail"):
        given = getattr(spec, name) is not None
        if hooked and not given and spec.bar is None:
            yield Wrong((*path, "end"), f"end: {spec.end} needs {name}", f"give {name}, as drawn")
        if given and not hooked:
            yield Wrong((*path, name), f"it goes with end: J or L, not with {spec.end}", "leave it off")
    if spec.diameter is not None and spec.nut is None:
        try:
            heavy_hex_nut(spec.diameter)
        except NotInCatalogue:
            listed = ", ".join(size for size, _ in rod_sizes())
            wrong = "no nut is listed for a rod of this diameter"
            yield Wrong(
                (*path, "diameter"), wrong, f"rods listed are {listed}; or give nut, its flats and height"
            )


def _welds(seat: Seat, plate: Plate, path: Path) -> Iterator[Wrong]:
    """What cannot be of a weld: what it is at, and what its symbol would say."""
    there = [thing.name for thing in plate.carries]
    if seat.rods is not None and seat.rods.bar is not None:
        there.append(BARS)
    for i, weld in enumerate(plate.welds):
        if weld.at and weld.at not in there:
            near = nearest(weld.at, there)
            known = f"write one of {', '.join(there)}" if there else "leave it off, or say what it carries"
            instead = f"did you mean {near}?" if near else known
            yield Wrong((*path, i, "at"), f"the plate has no {weld.at} to weld to", instead)
        if weld.flush and weld.contour not in (None, "flush"):
            wrong = f"a weld that is ground flush is not {weld.contour}"
            yield Wrong((*path, i, "contour"), wrong, "leave one of the two off")
        if weld.finish is not None and weld.shape is None:
            wrong = "a finish makes a contour, and none is asked for"
            yield Wrong((*path, i, "finish"), wrong, "say contour: flush, convex or concave")
        if weld.type == "plug" and weld.all_around:
            yield Wrong((*path, i, "all_around"), "a plug weld fills its hole", "leave all around off")
        if weld.type is None and (weld.size is not None or weld.all_around or weld.side != "arrow"):
            wrong = "a symbol needs the type of its weld"
            yield Wrong((*path, i, "what"), wrong, f"give type, one of {', '.join(TYPES)}")


def _seat(spec: Seat, path: Path) -> Iterator[Wrong]:
    at_type = (*path, "type")
    if spec.type == "none":
        for name in ("rods", "plate", "washer", "grout", "template", "shim"):
            if getattr(spec, name) is not None:
                yield Wrong((*path, name), "a seat of type none has none of these", "give the seat its type")
        return
    if spec.rods is None:
        yield Wrong(at_type, f"a {spec.type} seat needs rods", "give rods, or write seat: none")
    if spec.plate is not None and spec.type != "plate":
        yield Wrong((*path, "plate"), f"a {spec.type} seat carries no plate", "write type: plate")
    carried = [] if spec.plate is None else [thing.name for thing in spec.plate.carries]
    for i, name in enumerate(carried):
        if name in carried[:i]:
            at = (*path, "plate", "carries", i, "name")
            yield Wrong(at, f"{name} is the name of two things on the plate", "rename one")
    if spec.plate is not None:
        yield from _welds(spec, spec.plate, (*path, "plate", "welds"))
    if spec.level_on == "shims" and spec.shim is None:
        yield Wrong(
            (*path, "level_on"), "shims need the plan of a shim", "give shim, like shim: {square: 3 in}"
        )
    if spec.leveling_washer is not None and spec.level_on != "nuts":
        yield Wrong((*path, "leveling_washer"), "there are no leveling nuts", "write level_on: nuts")
    if spec.level_on == "nuts" and spec.rods is not None and spec.rods.bar is not None:
        yield Wrong((*path, "level_on"), "bar anchors have no leveling nuts", "write level_on: shims")
    if spec.plate is None:
        for name in ("shim", "grout"):
            if getattr(spec, name) is not None:
                yield Wrong((*path, name), "there is no plate over it", "give plate, or leave it off")
        if spec.level_on != "none":
            yield Wrong((*path, "level_on"), "there is no plate to level", "give plate, or leave it off")
    if spec.grout is not None and spec.grout.most is not None and spec.grout.most < spec.grout.least:
        yield Wrong((*path, "grout", "most"), "the most is less than the least", "swap them")


def _cage_form(kind: KindSpec, cage: Cage) -> Iterator[Wrong]:
    """Words that only a round or a rectangular cage has, and crossties between verticals that are there."""
    bars, ties = cage.verticals, cage.ties
    round_, boxed = kind.outline.round is not None, _sides(kind.outline) is not None
    if round_ and isinstance(cage.size, tuple):
        yield Wrong(("cage", "size"), "a round cage has one size, its diameter", "write one length")
    if round_ and bars.per_face is not None:
        yield Wrong(("cage", "verticals", "per_face"), "a round cage has no faces", "give count")
    if boxed and bars.count is not None and bars.count < 4:
        wrong = f"{bars.count} verticals cannot fill the 4 corners of the cage"
        yield Wrong(("cage", "verticals", "count"), wrong, "give 4 or more")
    if ties is None:
        return
    if round_ and ties.diamond:
        yield Wrong(("cage", "ties", "diamond"), "a round cage has no diamond ties", "leave it off")
    if boxed and ties.lap is not None:
        yield Wrong(("cage", "ties", "lap"), "only round hoops lap", "leave it off")
    if ties.crossties is not None and (total := _how_many(cage)) is not None:
        for i, pair in enumerate(ties.crossties.pairs):
            at: Path = ("cage", "ties", "crossties", "pairs", i)
            if pair[0] == pair[1]:
                yield Wrong(at, f"a crosstie from vertical {pair[0]} to itself", "name two verticals")
            for j, number in enumerate(pair):
                if number > total:
                    advice = f"verticals are numbered 1 to {total}"
                    yield Wrong((*at, j), f"there is no vertical {number}", advice)


def _how_many(cage: Cage) -> int | None:
    bars = cage.verticals
    if bars.count is not None:
        return bars.count
    if bars.per_face is not None:
        return 2 * (bars.per_face.x + bars.per_face.y) - 4
    return None if bars.at is None else len(bars.at)


def _sides(outline: OutlineSpec) -> tuple[float, float] | None:
    """The two sides of a square or rectangle, mm."""
    if outline.square is not None:
        return outline.square, outline.square
    return outline.rectangle


def _cage_room(kind: KindSpec, cage: Cage, units: Units) -> Iterator[Wrong]:
    """Cover, ties and verticals against the size of the pier, by plain sums across each direction."""
    across = _sides(kind.outline)
    if kind.outline.round is not None:
        across = (kind.outline.round, kind.outline.round)
    if across is None:
        return  # a free outline: the layout of the cage finds out
    cover = kind.concrete.cover.side
    pier = show_length(min(across), units)
    if cover is not None and 2.0 * cover >= min(across):
        at: Path = ("concrete", "cover", "side")
        twice = f"{show_length(cover, units)} on both sides"
        yield Wrong(at, f"{twice} leaves nothing of a pier {pier} wide", "check the cover and the outline")
        return
    if cage.size is not None:
        given = cage.size if isinstance(cage.size, tuple) else (cage.size, cage.size)
        if any(g > a for g, a in zip(given, across, strict=True)):
            yield Wrong(("cage", "size"), f"the cage is wider than its pier, {pier}", "check both")
            return
        across = given
    elif cover is not None:
        across = (across[0] - 2.0 * cover, across[1] - 2.0 * cover)
    tie = 0.0 if cage.ties is None else bar(cage.ties.size).diameter
    vertical = bar(cage.verticals.size).diameter
    if cage.ties is not None and cage.ties.spacing < tie:
        wrong = f"ties {show_length(tie, units)} thick would run into each other"
        yield Wrong(("cage", "ties", "spacing"), wrong, "give the spacing center to center")
    room = min(across) - 2.0 * tie
    if room < 2.0 * vertical:
        wrong = f"inside the ties there are {show_length(max(room, 0.0), units)}, and two of these bars need "
        wrong += show_length(2.0 * vertical, units)
        yield Wrong(("cage", "verticals", "size"), wrong, "check the cover, the outline and the sizes")
    elif (faces := cage.verticals.per_face) is not None:
        for name, n, wide in (("x", faces.x, across[0]), ("y", faces.y, across[1])):
            if n * vertical > wide - 2.0 * tie:
                need = show_length(n * vertical, units)
                wrong = f"{n} bars side by side need {need}, and inside the ties there are "
                wrong += show_length(wide - 2.0 * tie, units)
                yield Wrong(("cage", "verticals", "per_face", name), wrong, "give fewer")
