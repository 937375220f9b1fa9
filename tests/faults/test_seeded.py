"""What is seeded: every rule, at its limit too, on every outline, in both unit systems, by both books."""

from __future__ import annotations

from collections import Counter

from clash.rule import rules
from tests.faults.harness import SITES, changed
from tests.faults.test_faults import FAULTS
from tests.faults.test_limits import LIMITS

NO_LENGTHS = {
    "column rods",
    "fewest bars",
    "hole without a rod",
    "lapped sizes",
    "rod without a hole",
    "tie size",
}
"""Rules that count, or look at sizes out of a table: nothing of them moves by half a millimeter."""


def test_there_are_150_faults() -> None:
    assert len(FAULTS) + len(LIMITS) >= 150
    names = [one.name for one in (*FAULTS, *LIMITS)]
    assert len(set(names)) == len(names)


def test_every_rule_is_broken_twice() -> None:
    broken = Counter(rule for fault in FAULTS for rule in fault.holds)
    broken.update(limit.rule for limit in LIMITS)
    assert {one.id: broken[one.id] for one in rules() if broken[one.id] < 2} == {}
    assert set(broken) <= {one.id for one in rules()}


def test_every_rule_of_a_length_is_tried_at_its_limit() -> None:
    tried = Counter(limit.rule for limit in LIMITS)
    assert {one.id for one in rules() if tried[one.id] < 2} == NO_LENGTHS


def test_all_outlines_units_books_and_turned_piers() -> None:
    seen = Counter[str]()
    for one in (*FAULTS, *LIMITS):
        site = changed(one.site, {})
        outline = next(iter(site["kinds"]["k"]["outline"]))
        turned = "turned" if site["piers"][0].get("turn") else "not turned"
        seen.update((outline, site["site"]["units"], site["site"]["rules"], turned))
    assert min(seen.values()) >= 10, seen
    assert set(seen) == {
        *("square", "rectangle", "round", "edges"),
        *("ft-in", "mm"),
        *("aci-318-19", "en-1992"),
        *("turned", "not turned"),
    }


def test_every_site_has_a_fault() -> None:
    assert {one.site for one in (*FAULTS, *LIMITS)} == {path.stem for path in SITES.glob("*.yaml")}
