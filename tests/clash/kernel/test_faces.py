"""Parts against the faces of their concrete: plain arithmetic, and dense sampling of surfaces as a second
route.
"""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from clash.gap_table import Face, GapTable
from clash.kernel.faces import face_gaps
from clash.kernel.layout import laid_out
from models.motion import Array, Motion
from models.outline import Loop, Outline, circle, hexagon, polygon, rectangle
from models.part import Exit, Part, Role
from models.pier import Concrete, Pier
from models.solids import Prism, Solid, Swept
from tests.support.bars import Walk, straight_bar

EXACT = 1e-9
X, Y, Z = np.eye(3)
SPEC: Any = SimpleNamespace()

SQUARE = rectangle(600.0, 600.0)
CUT = polygon(  # a square of 600 with its corners cut off, leg 50
    [(-250, -300), (250, -300), (300, -250), (300, 250), (250, 300), (-250, 300), (-300, 250), (-300, -250)]
)
ROUND = circle(600.0)
ELL = polygon([(-300, -300), (300, -300), (300, 0), (0, 0), (0, 300), (-300, 300)])
NAN = [np.nan, np.nan]
SOFT = Loop(  # a square of 600 with corners rounded, radius 100
    np.array(
        [
            (-200, -300),
            (200, -300),
            (300, -200),
            (300, 200),
            (200, 300),
            (-200, 300),
            (-300, 200),
            (-300, -200),
        ]
    )
    * 1.0,
    np.array([0.0, pi / 2] * 4),
    np.array([NAN, (200, -200), NAN, (200, 200), NAN, (-200, 200), NAN, (-200, -200)], dtype=float),
)


def pier_of(
    outline: Loop, solids: list[Solid], leg: float = 0.0, exits: frozenset[Exit] = frozenset()
) -> Pier:
    parts = tuple(
        Part(f"P/{k}", Role.EMBED, f"part {k}", solid, inside=True, exits=exits)
        for k, solid in enumerate(solids)
    )
    return Pier("P", "kind", SPEC, Motion.identity(), Concrete(Outline(outline), -1000.0, leg), parts)


def gaps_to_faces(pier: Pier, within: float = 1e6) -> GapTable:
    return face_gaps([pier], laid_out([pier]), within)


def faces(
    outline: Loop, solid: Solid, leg: float = 0.0, exits: frozenset[Exit] = frozenset()
) -> dict[Face, float]:
    table = gaps_to_faces(pier_of(outline, [solid], leg, exits))
    apart = np.linalg.norm(table.at_a - table.at_b, axis=1)
    assert apart == pytest.approx(np.abs(table.gap), abs=1e-6)
    return {Face(b): float(g) for b, g in zip(table.b, table.gap, strict=True)}


def upright(x: float, y: float, low: float = -900.0, high: float = -40.0, radius: float = 12.0) -> Swept:
    return straight_bar((x, y, low), (x, y, high), radius)


@pytest.mark.parametrize(
    ("outline", "x", "y", "expected"),
    [
        (SQUARE, 200.0, 30.0, 300 - 200 - 12),
        (CUT, 240.0, 240.0, (300 + 250 - 480) / sqrt(2) - 12),  # the cut corner: x + y = 550
        (ROUND, 120.0, 160.0, 300 - 200 - 12),  # 3-4-5
        (ELL, -30.0, -40.0, 50 - 12),  # from the re-entrant corner: 3-4-5
        (ELL, -40.0, 100.0, 40 - 12),
        (SOFT, 230.0, 240.0, 100 - 50 - 12),  # from the middle of its corner: 30-40-50
        (SQUARE, 310.0, 0.0, 300 - 310 - 12),  # out through the side
        (ROUND, 310.0, 0.0, 300 - 310 - 12),
        (ELL, 10.0, 100.0, -10 - 12),
    ],
)
def test_sides_of_an_upright_bar(outline: Loop, x: float, y: float, expected: float) -> None:
    found = faces(outline, upright(x, y))
    assert found == {
        Face.SIDE: pytest.approx(expected, abs=EXACT),
        Face.TOP: pytest.approx(40.0, abs=EXACT),
        Face.BOTTOM: pytest.approx(100.0, abs=EXACT),
    }


