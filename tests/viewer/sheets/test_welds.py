"""Welding symbols: which strokes stand where, read from the page that was drawn."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from msgspec.structs import replace

from models.build import build_site
from models.lengths import Units
from models.problems import BadInput
from models.reading.site_file import read_site
from models.spec.outline import OutlineSpec
from models.spec.seat import Standing
from models.spec.weld import TYPES, Weld
from tests.support.example_site import SITE, write
from viewer.drawing.dxf import dxf
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Arc, Circle, Fill, Line
from viewer.drawing.page import Draft
from viewer.drawing.recording import Recorded, record
from viewer.paper.job import Job, SheetFile, sheet
from viewer.paper.welds import Symbol, draw_symbol

X, Y = 50.0, 60.0
"""mm: where the junction of arrow and line is put."""


def _drawn(**said: Any) -> tuple[Draft, Recorded]:
    draft = Draft(200.0, 120.0)
    draw_symbol(draft, Symbol(3, Weld(what="x", **said), None), X, Y, Units.FT_IN)
    return draft, record(draft.page())


def _symbol(draft: Draft) -> list[Line | Arc]:
    """The strokes of the symbol itself: between the size and the tail, not those of line, flag and tail."""
    every = [m for m in draft.marks if isinstance(m, Line | Arc)]
    return [m for m in every if not (isinstance(m, Line) and (m.start[0] <= X or m.start[0] >= X + 32.0))]


def _heights(draft: Draft) -> tuple[float, float]:
    from viewer.drawing.marks import segments

    ys = [p[1] - Y for mark in _symbol(draft) for run in segments(mark) for p in run]
    return min(ys), max(ys)


@pytest.mark.parametrize("kind", TYPES)
def test_under_the_line_for_the_arrow_side_on_it_for_the_other(kind: str) -> None:
    low, high = _heights(_drawn(type=kind)[0])
    assert low < -2.0
    assert high <= 1e-9
    low, high = _heights(_drawn(type=kind, side="other")[0])
    assert high > 2.0
    assert low >= -1e-9
    low, high = _heights(_drawn(type=kind, side="both")[0])
    assert -low == pytest.approx(high)


@pytest.mark.parametrize("kind", ["fillet", "bevel groove", "J groove"])
@pytest.mark.parametrize("side", ["arrow", "other"])
def test_the_upright_leg_is_on_the_left(kind: str, side: str) -> None:
    strokes = _symbol(_drawn(type=kind, side=side)[0])
    upright = [m for m in strokes if isinstance(m, Line) and m.start[0] == m.end[0]]
    assert len(upright) == 1
    least = min(min(m.start[0], m.end[0]) for m in strokes if isinstance(m, Line))
    assert upright[0].start[0] == least


def test_how_many_strokes_each_has() -> None:
    # A2.4, as remembered: fillet a triangle on the line, plug a box on it, square two uprights, V two slants.
    counts = {"fillet": (2, 0), "plug": (3, 0), "square groove": (2, 0), "V groove": (2, 0),
              "bevel groove": (2, 0), "U groove": (1, 1), "J groove": (1, 1)}  # fmt: skip
    for kind, (lines, arcs) in counts.items():
        strokes = _symbol(_drawn(type=kind)[0])
        found = (sum(isinstance(m, Line) for m in strokes), sum(isinstance(m, Arc) for m in strokes))
        assert found == (lines, arcs), kind


def test_the_size_is_to_the_left_of_the_symbol_on_its_side() -> None:
    draft, found = _drawn(type="fillet", size=6.35)
    (size,) = (box for words, box, _ in found.texts if words == '1/4"')
    leftmost = min(m.start[0] for m in _symbol(draft) if isinstance(m, Line))
    assert size.right < leftmost
    assert size.left > X
    assert size.high < Y
    _, found = _drawn(type="fillet", size=6.35, side="other")
    (size,) = (box for words, box, _ in found.texts if words == '1/4"')
    assert size.low > Y


@pytest.mark.parametrize("where", ["shop", "field"])
def test_a_flag_for_field_welds_alone(where: str) -> None:
    flags = [m for m in _drawn(type="fillet", where=where)[0].marks if isinstance(m, Fill)]
    assert len(flags) == (where == "field")
    for flag in flags:  # it flies from a staff that stands on the junction
        assert min(x for x, _ in flag.points) == X
        assert min(y for _, y in flag.points) > Y


@pytest.mark.parametrize("around", [True, False])
def test_a_circle_at_the_junction_for_all_around(around: bool) -> None:
    circles = [m for m in _drawn(type="fillet", all_around=around)[0].marks if isinstance(m, Circle)]
    assert [m.center for m in circles] == ([(X, Y)] if around else [])


@pytest.mark.parametrize(
    ("said", "letters", "contours"),
    [
        ({"flush": True}, {"G"}, 1),
        ({"contour": "flush", "finish": "machining"}, {"M"}, 1),
        ({"contour": "convex"}, set(), 1),
        ({"contour": "flush", "finish": "chipping", "side": "both"}, {"C"}, 2),
        ({}, set(), 0),
    ],
)
def test_contour_and_the_letter_of_its_finish(said: dict[str, Any], letters: set[str], contours: int) -> None:
    from viewer.drawing.marks import Path as Run

    draft, found = _drawn(type="V groove", **said)
    assert {words for words, _, _ in found.texts} - {"W3"} == letters
    runs = [m for m in draft.marks if isinstance(m, Run)]
    assert len(runs) == contours
    for run in runs:
        (_, a), (_, b) = run.points
        assert a == b  # along the face of a groove
        assert abs(a - Y) > 4.0  # beyond its symbol
        assert (run.bulges[0] == 0.0) == (said.get("contour") != "convex")


def _plates(job: Job, *welds: Weld, carries: tuple[Standing, ...] = ()) -> dict[str, SheetFile]:
    piers = []
    for pier in job.site.spec.piers:
        if pier.mark in ("P13", "P19"):
            assert pier.seat.plate is not None
            plate = pier.seat.plate.model_copy(update={"welds": list(welds), "carries": list(carries)})
            piers.append(pier.model_copy(update={"seat": pier.seat.model_copy(update={"plate": plate})}))
    spec = job.site.spec.model_copy(update={"piers": piers, "beams": []})
    site = build_site(spec, "0" * 64)
    return {file.stem: file for file in sheet("plate")(replace(job, site=site))}


def _heads(file: SheetFile) -> list[tuple[float, float]]:
    marks = [m for m in file.pages[0].marks if isinstance(m, Fill) and m.layer is Layer.WELDS]
    return [m.points[0] for m in marks]


def test_the_arrow_points_to_the_edge_of_a_hole_with_a_bar_in_it(demo_job: Job) -> None:
    made = _plates(demo_job, Weld(what="bars", type="plug", size=34.925))["plate-PL1"]
    # Holes 1 3/8 in at 3 1/2 in: the upper right one's edge toward the upper right, 11/16 / sqrt 2 further.
    (head,) = _heads(made)
    there = (3.5 + 0.6875 / 2**0.5) * 25.4
    assert head == pytest.approx((there, there), abs=1e-6)
    words = {w for w, _, _ in record(made.pages[0]).texts}
    assert "W1 TYP" in words
    assert record(made.pages[0]).overlaps() == []


def test_the_arrow_points_to_what_the_plate_carries_and_that_is_drawn(demo_job: Job) -> None:
    post = Standing(name="post", outline=OutlineSpec(square=101.6), height=300.0)
    weld = Weld(what="post", type="fillet", size=6.35, all_around=True, where="field", at="post")
    made = _plates(demo_job, weld, carries=(post,))["plate-PL2"]
    # A square of 4 in about the center: its corner to the upper right is (50.8, 50.8).
    assert (50.8, 50.8) in [pytest.approx(p) for p in _heads(made)]
    assert len(_heads(made)) == 2  # the arrow and the flag
    assert record(made.pages[0]).overlaps() == []


def test_an_arrow_without_a_place_ends_free_and_says_so(demo_job: Job) -> None:
    made = _plates(demo_job, Weld(what="post", type="fillet"))["plate-PL2"]
    assert _heads(made) == []
    words = " ".join(w for w, _, _ in record(made.pages[0]).texts)
    assert "where it is, the site file does not say; ask the engineer" in words.replace("\n", " ")


def test_words_alone_draw_nothing(demo_job: Job) -> None:
    made = _plates(demo_job, Weld(what="post to plate, 5/S3", where="field"))["plate-PL1"]
    assert not any(layer is Layer.WELDS for layer, _, _ in record(made.pages[0]).strokes)
    words = " ".join(w for w, _, _ in record(made.pages[0]).texts)
    assert "W1 FIELD WELD: post to plate, 5/S3." in words


def test_the_note_says_what_the_symbol_says(demo_job: Job) -> None:
    weld = Weld(what="bars", where="field", type="plug", size=34.925, flush=True, held_back=50.8)
    made = _plates(demo_job, weld)["plate-PL1"]
    words = " ".join(w for w, _, _ in record(made.pages[0]).texts)
    assert 'W1 FIELD WELD: bars. Plug 1 3/8". Ground flush. Coating held back 2", and made good' in words
    assert "Coating is held back from each weld" not in words


def test_nothing_of_a_weld_is_on_the_layer_that_is_cut(demo_job: Job) -> None:
    plain = _plates(demo_job)["plate-PL1"]
    made = _plates(demo_job, Weld(what="bars", type="plug", size=34.925, where="field"))["plate-PL1"]
    counts = []
    for file in (plain, made):
        assert file.cad is not None
        space = ezdxf.read(io.StringIO(dxf(file.cad).decode())).modelspace()
        counts.append(len(space.query('*[layer=="CUT"]')))
    assert counts[0] == counts[1] > 0
    assert len(space.query('*[layer=="WELDS"]')) > 5


PLATE = '        cutouts: [{round: 2"}]\n'


@pytest.mark.parametrize(
    ("weld", "says"),
    [
        ("{what: x, type: filet}", "did you mean fillet?"),
        ("{what: x, at: nowhere}", "the plate has no nowhere to weld to"),
        ("{what: x, type: fillet, flush: yes, contour: convex}", "ground flush is not convex"),
        ("{what: x, type: fillet, finish: grinding}", "a finish makes a contour, and none is asked for"),
        ("{what: x, type: plug, all around: yes}", "a plug weld fills its hole"),
        ('{what: x, size: 1/4"}', "a symbol needs the type of its weld"),
        ("{what: x, type: fillet, size: 0}", "size"),
    ],
)
def test_what_can_not_be_is_one_line(weld: str, says: str, tmp_path: Path) -> None:
    text = SITE.replace(PLATE, PLATE + f"        welds:\n          - {weld}\n")
    assert text != SITE
    with pytest.raises(BadInput) as bad:
        read_site(write(tmp_path, text))
    (problem,) = bad.value.problems
    assert says in str(problem)
    assert "line" in str(problem)
