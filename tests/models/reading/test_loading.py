"""What reads well but cannot be built is told at its place in the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.problems import BadInput
from models.reading.loading import load_site
from tests.support.example_site import SITE, line_of, write

# Inside its ties the cage is 18 - 2 x 2.5 - 2 x .375 = 12.25 in wide: at most 16 bars of .75 in side by side
# in a face, 60 round the cage. The reader does not add this up; the layout of the cage does.
TOO_MANY = "count: 70"


def test_the_example_is_built(tmp_path: Path) -> None:
    site = load_site(write(tmp_path))
    assert [pier.mark for pier in site.piers] == ["P1", "P2", "P3"]
    assert len(site.sha256) == 64
    assert all(pier.parts for pier in site.piers)


def test_what_piers_of_a_kind_share_is_told_once_at_the_kind(tmp_path: Path) -> None:
    text = SITE.replace("count: 8", TOO_MANY)
    with pytest.raises(BadInput) as told:
        load_site(write(tmp_path, text))
    (problem,) = told.value.problems
    assert problem.place.line == line_of(text, "  tall:")
    assert str(problem).startswith("site.yaml, line 24, column 3: kind tall (piers P1, P2): ")
    assert "side by side" in str(problem)


def test_what_one_pier_has_is_told_at_its_mark(tmp_path: Path) -> None:
    text = SITE.replace('ties: {spacing: 8"}', f"verticals: {{{TOO_MANY}}}")
    with pytest.raises(BadInput) as told:
        load_site(write(tmp_path, text))
    (problem,) = told.value.problems
    assert problem.place.line == line_of(text, "mark: P2")
    assert "pier P2: " in str(problem)