@pytest.mark.parametrize("outline", [SQUARE, ROUND])
def test_a_top_chamfer_counts_as_side(outline: Loop) -> None:
    # leg 60: the slope runs through (240, 0) and (300, -60); the bar's rim is at (262, -40)
    assert faces(outline, upright(250, 0), 60.0)[Face.SIDE] == pytest.approx(
        (300 - 60 - 262 + 40) / sqrt(2), abs=EXACT
    )
    # farther down the side is nearer
    assert faces(outline, upright(250, 0, high=-200.0), 60.0)[Face.SIDE] == pytest.approx(38.0, abs=EXACT)


@pytest.mark.parametrize("outline", [SQUARE, ROUND, ELL, SOFT])
def test_what_stands_above_the_top_does_not_count_for_the_side(outline: Loop) -> None:
    rod = straight_bar((-200, 0, -500), (-200, 0, 300), 12.0)
    found = faces(outline, rod, 25.0, frozenset({Exit.TOP}))
    # at the top the slope begins 25 in; its crest is nearest: its plane is nearer only above the top
    assert found == {
        Face.SIDE: pytest.approx(300 - 25 - 212, abs=EXACT),
        Face.BOTTOM: pytest.approx(500.0, abs=EXACT),
    }


def test_a_rod_that_leans_out_above_the_top_is_measured_at_the_top() -> None:
    # cut level at z = 0 its section is an ellipse: half as long again along x by 1 / cos
    lean = 0.3
    along = np.array([sin(lean), 0.0, cos(lean)])
    rod = straight_bar(np.array([200.0, 0, 0]) - 500 * along, np.array([200.0, 0, 0]) + 500 * along, 12.0)
    assert faces(SQUARE, rod, 0.0, frozenset({Exit.TOP}))[Face.SIDE] == pytest.approx(
        300 - 200 - 12 / cos(lean), abs=EXACT
    )


def test_a_hoop_about_the_axis_of_a_round_pier() -> None:
    hoop = Walk(240 * X - 300 * Z, Y, -X).bend(1.9 * pi, 240.0).bar(6.0)
    assert faces(ROUND, hoop)[Face.SIDE] == pytest.approx(300 - 240 - 6, abs=EXACT)


@pytest.mark.parametrize("outline", [SQUARE, ROUND, CUT])
def test_a_bend_reaches_out_by_its_belly(outline: Loop) -> None:
    # half a turn of radius 40 about (230, 0), from y = -40 to 40, out to 230 + 40 + 6
    bend = Walk(np.array([230.0, -40.0, -300.0]), X, Y).bend(pi, 40.0).bar(6.0)
    assert faces(outline, bend)[Face.SIDE] == pytest.approx(300 - 276, abs=EXACT)


def test_a_flat_end_reaches_the_face_without_its_radius() -> None:
    bar = straight_bar((0, 0, -100), (260, 0, -100), 10.0)
    found = faces(SQUARE, bar)
    assert found[Face.SIDE] == pytest.approx(40.0, abs=EXACT)
    assert found[Face.TOP] == pytest.approx(90.0, abs=EXACT)
    # in a round pier the rim is nearest: hypot(260, 10)
    assert faces(ROUND, bar)[Face.SIDE] == pytest.approx(300 - hypot(260, 10), abs=1e-6)


