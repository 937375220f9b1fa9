"""Rods, nuts, washers and plate holes against the published tables, and by arithmetic of their own.

ASTM F1554-18 Table 2 (stress areas of 1 1/4 in and larger from memory); ASME B18.2.2; ASTM F436 (1 3/4 in and
larger from memory); ASTM F844; AISC Design Guide 1, 2nd ed., Table 2.3; later AISC Manuals (from memory).
"""

from __future__ import annotations

from itertools import pairwise
from math import sqrt

import pytest

from models.catalogue import (
    NotInCatalogue,
    f436_washer,
    f844_washer,
    heavy_hex_nut,
    largest_hole,
    rod_size,
    rod_sizes,
    thread,
)

INCH = 25.4

# rod in: threads per in, stress area in2, flats, corners, height, F436 OD, (F844 OD, t)
RODS = {
    0.75: (10, 0.334, 1.250, 1.443, 0.758, 1.469, (2, 0.148)),
    0.875: (9, 0.462, 1.438, 1.660, 0.885, 1.750, (2.25, 0.165)),
    1.0: (8, 0.606, 1.625, 1.876, 1.012, 2.000, (2.5, 0.165)),
    1.125: (7, 0.763, 1.812, 2.093, 1.139, 2.250, (2.75, 0.165)),
    1.25: (7, 0.969, 2.000, 2.309, 1.251, 2.500, (3, 0.165)),
    1.5: (6, 1.405, 2.375, 2.742, 1.505, 3.000, (3.5, 0.180)),
    1.75: (5, 1.90, 2.750, 3.175, 1.759, 3.375, (4, 0.180)),
    2.0: (4.5, 2.50, 3.125, 3.608, 2.013, 3.75, (4.5, 0.213)),
    2.5: (4, 4.00, 3.875, 4.474, 2.505, 4.5, None),
}
# rod in: largest hole, washer, washer thickness, slack as worked out
HOLES = {
    0.75: (1.3125, 2, 0.25, 0.281),
    0.875: (1.5625, 2.5, 0.3125, 0.344),
    1.0: (1.8125, 3, 0.375, 0.406),
    1.25: (2.0625, 3, 0.5, 0.406),
    1.5: (2.3125, 3.5, 0.5, 0.406),
    1.75: (2.75, 4, 0.625, 0.500),
    2.0: (3.25, 5, 0.75, 0.625),
    2.5: (3.75, 5.5, 0.875, 0.625),
}
LATER = {1.0: 1.875, 1.25: 2.125, 1.5: 2.375, 1.75: 2.875}


@pytest.mark.parametrize("rod", RODS)
def test_a_rod_and_its_hardware_are_the_printed_ones(rod: float) -> None:
    per_inch, stress, flats, corners, height, f436, f844 = RODS[rod]
    found, nut = thread(rod * INCH), heavy_hex_nut(rod * INCH)
    assert found.pitch == pytest.approx(INCH / per_inch, abs=1e-9)
    assert found.stress_area == pytest.approx(stress * INCH**2, abs=1e-6)
    assert (nut.flats, nut.corners, nut.height) == pytest.approx([v * INCH for v in (flats, corners, height)])
    assert f436_washer(rod * INCH).outside == pytest.approx(f436 * INCH)
    assert f436_washer(rod * INCH).thickness is None
    if f844 is None:
        with pytest.raises(NotInCatalogue):
            f844_washer(rod * INCH)
    else:
        washer = f844_washer(rod * INCH)
        assert (washer.outside, washer.thickness) == pytest.approx([v * INCH for v in f844])
    assert ("memory" in found.source) == (rod >= 1.25)
    assert "F1554-18" in found.source
    assert "B18.2.2" in nut.source


