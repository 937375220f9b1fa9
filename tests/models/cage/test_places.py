"""Where the steel of a cage stands, by arithmetic, and what people call it."""

from math import cos, radians, sin, sqrt

import numpy as np
import pytest

from models.build import CannotBuild, build_site
from models.cage.tie_shapes import climbing_bulge, closed_tie, hoop
from models.part import Exit, Role
from tests.support.cages import DOWELS, IN, TIES, caged, pier, pier_spec, site_spec
from tests.support.centerlines import assert_smooth


def at(cage, part_id):
    return cage.part(part_id).solid.knots[0, :2]


def test_corner_vertical_is_tangent_to_the_inside_of_the_bend():
    # Tie: 24 - 2 x 1.5 = 21 in out to out; No. 3, inside bend radius 2 x .375 = .75; No. 8 radius .5.
    # Center of the bend 10.5 - .375 - .75 = 9.375 from the axes; the bar .25 farther out on the diagonal.
    cage = caged()
    assert at(cage, "P7/vertical/1") / IN == pytest.approx([-(9.375 + 0.25 / sqrt(2.0))] * 2)
    # A bar between corners touches the straight leg: 10.5 - .375 - .5.
    assert at(cage, "P7/vertical/2") / IN == pytest.approx([0.0, -9.625])
    assert [p.id for p in cage.parts if p.role is Role.VERTICAL] == [f"P7/vertical/{k}" for k in range(1, 9)]
    solid = cage.part("P7/vertical/2").solid
    assert solid.knots[:, 2] / IN == pytest.approx([-57.0, -1.5])  # covers of 3 in and 1 1/2 in


def test_bars_are_shared_out_by_the_lengths_of_the_faces():
    wide = caged({"rectangle": ["40 in", "20 in"]}, verticals={"size": "No. 8", "count": 10})
    y = [at(wide, f"P7/vertical/{k}")[1] / IN for k in range(1, 11)]
    # 37 x 17 in: 6 bars between corners; 6 x 37 / 108 = 2.06 in a long face, .94 in a short one.
    assert sum(v == pytest.approx(7.625) for v in y) == 2
    assert sum(v == pytest.approx(-7.625) for v in y) == 2
    per_face = caged(verticals={"size": "No. 8", "per_face": {"x": 4, "y": 3}})
    assert sum(p.role is Role.VERTICAL for p in per_face.parts) == 2 * 4 + 2 * 1


def test_round_cage():
    cage = caged({"round": "30 in"}, verticals={"size": "No. 6", "count": 8, "start": 22.5})
    for k in range(8):  # 15 - 1.5 - .375 - .375 = 12.75 from the axis
        a = radians(22.5 + 45.0 * k)
        assert at(cage, f"P7/vertical/{k + 1}") / IN == pytest.approx([12.75 * cos(a), 12.75 * sin(a)])
    hoop = cage.part("P7/hoop/1").solid
    assert_smooth(hoop)
    # 8 bars on a hoop of radius 13.3125: a step of 10.46 in is the least that laps 6 in.
    helix = np.hypot(13.3125 * (2.25 * np.pi), 0.375 * 1.125)
    hooks = 2.0 * (3.0 + 0.75 * np.pi * (0.75 + 0.1875))
    assert hoop.length / IN == pytest.approx(helix + hooks, abs=0.002)


def test_hoop_ends_hook_round_verticals_and_laps_are_staggered():
    cage = caged({"round": "30 in"}, verticals={"size": "No. 6", "count": 8})
    ends = []
    for k in (1, 2, 3):
        hoop = cage.part(f"P7/hoop/{k}").solid
        # Where the first and the last bend begin and end on the circle: at a vertical's bearing.
        marks = [np.degrees(np.arctan2(*hoop.knots[i, 1::-1])) % 360.0 for i in (2, -3)]
        assert [round(m / 45.0, 6) % 8 for m in marks] == [round(m / 45.0) % 8 for m in marks]
        ends.append(tuple(round(m / 45.0) % 8 for m in marks))
    assert len(set(ends)) == 3
    lapped = caged({"round": "30 in"}, verticals={"size": "No. 6", "count": 8}, ties=TIES | {"lap": "12 in"})
    assert lapped.part("P7/hoop/1").solid.length > cage.part("P7/hoop/1").solid.length + 10.0 * IN