@pytest.mark.parametrize(("outline", "expected"), [(SQUARE, 300 - 240), (ROUND, 300 - 240), (ELL, 300 - 240)])
def test_a_head_by_its_corner_or_its_rim(outline: Loop, expected: float) -> None:
    corner = 40.0 / sqrt(3.0)
    nut = Prism(Outline(hexagon(40.0)), 0.0, 24.0, Motion.turned(pi, (-240.0 + corner, -100.0, -500.0)))
    disk = Prism(
        Outline(circle(80.0), (circle(30.0).reversed(),)),
        0.0,
        10.0,
        Motion.turned(1.0, (-200.0, -100.0, -500.0)),
    )
    if outline is ROUND:
        nut, disk = (
            Prism(p.outline, p.bottom, p.top, Motion(p.motion.rotation, p.motion.shift + 100 * Y))
            for p in (nut, disk)
        )
    for solid, top in ((nut, 476.0), (disk, 490.0)):
        found = faces(outline, solid)
        assert found[Face.SIDE] == pytest.approx(expected, abs=EXACT)
        assert found[Face.TOP] == pytest.approx(top, abs=EXACT)
        assert found[Face.BOTTOM] == pytest.approx(500.0, abs=EXACT)


def test_what_sticks_out_is_negative_and_what_is_far_is_left_out() -> None:
    found = faces(SQUARE, upright(0, 0, -1010.0, 5.0))
    assert found[Face.TOP] == pytest.approx(-5.0, abs=EXACT)
    assert found[Face.BOTTOM] == pytest.approx(-10.0, abs=EXACT)
    assert (
        len(gaps_to_faces(pier_of(SQUARE, [upright(0, 0)]), 150.0)) == 2
    )  # top and bottom only; the side is 288 off


def test_a_dowel_into_a_grade_beam() -> None:
    # pier to -1000, beam 400 wide along x from -1600 to -1000, turned a quarter: its sides at y = +-200
    dowel = Walk(np.array([100.0, 50.0, -600.0]), -Z, Y).ahead(800.0).bend(pi / 2, 60.0).ahead(20.0).bar(8.0)
    beam = Prism(Outline(rectangle(400.0, 5000.0)), 0.0, 600.0, Motion.turned(pi / 2, (0.0, 0.0, -1600.0)))
    own = pier_of(SQUARE, [dowel], 0.0, frozenset({Exit.BOTTOM}))
    pier = Pier(
        "P",
        "kind",
        SPEC,
        Motion.identity(),
        own.concrete,
        (*own.parts, Part("GB", Role.GRADE_BEAM, "grade beam", beam)),
        "GB",
    )
    table = gaps_to_faces(pier)
    found = {Face(b): g for b, g in zip(table.b, table.gap, strict=True)}
    assert found == {
        Face.SIDE: pytest.approx(300 - 100 - 8, abs=EXACT),
        Face.TOP: pytest.approx(600.0, abs=EXACT),
        # the hook's end, flat: 50 + 60 + 20
        Face.GRADE_SIDE: pytest.approx(200 - 130, abs=EXACT),
        # the bend's belly: 600 + 800 + 60 + 8 below the top
        Face.GRADE_BOTTOM: pytest.approx(1600 - 600 - 800 - 60 - 8, abs=EXACT),
    }


def surface(bar: Swept) -> Array:
    """Points over a bar's whole surface: 1 mm along, 3 degrees round, with the level z = 0 met."""
    out = []
    for k, angle in enumerate(bar.angles):
        t = np.linspace(0.0, 1.0, int(bar.lengths[k]) + 2)[:, None]
        if angle == 0.0:
            along = bar.knots[k + 1] - bar.knots[k]
            cut = np.clip(-bar.knots[k][2] / along[2], 0.0, 1.0) if along[2] else 0.0
            t = np.append(t, [[cut]], axis=0)
            center, tangent = bar.knots[k] + along * t, np.tile(along / np.linalg.norm(along), (len(t), 1))
        else:
            arm = bar.knots[k] - bar.centers[k]
            side = np.cross(bar.axes[k], arm)
            center = bar.centers[k] + arm * np.cos(angle * t) + side * np.sin(angle * t)
            tangent = (side * np.cos(angle * t) - arm * np.sin(angle * t)) / np.linalg.norm(arm)
        w = np.cross(tangent, bar.axes[k] if angle else np.eye(3)[np.argmin(np.abs(tangent[0]))])
        w /= np.linalg.norm(w, axis=1)[:, None]
        v = np.cross(tangent, w)
        out += [center + bar.radius * (w * np.cos(a) + v * np.sin(a)) for a in np.linspace(0, 2 * pi, 120)]
    return np.concatenate(out)


