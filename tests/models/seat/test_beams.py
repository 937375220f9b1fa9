"""Beams over several piers and grade beams under them: one thing, seen from each pier's own frame."""

from __future__ import annotations

from math import cos, pi, radians, sin
from typing import Any

import numpy as np
import pytest

from models.build import CannotBuild
from models.part import Role, Stage
from models.pier import Pier
from models.site import Site
from models.solids import Prism
from tests.support.hardware import FREE, INCH, beam_seat, pier, site

BEAM: dict[str, Any] = {"name": "B1", "piers": ["P1", "P2"], "width": 133, "depth": 400, "hole": 27}


def beam_of(found: Pier) -> Prism:
    solid = found.part("B1/beam").solid
    assert isinstance(solid, Prism)
    return solid


def corners(found: Pier, solid: Prism) -> np.ndarray[Any, Any]:
    """(4, 2): the corners of a prism's plan in site axes."""
    plan = solid.outline.outer.starts
    return found.frame.points(solid.motion.points(np.column_stack([plan, np.zeros(len(plan))])))[:, :2]


def holes(found: Pier, solid: Prism) -> list[list[float]]:
    """Centers of a prism's holes in the pier's frame."""
    centers = np.array([[*hole.centers[0], 0.0] for hole in solid.outline.holes]).reshape(-1, 3)
    return np.round(solid.motion.points(centers)[:, :2], 6).tolist()


def test_a_beam_runs_past_its_piers_and_is_drilled_at_their_rods() -> None:
    made = site(
        pier("P1", seat=beam_seat()),
        pier("P2", x=3000, top=-20, seat=beam_seat()),
        beams=[BEAM | {"overhang": [250, 400], "offset": 10, "above": 5}],
    )
    first, second = made.piers
    assert np.allclose(
        corners(first, beam_of(first)), [[-250, -56.5], [3400, -56.5], [3400, 76.5], [-250, 76.5]]
    )
    assert np.allclose(corners(second, beam_of(second)), corners(first, beam_of(first)))
    # it lies on the highest pier
    assert (beam_of(first).bottom, beam_of(first).top) == (5, 405)
    assert (beam_of(second).bottom, beam_of(second).top) == (25, 425)
    assert holes(first, beam_of(first)) == [[-100, 0], [100, 0], [2900, 0], [3100, 0]]
    assert beam_of(first).volume == pytest.approx((3650 * 133 - 4 * pi / 4 * 27**2) * 400)
    part = first.part("B1/beam")
    assert part.role is Role.BEAM
    assert part.stage is Stage.SET
    assert part.label == "beam B1"
    assert {"P1/rod/1", "P1/rod/2", "P1/washer/1"} <= part.touches


def test_washers_and_nuts_stand_on_the_beam() -> None:
    made = site(pier("P1", seat=beam_seat()), pier("P2", x=3000, seat=beam_seat()), beams=[BEAM])
    washer, nut = made.piers[1].part("P2/washer/1"), made.piers[1].part("P2/nut/1")
    assert isinstance(washer.solid, Prism)
    assert isinstance(nut.solid, Prism)
    assert (washer.solid.bottom, washer.solid.top) == (400, 406)
    assert (nut.solid.bottom, nut.solid.top) == pytest.approx((406, 406 + 1.012 * INCH))
    assert washer.touches == {"P2/rod/1", "P2/nut/1", "B1/beam"}


def test_the_beam_is_the_same_in_every_frame() -> None:
    """Piers turned this way and that, their rods kept under the beam; its holes are at the rods in each."""
    angle, length = 37.0, 2500.0
    end = {"x": length * cos(radians(angle)), "y": length * sin(radians(angle))}
    turned = beam_seat(
        rods=beam_seat()["rods"] | {"pattern": {"at": [[-100, 0], [100, 0]], "turn": angle - 20}}
    )
    aligned = beam_seat(rods=beam_seat()["rods"] | {"pattern": {"at": [[-100, 0], [100, 0]]}})
    made = site(
        pier("P1", turn=20, seat=turned),
        pier("P2", turn=angle, seat=aligned, **end),
        beams=[BEAM | {"overhang": 200}],
    )
    first, second = made.piers
    assert np.allclose(corners(first, beam_of(first)), corners(second, beam_of(second)), atol=1e-9)
    for found in made.piers:
        rods = [p.solid.knots[0, :2] for p in found.parts if p.role is Role.ROD]
        assert len(rods) == 2
        near = [min(np.hypot(*(np.array(h) - rod)) for h in holes(found, beam_of(found))) for rod in rods]
        assert max(near) < 1e-5
        washer = found.part(f"{found.mark}/washer/1").solid
        assert isinstance(washer, Prism)
        # a square washer lies square to the beam: a side of it runs with the beam
        side = washer.outline.outer.starts[1] - washer.outline.outer.starts[0]
        run = beam_of(found).motion.rotation[:2, 0]
        assert abs(side[0] * run[1] - side[1] * run[0]) < 1e-9


