"""A shop drawing from disk: a DXF with one plate in it."""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.shop.extent import least_rectangle
from clash.shop.strokes import Ring, Round, strokes
from models.outline import Loop
from models.problems import BadInput, Place, Problem
from models.shapes.rings import encloses

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST = 50_000_000
"""bytes: no drawing of a plate has more."""
UNITS = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
"""mm in each unit that a drawing may be in."""
_HEADER = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
"""$INSUNITS of the DXF reference."""
_BINARY = b"AutoCAD Binary DXF"
"""How a binary DXF begins."""
SIZE = 3.2
"""mm (1/8 in): an outline whose length and width come within this of a plate's is of that plate's size."""


class Assumed(Struct, frozen=True):
    """What was taken for granted when a drawing was read.

    header: the unit that its header says, None where it says none; asked: whether an option said the unit;
    agrees: whether an outline then has the size of a plate; layer: the only one looked at; hidden: layers
    with something on them that were left out because they are off or frozen; edge: the layer of the outline
    that was taken; size: its length and width, mm; outside: circles outside of it; unlike: further outlines
    of a plate's size, without a circle in them.
    """

    header: str | None
    asked: bool
    agrees: bool
    layer: str | None
    hidden: tuple[str, ...]
    edge: str | None = None
    size: tuple[float, float] | None = None
    outside: int = 0
    unlike: int = 0


class ShopPlate(Struct, frozen=True, eq=False):
    """The plate of a shop drawing, mm, as it lies on the drawing.

    outline: None where the drawing has no closed one; cutouts: openings that are no round holes; odd: what
    could not be read, in words.
    """

    outline: Loop | None
    rounds: tuple[Round, ...]
    cutouts: tuple[Loop, ...]
    unit: str
    odd: tuple[str, ...]
    assumed: Assumed


def read_shop_drawing(
    path: Path, sizes: Sequence[tuple[float, float]], unit: str | None = None, layer: str | None = None
) -> ShopPlate:
    """The plate of a DXF.

    sizes: (length, width) mm of the site's plates, the larger first; unit: what the drawing is in, where its
    header does not say or the sizes do not agree; layer: the only one to look at.
    Raises BadInput in one line.
    """
    document, guessed = _document(path)
    hidden = frozenset(
        entry.dxf.name.lower() for entry in document.layers if entry.is_off() or entry.is_frozen()
    )
    from ezdxf.disassemble import recursive_decompose

    entities = list(recursive_decompose(document.modelspace()))
    if layer is not None:
        names = sorted({e.dxf.layer for e in entities})
        if layer.lower() not in {n.lower() for n in names}:
            raise _bad(path, f"nothing is drawn on a layer {layer[:40]}", f"its layers are {_list(names)}")
        entities = [e for e in entities if e.dxf.layer.lower() == layer.lower()]
        hidden = frozenset()
    out = sorted({e.dxf.layer for e in entities if e.dxf.layer.lower() in hidden})
    found = strokes(entities, hidden)
    if not found.rounds:
        raise _bad(path, "there are no circles in it, so no holes", "check that it is the plate's drawing")
    said = _HEADER.get(int(document.header.get("$INSUNITS", 0)))
    asked = unit is not None
    unit = unit or _unit(path, said, found.rings, sizes)
    scale = UNITS[unit]
    agrees = any(_agrees(least_rectangle(r.loop), sizes, scale) for r in found.rings)
    agrees = agrees or any(_agrees((r.diameter, r.diameter), sizes, scale) for r in found.rounds)
    assumed = Assumed(said, asked, agrees, layer, tuple(out))
    rings = [Ring(_scaled(ring.loop, scale), ring.layer) for ring in found.rings]
    rounds = [Round(r.x * scale, r.y * scale, r.diameter * scale, r.layer) for r in found.rounds]
    odd = tuple(_counted(count, kind) for kind, count in sorted({**found.odd, **guessed}.items()))
    outline = _outline(path, rings, rounds, sizes)
    if outline is None:
        return ShopPlate(None, tuple(rounds), (), unit, odd, assumed)
    if isinstance(outline, Round):
        rounds = [r for r in rounds if r is not outline]
        loop = _circle(outline)
    else:
        loop = outline.loop
    inside = encloses(loop, np.array([(r.x, r.y) for r in rounds]).reshape(-1, 2))
    cut = [r.loop for r in rings if r is not outline and encloses(loop, r.loop.starts).all()]
    holes = tuple(r for r, within in zip(rounds, inside, strict=True) if within)
    if not holes:
        raise _bad(
            path, "no circle lies inside of the plate's outline", "check that it is the plate's drawing"
        )
    assumed = replace(
        assumed,
        edge=outline.layer,
        size=_extent(outline),
        outside=len(rounds) - len(holes),
        unlike=_unlike(rings, rounds, outline, sizes),
    )
    return ShopPlate(loop, holes, tuple(cut), unit, odd, assumed)


