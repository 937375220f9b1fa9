"""The rule books' figures of ties and of longitudinal steel against the documents that state them.

ACI 318-19: section 3 of the published values, each as read or from memory as its source says.
EN 1992-1-1: 9.5 (read in excerpt), 9.5.2 and 9.5.3(4), (6) from memory.
"""

from __future__ import annotations

import pytest

from clash.books import books
from clash.needs.need import Need
from models.catalogue import bar, bar_names
from models.lengths import Units

INCH = 25.4
ACI, EN = books()["aci-318-19"], books()["en-1992"]


def value(need: Need | None) -> float:
    assert need is not None
    assert need.value is not None
    return need.value


@pytest.mark.parametrize(
    ("bars", "tie", "inches"), [(("No. 3", "No. 6", "No. 9", "No. 10"), "No. 3", 0.375),
                                (("No. 11", "No. 14", "No. 18"), "No. 4", 0.5)],
)  # fmt: skip
def test_aci_tie_size(bars: tuple[str, ...], tie: str, inches: float) -> None:
    # 25.7.2.2 (read)
    for size in bars:
        assert value(ACI.tie_size(bar(size).diameter)) / INCH == pytest.approx(inches)
    assert value(ACI.tie_size(35.7)) == pytest.approx(0.5 * INCH)  # CSA 35M, the metric No. 11
    assert value(ACI.tie_size(32.0)) == pytest.approx(0.375 * INCH)


@pytest.mark.parametrize(
    ("bar_in", "tie_in", "side_in", "most"),
    # 25.7.2.1(b) (read): 16 d_b, 48 d_tie, the least side.
    [(0.75, 0.5, 24.0, 12.0), (1.27, 0.375, 24.0, 18.0), (1.27, 0.5, 14.0, 14.0)],
)
def test_aci_tie_spacing(bar_in: float, tie_in: float, side_in: float, most: float) -> None:
    for near in (False, True):
        sides = (side_in * INCH, 2.0 * side_in * INCH)
        need = ACI.tie_spacing(bar_in * INCH, tie_in * INCH, sides, near)
        assert value(need) / INCH == pytest.approx(most)
    assert ACI.close_ties(bar_in * INCH, (100.0, 100.0)) == (0.0, False)


def test_aci_ties() -> None:
    # 25.7.2.1(a) (read): 4/3 d_agg; 10.7.6.2.1 (read in excerpt): half a spacing; 25.7.2.3: 6 in (read), 135
    # degrees (memory), alternate bars (read); 10.7.3.1 (memory): 3 and 4 bars; 25.7.2.4 (memory): 6 in.
    assert value(ACI.tie_clear(12.7, 0.75 * INCH)) == pytest.approx(INCH)
    assert ACI.tie_clear(12.7, None).missing is not None
    assert value(ACI.first_tie(203.2)) == pytest.approx(101.6)
    holding = ACI.holding()
    assert value(holding.clear) == pytest.approx(6 * INCH)
    assert (value(holding.in_a_row), value(holding.angle), holding.both_sides) == (1.0, 135.0, True)
    assert [value(ACI.fewest_bars(corners)) for corners in (0, 3, 4, 6)] == [4.0, 3.0, 4.0, 4.0]
    assert value(ACI.hoop_lap()) == pytest.approx(6 * INCH)


@pytest.mark.parametrize(("tie", "count"), [("No. 3", 3.0), ("No. 4", 2.0), ("No. 5", 2.0)])
def test_aci_top_ties(tie: str, count: float) -> None:
    # 10.7.6.1.5 (read): 2 No. 4 or 3 No. 3 within 5 in, around at least 4 verticals.
    group = ACI.top_ties(bar(tie).diameter)
    assert group is not None
    assert value(group.count) == count
    assert value(group.within) == pytest.approx(5 * INCH)
    assert value(group.verticals) == 4.0