def inward(outline: Loop, x: Array, y: Array) -> Array:
    """Distance (n,) inside the outline, by the arithmetic of that outline alone."""
    if outline is SQUARE:
        return 300 - np.maximum(np.abs(x), np.abs(y))
    if outline is CUT:
        return np.minimum(300 - np.maximum(np.abs(x), np.abs(y)), (550 - np.abs(x) - np.abs(y)) / sqrt(2))
    if outline is ROUND:
        return 300 - np.hypot(x, y)
    if outline is SOFT:
        dx, dy = np.abs(x) - 200, np.abs(y) - 200
        return 100 - np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) - np.minimum(np.maximum(dx, dy), 0)
    hole = np.where((x < 0) & (y < 0), np.hypot(x, y), np.where(x < 0, -x, -y))
    return np.minimum.reduce([300 + x, 300 + y, 300 - x, 300 - y, hole])


def random_solids(rng: np.random.Generator) -> list[Swept]:
    """An upright bar, a leaning one, a hook, and a tie's corner with a tail that rises a little."""
    x, y = rng.uniform(-260, -20, 2)
    z = rng.uniform(-900, -70)
    lean = np.append(rng.uniform(-0.05, 0.05, 2), 1.0)
    lean /= np.linalg.norm(lean)
    tip = np.append(rng.uniform(-0.05, 0.05, 1), [0.0])
    level = np.array([sqrt(1 - tip[0] ** 2), 0.0, tip[0]])
    side = np.array([0.0, 1.0, 0.0])
    foot = np.array([x, y, -rng.uniform(50, 600)])
    return [
        upright(x, y, high=-rng.uniform(20, 300)),
        straight_bar(foot - 300 * lean, foot + 10 * lean, 12.0),
        Walk(np.array([x, y, -50.0]), -Z, X * cos(z) + Y * sin(z))
        .ahead(500)
        .bend(pi / 2, 60)
        .ahead(60)
        .bar(10.0),
        Walk(np.array([-180.0, -250.0, z]), -level, side)
        .ahead(30)
        .bend(pi / 2, 25.0)
        .ahead(250)
        .bend(2.2, 25)
        .bar(5.0),
    ]


@pytest.mark.parametrize(
    "outline", [SQUARE, CUT, ROUND, ELL, SOFT], ids=["square", "cut", "round", "ell", "soft"]
)
@pytest.mark.parametrize("leg", [0.0, 25.0])
def test_faces_agree_with_dense_samples(outline: Loop, leg: float) -> None:
    rng = np.random.default_rng(7)
    bars = [bar for _ in range(4) for bar in random_solids(rng)]
    table = gaps_to_faces(pier_of(outline, cast(list[Solid], bars), leg))
    clouds = [surface(bar) for bar in bars]
    for part, face, gap in zip(table.a, table.b, table.gap, strict=True):
        points = clouds[part]
        if face == Face.TOP:
            sampled = -points[:, 2].max()
        elif face == Face.BOTTOM:
            sampled = points[:, 2].min() + 1000.0
        else:
            near = inward(outline, points[:, 0], points[:, 1])
            sampled = near.min()
            if leg:
                # the slope runs down and out from the crest, which is `leg` in and level with the top
                to_crest, down = near - leg, -points[:, 2]
                below = (to_crest <= down) | (to_crest + down < 0.0)
                slope = np.where(below, (to_crest + down) / sqrt(2), np.hypot(to_crest, down))
                sampled = min(sampled, slope.min())
        # samples can only be farther; how much: the sagitta of 1 mm along and 3 degrees round, and half a
        # millimeter along at a bar's end that runs toward the face at most; at a re-entrant corner the crest
        # is mitered, and the samples know it rounded: the miter sticks out by leg * (sqrt(2) - 1)
        miter = leg * (sqrt(2) - 1.0) if outline is ELL else 0.0
        assert -1e-6 <= sampled - gap <= 0.06 + miter, (part, Face(face), gap, sampled)