def test_survey_coordinates_cost_no_digit() -> None:
    def made(x: float, y: float) -> Site:
        return site(
            pier("P1", x=x, y=y, turn=30, seat=beam_seat()),
            pier("P2", x=x + 3000, y=y + 500, seat=beam_seat()),
            beams=[BEAM | {"overhang": 300}],
            grade_beams=[
                {
                    "name": "GB1",
                    "start": [x - 500, y],
                    "end": [x + 900, y],
                    "width": 900,
                    "top": -1500,
                    "depth": 600,
                },
                {
                    "name": "GB2",
                    "outline": FREE | {"center": [x + 3000, y + 500]},
                    "top": -1500,
                    "depth": 600,
                },
            ],
        )

    for near, far in zip(made(0.0, 0.0).piers, made(4.5e9, 1.25e9).piers, strict=True):
        assert [part.id for part in near.parts] == [part.id for part in far.parts]
        for a, b in zip(near.parts, far.parts, strict=True):
            if isinstance(a.solid, Prism) and isinstance(b.solid, Prism):
                assert np.array_equal(a.solid.outline.outer.starts, b.solid.outline.outer.starts)
                assert np.array_equal(a.solid.motion.shift, b.solid.motion.shift)
                assert a.solid.volume == b.solid.volume


def test_a_rod_off_the_beam_gets_no_hole_washer_or_nut() -> None:
    at_edge = beam_seat(rods=beam_seat()["rods"] | {"pattern": {"at": [[-100, 0], [100, 60], [0, 200]]}})
    made = site(pier("P1", seat=at_edge), beams=[BEAM | {"piers": ["P1"], "direction": 0, "overhang": 300}])
    found = made.piers[0]
    # rod 2 stands within the beam, but its hole (27 wide, 60 off the middle of 133) would break out
    assert holes(found, beam_of(found)) == [[-100, 0]]
    on = {part.id for part in found.parts if part.role in (Role.NUT, Role.WASHER)}
    assert on == {"P1/washer/1", "P1/nut/1", "P1/washer/2", "P1/nut/2"}


def test_listed_holes_are_drilled_where_they_are_listed() -> None:
    beam = BEAM | {
        "piers": ["P1"],
        "direction": 90,
        "overhang": 300,
        "offset": -15,
        "holes_at": [[-80, 0], [80, 5]],
    }
    made = site(pier("P1", seat=beam_seat()), beams=[beam])
    # the beam runs north: along is y, left of its center line is -x, and it lies 15 to the right
    assert holes(made.piers[0], beam_of(made.piers[0])) == [[15, -80], [10, 80]]


def test_a_hole_that_nobody_sized_is_as_wide_as_its_rod() -> None:
    made = site(
        pier("P1", seat=beam_seat()),
        beams=[BEAM | {"piers": ["P1"], "direction": 0, "overhang": 300, "hole": None}],
    )
    solid = beam_of(made.piers[0])
    assert solid.volume == pytest.approx((600 * 133 - 2 * pi / 4 * INCH**2) * 400)


def test_without_a_beam_nothing_stands_on_the_rods() -> None:
    made = site(pier("P1", seat=beam_seat()))
    assert not {Role.NUT, Role.WASHER, Role.BEAM} & {part.role for part in made.piers[0].parts}


@pytest.mark.parametrize(
    ("beam", "says"),
    [
        ({"piers": ["P1"], "overhang": 300}, "needs its direction"),
        ({"piers": ["P1"], "direction": 0}, "has no length"),
        ({"piers": ["P1", "P9"]}, "runs over P9"),
        ({"hole": None, "holes_at": [[0, 0]]}, "the diameter of its holes"),
        ({"holes_at": [[0, 60]], "overhang": 300}, "hole 1 runs out of beam B1"),
    ],
)
def test_a_beam_that_cannot_be_is_refused_in_one_line(beam: dict[str, Any], says: str) -> None:
    with pytest.raises(CannotBuild, match=says):
        site(pier("P1", seat=beam_seat()), pier("P2", x=3000), beams=[BEAM | beam])


def test_a_pier_stands_on_the_grade_beams_under_its_center() -> None:
    strips = [
        {"name": "GB1", "start": [-1000, 0], "end": [4000, 0], "width": 900, "top": -1450, "depth": 600},
        {"name": "GB2", "start": [3000, -450], "end": [3000, 5000], "width": 900, "top": -1500, "depth": 600},
        {"name": "GB3", "outline": {"square": 2000, "center": [0, 9000]}, "top": -1500, "depth": 600},
    ]
    made = site(
        pier("P1", turn=25),
        pier("P2", x=3000),
        pier("P3", y=9000),
        pier("P4", y=451),
        pier("P5", x=4000.2, y=-450),
        grade_beams=strips,
    )
    under = [[p.id for p in found.parts if p.role is Role.GRADE_BEAM] for found in made.piers]
    assert under == [
        ["GB1/grade-beam"],
        ["GB1/grade-beam", "GB2/grade-beam"],
        ["GB3/grade-beam"],
        [],
        ["GB1/grade-beam"],
    ]
    assert [found.grade_beam for found in made.piers] == [
        "GB1/grade-beam", "GB1/grade-beam", "GB3/grade-beam", None, "GB1/grade-beam"
    ]  # fmt: skip
    solid = made.piers[0].part("GB1/grade-beam").solid
    assert isinstance(solid, Prism)
    assert (solid.bottom, solid.top) == (-2050, -1450)
    assert solid.volume == pytest.approx(5000 * 900 * 600)
    assert np.allclose(
        corners(made.piers[0], solid), [[-1000, -450], [4000, -450], [4000, 450], [-1000, 450]]
    )
    assert np.allclose(
        corners(made.piers[2], made.piers[2].part("GB3/grade-beam").solid),
        [[-1000, 8000], [1000, 8000], [1000, 10000], [-1000, 10000]],
    )