def test_aci_bends_and_tails() -> None:
    # 25.3.1 (read in excerpt): 6, 8, 10 d_b; 90 degrees 12 d_b; 180 degrees max(4 d_b, 2 1/2 in).
    for size in bar_names(Units.FT_IN):
        d_b = bar(size).diameter
        number = int(size.removeprefix("No. "))
        times = 6.0 if number <= 8 else 8.0 if number <= 11 else 10.0
        assert value(ACI.least_bend(d_b, "main")) == pytest.approx(times * d_b)
        assert value(ACI.least_tail(d_b, "main", 90)) == pytest.approx(12.0 * d_b)
        assert value(ACI.least_tail(d_b, "main", 180)) == pytest.approx(max(4.0 * d_b, 2.5 * INCH))
        # 25.3.2 (from memory): 4 d_b No. 3-5, 6 d_b No. 6-8; 135: max(6 d_b, 3); 90: max(6 d_b, 3), 12 d_b.
        if number > 8:
            assert ACI.least_bend(d_b, "tie") is None
            assert ACI.least_tail(d_b, "tie", 135) is None
            continue
        small = number <= 5
        assert value(ACI.least_bend(d_b, "tie")) == pytest.approx((4.0 if small else 6.0) * d_b)
        assert value(ACI.least_tail(d_b, "tie", 135)) == pytest.approx(max(6.0 * d_b, 3 * INCH))
        right = max(6.0 * d_b, 3 * INCH) if small else 12.0 * d_b
        assert value(ACI.least_tail(d_b, "tie", 90)) == pytest.approx(right)


def test_metric_bars_take_the_row_of_the_bar_they_stand_for() -> None:
    # CSA 15M is 16.0 mm, a No. 5 (.625 in, 15.9): 4 d_b as ties; 20M is 19.5 mm, a No. 6: 6 d_b.
    assert value(ACI.least_bend(16.0, "tie")) == pytest.approx(64.0)
    assert value(ACI.least_bend(19.5, "tie")) == pytest.approx(117.0)


@pytest.mark.parametrize(
    ("use", "height", "least", "asked"),
    [
        # 10.6.1.1 (memory): columns .01; pedestals .005; a pier no taller than 3 x its least side is one.
        ("column", 100.0, 1.0, False),
        ("pedestal", 1000.0, 0.5, False),
        (None, 300.0, 0.5, False),
        (None, 300.5, 0.5, True),
    ],
)
def test_aci_steel(use: object, height: float, least: float, asked: bool) -> None:
    need = ACI.least_steel(use, height, 100.0)
    assert need.value == least
    assert (need.missing is not None) == asked
    assert ACI.most_steel(True).value == ACI.most_steel(False).value == 8.0


def test_en_links() -> None:
    # 9.5.3 (read in excerpt): max(6, phi / 4); min(20 phi, b, 400), x 0.6 near laps and ends (memory).
    assert value(EN.tie_size(16.0)) == 6.0
    assert value(EN.tie_size(32.0)) == 8.0
    for bar_mm, side, most in ((12.0, 500.0, 240.0), (25.0, 300.0, 300.0), (32.0, 900.0, 400.0)):
        assert value(EN.tie_spacing(bar_mm, 8.0, (side, 2 * side), False)) == pytest.approx(most)
        assert value(EN.tie_spacing(bar_mm, 8.0, (side, 2 * side), True)) == pytest.approx(0.6 * most)
    assert EN.close_ties(14.0, (300.0, 600.0)) == (600.0, False)
    assert EN.close_ties(16.0, (300.0, 600.0)) == (600.0, True)
    # 8.2(2) (read): d_g 20: 25.
    assert value(EN.tie_clear(10.0, 20.0)) == 25.0
    assert EN.tie_clear(10.0, None).missing is not None
    # 9.5.3(6) (memory): 150 mm.
    assert value(EN.holding().clear) == 150.0
    assert EN.holding().angle is None
    assert EN.first_tie(200.0) is None
    assert EN.top_ties(12.0) is None
    assert EN.hoop_lap() is None


def test_en_bends_tails_and_steel() -> None:
    # 8.3 (read): 4 phi up to 16, 7 phi above; Figure 8.5 (memory): 135 degrees max(5 phi, 50).
    assert value(EN.least_bend(16.0, "tie")) == 64.0
    assert value(EN.least_bend(20.0, "main")) == 140.0
    assert value(EN.least_tail(8.0, "tie", 135)) == 50.0
    assert value(EN.least_tail(12.0, "tie", 135)) == 60.0
    assert EN.least_tail(12.0, "main", 90) is None
    # 9.5.2 (memory): .002, .04, and .08 at laps; 4 bars in a round column, one in each corner.
    assert value(EN.least_steel(None, 1.0, 1.0)) == pytest.approx(0.2)
    assert (EN.most_steel(False).value, EN.most_steel(True).value) == (4.0, 8.0)
    assert [value(EN.fewest_bars(corners)) for corners in (0, 3, 6)] == [4.0, 3.0, 6.0]