def _unlike(
    rings: Sequence[Ring], rounds: Sequence[Round], taken: Ring | Round, sizes: Sequence[tuple[float, float]]
) -> int:
    """How many further outlines there are of a plate's size, in other places than the one that was taken."""
    bare = [r for r in rings if _agrees(_extent(r), sizes, 1.0) and not _holds(r.loop, rounds)]
    return len(_distinct([taken, *bare])) - 1


def _counted(count: int, kind: str) -> str:
    if count == 1:
        return f"1 {kind}"
    return f"{count} {kind[:-1]}ies" if kind.endswith("y") else f"{count} {kind}s"


class _Guesses(logging.Handler):
    """Counts the numbers that the reader of a damaged file had to guess."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def emit(self, record: logging.LogRecord) -> None:
        """Counts what is told of a number."""
        self.count += record.getMessage().startswith("recovered invalid")


def _document(path: Path) -> tuple[Drawing, dict[str, int]]:
    """The document, and how many of its numbers were guessed."""
    place = Place(path.name or str(path))
    try:
        if not path.exists():
            raise BadInput([Problem(place, "there is no such drawing", "check its name")])
        if not path.is_file():
            raise BadInput([Problem(place, "this is no file, so no drawing", "give the DXF in it")])
        if path.stat().st_size > LARGEST:
            raise BadInput(
                [
                    Problem(
                        place, "the file is larger than any plate's drawing", "check that it is the right one"
                    )
                ]
            )
        data = path.read_bytes()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BadInput([Problem(place, f"the drawing can't be read: {why}")]) from error
    if data[:4] == b"AC10":
        raise BadInput([Problem(place, "this is a DWG", "have it saved as DXF")])
    if not data.strip():
        raise BadInput([Problem(place, "the file is empty, so no DXF")])
    binary = data.startswith(_BINARY)
    if b"SECTION" not in data and not binary:
        raise BadInput([Problem(place, "this is no DXF that can be read", "have it saved again as DXF")])
    if b"SECTION" in data and not data.rstrip(b"\0\x1a \t\r\n").endswith(b"EOF"):
        cut = "the file ends in the middle: a DXF ends with EOF"
        raise BadInput([Problem(place, cut, "have it saved or sent again")])
    from ezdxf import recover
    from ezdxf.filemanagement import readfile

    log, guesses = logging.getLogger("ezdxf"), _Guesses()
    log.addHandler(guesses)
    spread, log.propagate = log.propagate, False
    try:
        # The reader that mends damaged files knows no binary ones.
        document = readfile(path) if binary else recover.read(io.BytesIO(data))[0]
    except Exception as error:  # a damaged file makes the reader fail in ways that it does not list
        raise BadInput(
            [Problem(place, "this is no DXF that can be read", "have it saved again as DXF")]
        ) from error
    finally:
        log.removeHandler(guesses)
        log.propagate = spread
    return document, {"damaged number": guesses.count} if guesses.count else {}


def _unit(path: Path, said: str | None, rings: Sequence[Ring], sizes: Sequence[tuple[float, float]]) -> str:
    """The header's unit where some outline has the size of some plate in it; else asks for the option."""
    agree = [
        name for name, mm in UNITS.items() if any(_agrees(least_rectangle(r.loop), sizes, mm) for r in rings)
    ]
    if said is not None and (said in agree or not rings):
        return said
    ask = "say its unit: --unit in, ft, mm, cm or m"
    if said is None:
        hint = f"; read as {_list(agree)}, an outline has the size of a plate of the site" if agree else ""
        raise _bad(path, f"the drawing does not say its unit{hint}", ask)
    if agree:
        other = f"read as {_list(agree)} its outline has the size of a plate of the site"
        wrong = f"its header says {said}, but {other}"
        raise _bad(path, wrong, ask)
    wrong = f"its header says {said}, and then no outline has the size of any plate of the site"
    raise _bad(path, wrong, f"{ask}; then it is compared as it is")


