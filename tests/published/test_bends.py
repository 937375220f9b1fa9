"""Inside bend diameters and hook tails.

ACI 318-19 Table 25.3.1 (main bars) and Table 25.3.2 (ties, from memory); EN 1992-1-1 8.3 (mandrels) and
Figure 8.5 (links' tails, from memory). Diameters: ASTM A615/A615M Table 1.
"""

from __future__ import annotations

import pytest

from models.catalogue import NotInCatalogue, bar, bend_diameter, bend_source, hook_tail

INCH = 25.4
DIAMETER = {
    3: 0.375, 4: 0.5, 5: 0.625, 6: 0.75, 7: 0.875, 8: 1.0, 9: 1.128, 10: 1.27, 11: 1.41, 14: 1.693, 18: 2.257
}  # fmt: skip


@pytest.mark.parametrize("number", DIAMETER)
def test_main_bars_by_aci(number: int) -> None:
    d = DIAMETER[number]
    found = bar(f"No. {number}")
    times = 6 if number <= 8 else 8 if number <= 11 else 10
    assert bend_diameter(found, "main") == pytest.approx(times * d * INCH)
    assert hook_tail(found, "main", 90) == pytest.approx(12 * d * INCH)
    assert hook_tail(found, "main", 180) == pytest.approx(max(4 * d, 2.5) * INCH)
    assert bend_source(found, "main") == "ACI 318-19, 25.3.1"


@pytest.mark.parametrize("number", [3, 4, 5, 6, 7, 8])
def test_ties_by_aci(number: int) -> None:
    d = DIAMETER[number]
    found = bar(f"No. {number}")
    assert bend_diameter(found, "tie") == pytest.approx((4 if number <= 5 else 6) * d * INCH)
    assert hook_tail(found, "tie", 135) == pytest.approx(max(6 * d, 3.0) * INCH)
    assert hook_tail(found, "tie", 90) == pytest.approx((max(6 * d, 3.0) if number <= 5 else 12 * d) * INCH)
    assert bend_source(found, "tie") == "ACI 318-19, 25.3.2 (from memory)"


def test_a_few_in_figures() -> None:
    """No. 4 tie: bend 2 in, tail 3; No. 8: bend 6, tails 12 (90) and 4 (180); No. 11: bend 11.28."""
    four, eight, eleven = bar("No. 4"), bar("No. 8"), bar("No. 11")
    assert bend_diameter(four, "tie") == pytest.approx(2.0 * INCH)
    assert hook_tail(four, "tie", 135) == pytest.approx(3.0 * INCH)
    assert bend_diameter(eight, "main") == pytest.approx(6.0 * INCH)
    assert hook_tail(eight, "main", 90) == pytest.approx(12.0 * INCH)
    assert hook_tail(eight, "main", 180) == pytest.approx(4.0 * INCH)
    assert bend_diameter(eleven, "main") == pytest.approx(11.28 * INCH)


@pytest.mark.parametrize(("size", "times"), [(10, 4), (12, 4), (16, 4), (20, 7), (25, 7), (32, 7), (40, 7)])
def test_mandrels_by_eurocode(size: int, times: int) -> None:
    found = bar(f"{size} mm")
    assert bend_diameter(found, "main") == bend_diameter(found, "tie") == times * size
    assert hook_tail(found, "tie", 135) == max(5 * size, 50)
    assert hook_tail(found, "tie", 90) == max(10 * size, 70)


@pytest.mark.parametrize(
    ("size", "use", "degrees"),
    [
        ("No. 9", "tie", 135),
        ("No. 8", "main", 135),
        ("No. 4", "tie", 180),
        ("25M", "main", 90),
        ("16 mm", "main", 90),
    ],
)
def test_what_no_table_lists_is_not_made_up(size: str, use: str, degrees: int) -> None:
    with pytest.raises(NotInCatalogue, match="the site file has to give it"):
        hook_tail(bar(size), use, degrees)


@pytest.mark.parametrize(("size", "use"), [("No. 9", "tie"), ("25M", "tie"), ("10M", "main")])
def test_a_bend_that_no_table_lists_is_not_made_up(size: str, use: str) -> None:
    for asked in (bend_diameter, bend_source):
        with pytest.raises(NotInCatalogue, match="no bend diameter is listed"):
            asked(bar(size), use)
