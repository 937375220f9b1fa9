"""One fault of one thing is one finding: a rod with its foot, a pier's dowels."""

from __future__ import annotations

import pytest

from clash.gap_table import Face
from models.part import Exit, Part, Role
from tests.support.tiny import STATED, bar, expect, judged, only, rod, site, vertical

NEED = 50.8  # 2 in, ACI 318-19 Table 20.5.1.3.1 for a 1 in bar exposed to weather


def headed(gap_of_rod: float, gap_of_head: float) -> list[tuple[str, Face, float]]:
    return [("P1/rod/1", Face.BOTTOM, gap_of_rod), ("P1/head/1", Face.BOTTOM, gap_of_head)]


def rod_and_foot() -> list[Part]:
    foot = bar("P1/head/1", Role.HEAD, touches=["P1/rod/1"], label="nut at the foot of rod 1 (SE)")
    return [rod(1, touches=["P1/head/1"]), foot]


@pytest.mark.parametrize(
    ("of_rod", "of_head", "told"),
    [
        (NEED - 1.0, NEED - 2.0, "P1/head/1"),
        (NEED - 2.0, NEED - 1.0, "P1/rod/1"),
        (NEED - 1.0, NEED + 9.0, "P1/rod/1"),
        (NEED + 9.0, NEED - 1.0, "P1/head/1"),
        (NEED - 1.0, NEED - 1.0, "P1/rod/1"),
    ],
)
def test_of_a_rod_and_its_foot_the_one_that_lacks_the_most_is_told(
    of_rod: float, of_head: float, told: str
) -> None:
    built = site(rod_and_foot(), pier={"concrete": {"cover": {"side": NEED, "top": NEED, "bottom": NEED}}})
    (found,) = expect(judged(built, headed(of_rod, of_head)), "cover", holds=True)
    assert found.parts[0] == told
    assert found.measured_mm == min(of_rod, of_head)


def test_two_rods_are_two_findings() -> None:
    parts = [rod(1), rod(2, x=200.0)]
    built = site(parts, pier={"concrete": {"cover": {"side": NEED, "top": NEED, "bottom": NEED}}})
    gaps = [("P1/rod/1", Face.SIDE, NEED - 1.0), ("P1/rod/2", Face.SIDE, NEED - 1.0)]
    assert [f.parts[0] for f in only(judged(built, gaps), "cover")] == ["P1/rod/1", "P1/rod/2"]


def test_an_unknown_gap_of_the_foot_is_not_hidden_by_a_known_one_of_the_rod() -> None:
    built = site(rod_and_foot(), pier={"concrete": {"cover": {"side": NEED, "top": NEED, "bottom": NEED}}})
    found = [f for f in only(judged(built, headed(NEED, float("nan"))), "cover") if "bottom" in f.id]
    assert [(f.level, f.parts[0]) for f in found] == [("NOT CHECKED", "P1/head/1")]


@pytest.mark.parametrize(("short", "holds"), [(0.0, False), (0.5, True)])
def test_the_shortest_lap_of_a_pier_is_told_once(short: float, holds: bool) -> None:
    cage = {
        "verticals": {"size": "No. 8", "count": 8},
        "dowels": {"size": "No. 8", "count": 3, "height": 800.0, "lap": 700.0},
    }

    def dowel(number: int, x: float, high: float) -> Part:
        touches = [f"P1/vertical/{number}"]
        return bar(
            f"P1/dowel/{number}", Role.DOWEL, x, low=-1300.0, high=high, exits=[Exit.BOTTOM], touches=touches
        )

    # Verticals run from -900 mm; a dowel whose top is at -200 mm laps 700 mm of them.
    verticals = [vertical(k, x=100.0 * k) for k in (1, 2, 3)]
    dowels = [dowel(k, 100.0 * k + 25.4, -200.0 - (short if k > 1 else 0.0)) for k in (1, 2, 3)]
    found = expect(judged(site([*verticals, *dowels], pier=STATED | {"cage": cage}), []), "dowel lap", holds)
    if holds:
        assert found[0].measured_mm == pytest.approx(699.5)
        assert found[0].parts == ("P1/dowel/2", "P1/vertical/2")