def _agrees(size: tuple[float, float], sizes: Sequence[tuple[float, float]], mm: float) -> bool:
    return any(abs(size[0] * mm - a) < SIZE and abs(size[1] * mm - b) < SIZE for a, b in sizes)


def _outline(
    path: Path, rings: Sequence[Ring], rounds: Sequence[Round], sizes: Sequence[tuple[float, float]]
) -> Ring | Round | None:
    """The plate's outline: the one that has the size of a plate; else the only one that holds circles."""
    holding: list[Ring | Round] = [r for r in rings if _holds(r.loop, rounds)]
    holding += [r for r in rounds if _holds(_circle(r), [o for o in rounds if o is not r])]
    of_size = [r for r in holding if _agrees(_extent(r), sizes, 1.0)]
    found = _distinct(of_size or holding)
    if len(found) == 1:
        return found[0]
    if not found:
        return None
    layers = sorted({r.layer for r in found})
    if len(layers) > 1:
        raise _bad(
            path, f"{len(found)} plates are drawn in it", f"say which: --layer, one of {_list(layers)}"
        )
    raise _bad(path, f"{len(found)} plates are drawn in it", "save each in a file of its own")


def _extent(found: Ring | Round) -> tuple[float, float]:
    return (found.diameter, found.diameter) if isinstance(found, Round) else least_rectangle(found.loop)


def _holds(loop: Loop, rounds: Sequence[Round]) -> bool:
    return bool(len(rounds)) and bool(encloses(loop, np.array([(r.x, r.y) for r in rounds])).any())


def _distinct(found: Sequence[Ring | Round]) -> list[Ring | Round]:
    """Outlines that are not drawn twice in one place."""
    kept: list[Ring | Round] = []
    for one in found:
        box = _box(one)
        if not any(np.allclose(box, _box(k), atol=0.5) for k in kept):
            kept.append(one)
    return kept


def _box(found: Ring | Round) -> tuple[float, ...]:
    points = (_circle(found) if isinstance(found, Round) else found.loop).polyline(0.1)
    return (*points.min(axis=0).tolist(), *points.max(axis=0).tolist())


def _circle(found: Round) -> Loop:
    from models.outline import circle

    return circle(found.diameter, (found.x, found.y))


def _scaled(loop: Loop, by: float) -> Loop:
    return Loop(loop.starts * by, loop.sweeps, loop.centers * by)


def _list(words: Sequence[str]) -> str:
    shown = [w if len(w) <= 30 else w[:27] + "..." for w in words[:6]]
    return ", ".join(shown) + (f" and {len(words) - 6} more" if len(words) > 6 else "")


def _bad(path: Path, wrong: str, instead: str) -> BadInput:
    return BadInput([Problem(Place(path.name), wrong, instead)])