@pytest.mark.parametrize("rod", RODS)
def test_a_stress_area_follows_from_its_thread(rod: float) -> None:
    """0.7854 (d - 0.9743 / n)2, ASME B1.1's tensile stress area (from memory), to the printed digits."""
    per_inch, printed = RODS[rod][:2]
    digits = 0.00501 if rod > 1.5 else 0.000501
    assert 0.7854 * (rod - 0.9743 / per_inch) ** 2 == pytest.approx(printed, abs=digits)
    assert thread(rod * INCH).stress_area == pytest.approx(
        0.7854 * (rod * INCH - 0.9743 * INCH / per_inch) ** 2, abs=digits * INCH**2
    )


@pytest.mark.parametrize("rod", RODS)
def test_a_heavy_hex_nut_is_a_hexagon_of_its_series(rod: float) -> None:
    """Flats are 1 1/2 d + 1/8 in (ASME B18.2.2, from memory), corners flats x 2 / sqrt 3, to a thousandth.

    The 1.712 in flats of a 1 1/8 in nut that have been seen in print fail both.
    """
    nut = heavy_hex_nut(rod * INCH)
    exact = 1.5 * rod + 0.125
    assert nut.flats / INCH == pytest.approx(exact, abs=0.000501)
    assert nut.corners / INCH == pytest.approx(exact * 2.0 / sqrt(3.0), abs=0.000501)
    assert abs(1.712 - (1.5 * 1.125 + 0.125)) > 0.09


def test_every_listed_rod_has_thread_and_nut_and_no_other_does() -> None:
    assert [diameter / INCH for _, diameter in rod_sizes()] == pytest.approx(list(RODS))
    assert rod_size(28.575) == "1 1/8 in"
    assert rod_size(24.0) is None
    for absent in (0.5, 0.625, 2.25, 24 / INCH):
        for table in (thread, heavy_hex_nut, f436_washer, f844_washer):
            with pytest.raises(NotInCatalogue, match="rods listed are 3/4 in"):
                table(absent * INCH)


@pytest.mark.parametrize("rod", HOLES)
def test_a_largest_hole_is_the_printed_one_and_leaves_the_slack_worked_out(rod: float) -> None:
    hole, washer, thickness, slack = HOLES[rod]
    found = largest_hole(rod * INCH, "dg1-2")
    assert (found.hole, found.washer, found.washer_thickness) == pytest.approx(
        [v * INCH for v in (hole, washer, thickness)]
    )
    assert (found.hole / INCH - rod) / 2.0 == pytest.approx(slack, abs=0.000501)
    assert found.washer is not None
    assert found.washer > found.hole  # a washer that falls through its hole is no washer
    assert "Design Guide 1, 2nd ed." in found.source


def test_the_hole_of_a_bigger_rod_is_bigger() -> None:
    """The 2 1/2 in rod's hole that has been printed as 3 1/4 in (it is 3 3/4) would be the 2 in rod's."""
    holes = [largest_hole(rod * INCH, "dg1-2").hole for rod in HOLES]
    assert all(a < b for a, b in pairwise(holes))
    assert holes[-1] == pytest.approx(3.75 * INCH)


def test_later_manuals_are_kept_apart() -> None:
    for rod, hole in LATER.items():
        found = largest_hole(rod * INCH, "manual-later")
        assert found.hole == pytest.approx(hole * INCH)
        assert found.hole > largest_hole(rod * INCH, "dg1-2").hole
        assert found.washer is None
        assert "memory" in found.source
    for rod in set(HOLES) - set(LATER):
        with pytest.raises(NotInCatalogue):
            largest_hole(rod * INCH, "manual-later")


def test_placing_tolerance_fits_the_slack_along_one_axis_and_not_along_both() -> None:
    """ACI 117-10 2.3.4.2 per diameter (+-1/4, 3/8, 1/2 in) against the slack of Design Guide 1's holes."""
    for rod in HOLES:
        tolerance = 0.25 if rod <= 0.875 else 0.375 if rod <= 1.5 else 0.5
        slack = (largest_hole(rod * INCH, "dg1-2").hole / INCH - rod) / 2.0
        assert tolerance <= slack + 1e-9
        assert tolerance * sqrt(2.0) > slack
        if rod == 1.75:
            assert slack == pytest.approx(tolerance)
