"""Fields that sheets are made from: paper, a bag's yield, a plate's finish, revision and welds."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.problems import BadInput
from models.reading.site_file import read_site
from tests.support.example_site import SITE, write

PLATE = '        cutouts: [{round: 2"}]\n'
SAID = (
    "        finish: hot dip galvanized\n"
    "        revision: C\n"
    "        welds:\n"
    "          - {what: bars to plate as detail 4, where: shop}\n"
    "          - {what: post to plate as detail 5, where: field, flush: yes}\n"
)


def with_site(line: str) -> str:
    return SITE.replace("  units: ft-in\n", f"  units: ft-in\n  {line}\n")


def test_what_a_plate_says(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path, SITE.replace(PLATE, PLATE + SAID)))
    plate = spec.piers[2].seat.plate
    assert plate is not None
    assert (plate.finish, plate.revision) == ("hot dip galvanized", "C")
    assert [(w.where, w.flush) for w in plate.welds] == [("shop", False), ("field", True)]


@pytest.mark.parametrize(("said", "paper"), [("arch D", "arch D"), ("a4", "A4"), ("LETTER", "letter")])
def test_paper_is_named_in_any_case(said: str, paper: str, tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path, with_site(f"paper: {said}")))
    assert spec.site.paper == paper


def test_a_bag_of_grout(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path, with_site("grout bag: 0.45 cu ft")))
    assert spec.site.grout_bag == pytest.approx(0.45 * 304.8**3)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("paper: foolscap", "write one of letter, tabloid"),
        ("grout bag: 0.45", "write 0.45 cu ft, 12.7 L or 0.0127 m3"),
        ("grout bag: 0 L", "grout bag"),
    ],
)
def test_what_can_not_be_is_one_line(line: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput) as bad:
        read_site(write(tmp_path, with_site(line)))
    (problem,) = bad.value.problems
    assert says in str(problem)
    assert "line 4" in str(problem)
