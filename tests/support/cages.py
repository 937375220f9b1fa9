"""Piers for the tests of cages: a common one, and whatever differs from it."""

from __future__ import annotations

from typing import Any

from models.build import build_site
from models.pier import Pier
from models.spec.site import SiteSpec

IN = 25.4
TIES = {"size": "No. 3", "spacing": "12 in", "top_group": {"count": 3, "clear": "1 in"}}
DOWELS = {"size": "No. 8", "count": 8, "height": "30 in", "embed": "18 in"}


def pier_spec(**changes: Any) -> dict[str, Any]:
    """A 24 in pier 5 ft tall: 8 No. 8, No. 3 ties, cover 1 1/2 in (3 in below); and the changes."""
    return {
        "mark": "P7",
        "x": 0,
        "y": 0,
        "top": 0,
        "bottom": "-5 ft",
        "kind": "k",
        "outline": {"square": "24 in"},
        "concrete": {"cover": {"side": "1.5 in", "top": "1.5 in", "bottom": "3 in"}},
        "cage": {"verticals": {"size": "No. 8", "count": 8}, "ties": TIES},
    } | changes


def site_spec(*piers: dict[str, Any], units: str = "ft-in") -> SiteSpec:
    """A site of these piers."""
    return SiteSpec.model_validate(
        {
            "site": {"name": "a site", "units": units},
            "kinds": {"k": {"outline": {"square": "24 in"}}},
            "piers": list(piers),
        },
        context={"units": units},
    )


def pier(units: str = "ft-in", **changes: Any) -> Pier:
    """The common pier with changes, built."""
    return build_site(site_spec(pier_spec(**changes), units=units), "").piers[0]


def caged(outline: dict[str, Any] | None = None, **cage: Any) -> Pier:
    """The common pier with another outline or with changes of its cage (None takes a thing out)."""
    whole = {"verticals": {"size": "No. 8", "count": 8}, "ties": TIES} | cage
    whole = {name: value for name, value in whole.items() if value is not None}
    return pier(cage=whole, **({"outline": outline} if outline else {}))
