"""The site in elevation: the highest seat, and every pier once, near the origin."""

from __future__ import annotations

import numpy as np
import pytest

from models.lengths import INCH
from models.part import Role
from models.reading.loading import load_site
from models.site import Site
from tests.viewer.running import DEMO
from viewer.scene.groups import Group
from viewer.scene.site import highest_placed, highest_seat, middle, site_surfaces


@pytest.fixture(scope="module")
def site() -> Site:
    return load_site(DEMO / "reedbank.yaml")


def test_the_highest_seat_is_the_highest_underside(site: Site) -> None:
    """A plate lies `above` the concrete; where there is none, the beam lies on the concrete itself."""
    found = highest_seat(site)
    level = {
        pier.mark: pier.spec.top + (pier.spec.seat.plate.above if pier.spec.seat.plate else 0.0)
        for pier in site.piers
    }
    assert found.elevation == max(level.values())
    assert not found.placed
    assert all(found.elevation - level[mark] <= 0.5 for mark in found.marks)
    assert all(found.elevation - level[mark] > 0.5 for mark in level.keys() - set(found.marks))


def test_as_placed_what_was_measured_counts() -> None:
    found = highest_placed([(100.0, "P1"), (100.4, "P2"), (99.0, "P3")])
    assert found is not None
    assert (found.elevation, found.marks, found.placed) == (100.4, ("P1", "P2"), True)
    assert highest_placed([]) is None


def test_surfaces_lie_about_the_middle_and_know_their_piers(site: Site) -> None:
    made = site_surfaces(site)
    concrete = made[Group.CONCRETE]
    assert set(concrete.part.tolist()) == set(range(len(site.piers)))
    for k, pier in enumerate(site.piers):
        own = concrete.vertices[np.unique(concrete.faces[concrete.part == k])] + middle(site)
        x, y = pier.spec.x, pier.spec.y
        assert np.abs(own[:, :2] - [x, y]).max() < 40.0 * INCH
        assert own[:, 2].max() == pytest.approx(pier.spec.top)
        assert own[:, 2].min() == pytest.approx(pier.spec.bottom)


def test_a_shared_beam_is_there_once(site: Site) -> None:
    ids = {part.id for pier in site.piers for part in pier.parts if part.role is Role.GRADE_BEAM}
    alone = site_surfaces(site)[Group.GRADE_BEAM]
    volume = sum(
        float(np.sum(a * np.cross(b, c))) / 6.0
        for a, b, c in [tuple(alone.vertices[alone.faces[:, k]] for k in range(3))]
    )
    each = {part.id: part.solid for pier in site.piers for part in pier.parts if part.id in ids}
    # A prism's volume is the area of its outline times its height.
    assert volume == pytest.approx(
        sum(solid.outline.area * (solid.top - solid.bottom) for solid in each.values()), rel=1e-6
    )