def test_tie_rises_by_its_diameter_and_its_hooks_move_on_by_a_corner():
    cage = caged()
    corners = []
    for k in range(1, 6):
        tie = cage.part(f"P7/tie/{k}").solid
        assert_smooth(tie)
        assert tie.knots[-1, 2] - tie.knots[0, 2] == pytest.approx(0.375 * IN)
        corners.append(tuple(np.sign(tie.knots[0, :2])))
    assert corners == [(-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)]


def test_crossties_change_ends_level_by_level_and_end_flush_with_the_tie():
    cage = caged(ties=TIES | {"crossties": {"pairs": [[2, 6]]}})
    tails = []
    for k in (1, 2, 3):
        cross = cage.part(f"P7/crosstie/{k}-1").solid
        assert_smooth(cross)
        tails.append(round(np.degrees(cross.angles[1])))
        reach = max(np.abs(cross.knots[:, 1]))  # a 90 degree end's tail lies over the tie's leg
        assert reach + cross.radius == pytest.approx(10.5 * IN)
    assert tails == [135, 90, 135] or tails == [90, 135, 90]


def test_dowels_lap_in_contact_and_reach_into_the_grade_beam():
    cage = caged(dowels=DOWELS)
    for part in cage.parts:
        if part.role is not Role.DOWEL:
            continue
        beside = next(cage.part(t) for t in part.touches if "/vertical/" in t)
        assert np.linalg.norm(part.solid.knots[0, :2] - beside.solid.knots[0, :2]) == pytest.approx(IN)
        assert part.exits == {Exit.BOTTOM}
        assert part.solid.knots[0, 2] / IN == pytest.approx(-60.0 + 30.0)
        assert min(part.solid.knots[:, 2]) / IN == pytest.approx(-60.0 - 18.0 + 0.5)


@pytest.mark.parametrize(
    ("to", "way"), [("out", (0, -1)), ("in", (0, 1)), ("left", (1, 0)), ("right", (-1, 0))]
)
def test_feet_point_as_seen_from_the_center(to, way):
    # The dowel stands south of the center: looking south, left is east.
    dowels = {"size": "No. 8", "at": [["0 in", "-8 in"]], "height": "30 in", "embed": "18 in", "hook_to": to}
    foot = caged(dowels=dowels).part("P7/dowel/1").solid
    assert (foot.knots[-1] - foot.knots[-2])[:2] / (12.0 * IN) == pytest.approx(way, abs=1e-12)


def test_four_dowels_take_the_corners_and_listed_ones_stay_where_they_were_found():
    four = caged(dowels=DOWELS | {"count": 4})
    labels = [p.label for p in four.parts if p.role is Role.DOWEL]
    assert labels == [f"dowel at the {w} corner" for w in ("SW", "SE", "NE", "NW")]
    found = {k: v for k, v in DOWELS.items() if k not in ("count", "embed")} | {"at": [["5 in", "-6 in"]]}
    dowel = caged(dowels=found).part("P7/dowel/1")
    assert dowel.label == "dowel 1 (SE)"
    assert dowel.solid.knots / IN == pytest.approx(np.array([[5, -6, -60], [5, -6, -30]]))


@pytest.mark.parametrize(
    ("turn", "corner", "middle"),
    [
        (0, "at the SW corner", "in the S face, 2nd from the W"),
        (45, "at the S corner", "in the SE face, 2nd from the SW"),
        (90, "at the SE corner", "in the E face, 2nd from the S"),
        (200, "at the NE corner", "in the N face, 2nd from the E"),
    ],
)
def test_labels_take_the_winds_of_the_site(turn, corner, middle):
    turned = pier(turn=turn)
    assert turned.part("P7/vertical/1").label == f"vertical {corner}"
    assert turned.part("P7/vertical/2").label == f"vertical {middle}"
    assert len({p.label for p in turned.parts}) == len(turned.parts)


def test_faces_are_counted_from_the_nearer_end_corners_included():
    cage = caged(verticals={"size": "No. 8", "count": 16})
    labels = [cage.part(f"P7/vertical/{k}").label.removeprefix("vertical ") for k in range(1, 6)]
    assert labels == [
        "at the SW corner",
        "in the S face, 2nd from the W",
        "in the S face, 3rd from the W",
        "in the S face, 2nd from the E",
        "at the SE corner",
    ]


