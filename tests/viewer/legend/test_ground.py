"""What lies under the signs of a key plan: outlines as they lie, each beam once."""

from __future__ import annotations

import numpy as np
import pytest

from models.lengths import FOOT
from models.part import Role
from models.reading.loading import load_site
from models.site import Site
from tests.viewer.running import DEMO
from viewer.legend.ground import beams_of, origin_of, pier_outline


@pytest.fixture(scope="module")
def site() -> Site:
    return load_site(DEMO / "reedbank.yaml")


def test_the_origin_is_the_middle_of_the_piers(site: Site) -> None:
    # piers.csv: 6 columns and 4 rows, 10 ft apart; P1 stands 25 ft west and 15 ft south of the middle.
    first = np.array([site.piers[0].spec.x, site.piers[0].spec.y])
    assert (first - origin_of(site)).tolist() == pytest.approx([-25.0 * FOOT, -15.0 * FOOT])


def test_an_outline_lies_about_its_pier_and_keeps_its_area(site: Site) -> None:
    origin = origin_of(site)
    for pier in site.piers:
        x, y = (pier_outline(pier, origin) + origin - [pier.spec.x, pier.spec.y]).T
        area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0
        ring = pier.concrete.outline.outer
        assert ring.area - 5.0 * ring.perimeter <= area <= ring.area + 1e-3  # arcs are true to 5 mm
        if not ring.sweeps.any():
            assert area == pytest.approx(ring.area)
        assert x.min() < 0.0 < x.max()
        assert y.min() < 0.0 < y.max()


@pytest.mark.parametrize(("role", "listed"), [(Role.BEAM, "beams"), (Role.GRADE_BEAM, "grade_beams")])
def test_a_beam_that_many_piers_have_is_there_once(site: Site, role: Role, listed: str) -> None:
    made = beams_of(site, role, origin_of(site))
    assert len(made) == len(getattr(site.spec, listed)) > 0
    assert len({beam.name for beam in made}) == len(made)
