"""What rule books ask of a site file in the same words."""

from __future__ import annotations

from collections.abc import Mapping

from clash.needs.need import CoverFace, Missing, Need
from models.part import Role

AGGREGATE = Missing(
    "concrete.aggregate",
    "the site file does not say how large the largest aggregate is; add it (concrete: aggregate)",
)
EXPOSURE = Missing(
    "concrete.exposure",
    "the site file says neither what the concrete is exposed to nor which cover is specified; "
    "add one of them (concrete: exposure, or concrete: cover)",
)


def largest(terms: Mapping[str, float]) -> tuple[float, str]:
    """The largest of some terms, and its name; the first of equals."""
    name = max(terms, key=lambda term: terms[term])
    return terms[name], name


def smallest(terms: Mapping[str, float]) -> tuple[float, str]:
    """The smallest of some terms, and its name; the first of equals."""
    name = min(terms, key=lambda term: terms[term])
    return terms[name], name


def uncovered(role: Role, face: CoverFace) -> Need:
    """The cover of what no table has a figure for: inside the concrete, and the rest is for the site."""
    ask = (
        f"no figure is published here for the cover of the {role.value} at the {face}, and the site file "
        f"gives none; add it (concrete: cover: {face})"
    )
    return Need(0.0, "it must stay inside the concrete", Missing(f"concrete.cover.{face}", ask))