def test_a_pier_is_the_same_in_its_own_frame_wherever_it_stands():
    here, there = (
        caged(dowels=DOWELS),
        pier(
            x="450000 ft",
            y="-300000 ft",
            top="12 ft",
            bottom="7 ft",
            turn=77,
            cage={"verticals": {"size": "No. 8", "count": 8}, "ties": TIES, "dowels": DOWELS},
        ),
    )
    assert [p.id for p in here.parts] == [p.id for p in there.parts]
    for a, b in zip(here.parts, there.parts, strict=True):
        assert np.allclose(a.solid.knots, b.solid.knots, rtol=0.0, atol=1e-6)
        assert a.touches == b.touches


def test_ids_are_unique_on_the_site_and_contacts_are_mutual():
    spec = site_spec(
        *[pier_spec(mark=m, cage=pier_spec()["cage"] | {"dowels": DOWELS}) for m in ("A1", "A2")]
    )
    site = build_site(spec, "")
    ids = [p.id for one in site.piers for p in one.parts]
    assert len(set(ids)) == len(ids)
    for one in site.piers:
        for part in one.parts:
            assert all(part.id in one.part(other).touches for other in part.touches)
    assert ids == [p.id for one in build_site(spec, "").piers for p in one.parts]


def test_free_outline_has_ties_that_follow_it():
    side = [{"x": "-12 in", "y": "-12 in"}, {"x": "12 in", "y": "-12 in"}, {"x": "0 in", "y": "14 in"}]
    three = [["-8 in", "-9.6 in"], ["8 in", "-9.6 in"], ["0 in", "8 in"]]
    cage = caged({"edges": side}, verticals={"size": "No. 8", "at": three})
    tie = cage.part("P7/tie/1").solid
    assert_smooth(tie)
    assert min(tie.knots[:, 1]) - tie.radius == pytest.approx((-12.0 + 1.5) * IN)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        (
            {"concrete": {"cover": {"side": "12 in", "top": "2 in", "bottom": "3 in"}}},
            "leaves no room for a cage",
        ),
        ({"outline": {"square": "6 in"}}, "too small|do not fit"),
        ({"bottom": "-3 in"}, "no length|below the bottom"),
        ({"bottom": "1 in"}, "lower than its top"),
        ({"concrete": {}}, "side cover"),
        ({"concrete": {"cover": {"side": "1.5 in"}}}, "bottom cover"),
        ({"cage": {"verticals": {"size": "No. 8", "count": 3}, "ties": TIES}}, "4 corners"),
        ({"cage": {"verticals": {"size": "No. 8", "count": 100}, "ties": TIES}}, "side by side"),
        (
            {"outline": {"round": "24 in"}, "cage": {"verticals": {"size": "No. 8", "count": 80}}},
            "side by side",
        ),
        (
            {"cage": {"verticals": {"size": "No. 14", "count": 4}, "ties": TIES | {"bend": "1.5 in"}}},
            "tighter",
        ),
        ({"cage": {"verticals": {"size": "No. 8", "count": 12}, "ties": TIES | {"diamond": True}}}, "middle"),
        (
            {
                "cage": {
                    "verticals": {"size": "No. 8", "count": 8},
                    "ties": TIES | {"crossties": {"pairs": [[2, 9]]}},
                }
            },
            "names verticals 2 and 9 of 8",
        ),
        (
            {
                "outline": {"round": "6 in"},
                "cage": {"verticals": {"size": "No. 4", "count": 4}, "ties": TIES},
            },
            "hooks of the No. 3 hoops do not fit",
        ),
    ],
)
def test_a_cage_that_cannot_exist_gets_one_plain_sentence(changes, says):
    with pytest.raises(CannotBuild, match=says) as caught:
        pier(**changes)
    assert caught.value.marks == ("P7",)
    assert len(caught.value.problems) == 1


def test_every_pier_that_cannot_exist_is_named():
    spec = site_spec(*[pier_spec(mark=m, bottom="1 in") for m in ("A", "B")], pier_spec(mark="C"))
    with pytest.raises(CannotBuild) as caught:
        build_site(spec, "")
    assert caught.value.marks == ("A", "B")


def test_metric_bars_take_the_drawn_bends_where_no_table_lists_them():
    csa = {
        "verticals": {"size": "25M", "count": 8},
        "ties": {"size": "10M", "spacing": "300 mm", "bend": "60 mm", "tail": "80 mm"},
        "dowels": {"size": "25M", "count": 4, "height": "700 mm", "embed": "400 mm", "bend": "150 mm"},
    }
    spec = {"concrete": {"cover": {"side": "50 mm", "top": "50 mm", "bottom": "75 mm"}}, "cage": csa}
    with pytest.raises(CannotBuild, match="straight tail of a 90 degree hook is listed for 25M"):
        pier(units="mm", **spec)
    csa["dowels"] |= {"tail": "300 mm"}
    cage = pier(units="mm", **spec)
    # 25M is 25.2 mm: the foot turns on 75 + 12.6 and its tail runs 300 on: 700 + 400 - 12.6 - 87.6 up and
    # down.
    length = 700.0 + 400.0 - 12.6 - 87.6 + np.pi / 2.0 * 87.6 + 300.0
    assert cage.part("P7/dowel/1").solid.length == pytest.approx(length)


def bends(shape, least_radius=0.0):
    """(n, 2001, 3) points along each bend of at least this radius."""
    found = []
    for start, center, axis, angle in zip(shape.knots, shape.centers, shape.axes, shape.angles, strict=False):
        if angle > 0.0 and np.linalg.norm(start - center) > least_radius:
            arm = start - center
            turn = np.linspace(0.0, angle, 2001)[:, None]
            found.append(center + np.cos(turn) * arm + np.sin(turn) * np.cross(axis, arm))
    return np.array(found)


def test_a_hoop_reaches_out_to_its_circle_and_no_further_and_nothing_of_it_stands_above_its_level():
    shape = hoop(200.0, 1.5, 32.0, 12.7, 76.2)
    reach = np.hypot(*np.moveaxis(bends(shape, 100.0), -1, 0)[:2])
    assert np.max(reach) == pytest.approx(200.0, abs=1e-9)
    assert np.min(reach) > 200.0 - 1e-3
    assert np.max(shape.knots[:, 2]) == pytest.approx(0.0, abs=1e-9)


def test_a_dowel_found_against_a_vertical_laps_it_and_one_found_apart_laps_none():
    counted = caged(dowels=DOWELS | {"count": 4})
    x, y = counted.part("P7/dowel/1").solid.knots[0, :2]
    shift = 0.6  # mm: more than the fitting tolerance, away from the corner
    found = caged(
        dowels={k: v for k, v in DOWELS.items() if k != "count"}
        | {"at": [[f"{x} mm", f"{y} mm"], [f"{x - shift * np.sign(x)} mm", f"{y - shift * np.sign(y)} mm"]]}
    )
    assert found.part("P7/dowel/1").touches >= {"P7/vertical/1"}
    assert not {t for t in found.part("P7/dowel/2").touches if "/vertical/" in t}


def test_how_far_climbing_bends_reach_past_level_ones():
    corners = ((200.0, 0.0), (0.0, 200.0), (-200.0, 0.0), (0.0, -200.0))
    reach = np.abs(bends(closed_tie(corners, 31.75, 12.7, 76.2, 0, 0.0))[..., :2]).max(axis=(1, 2))
    # A level bend of radius r stays short of a square corner by r (sqrt 2 - 1).
    level = 200.0 - 31.75 * (sqrt(2.0) - 1.0)
    assert np.min(reach) == pytest.approx(level, abs=1e-5)
    assert np.max(reach) - level == pytest.approx(climbing_bulge(corners, 31.75, 12.7), abs=1e-5)
    assert np.max(reach) - level > 1e-3


def test_diamonds_keep_the_cover_that_the_cage_is_drawn_to():
    cage = caged(ties=TIES | {"diamond": True})
    for k in range(1, 5):
        reach = np.max(np.abs(bends(cage.part(f"P7/diamond/{k}").solid)[..., :2]))
        # 24 in pier, 1.5 in of cover, No. 3: 12 - 1.5 - 0.375 / 2 to the centerline.
        assert 10.3125 * IN - 2e-2 < reach <= 10.3125 * IN + 1e-6
