"""Sites on which everything is placed exactly where it is drawn, so that a limit alone decides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

OWN = (
    "rod_in_plan",
    "rods_in_group",
    "rod_height",
    "cage_in_plan",
    "embed_in_plan",
    "concrete_height",
    "cover",
    "bar_spacing",
    "bar_end",
)
EXACT: dict[str, Any] = {"tolerances": dict.fromkeys(OWN, 0.0)}


def exact(given: dict[str, Any]) -> dict[str, Any]:
    """Top-level fields of a site, placed exactly unless they say otherwise."""
    return given | {"placing": EXACT | given.get("placing", {})}


def not_of_placing(overrides: Sequence[str]) -> tuple[str, ...]:
    """What a report says of looser figures, without the tolerances of `EXACT`."""
    return tuple(sentence for sentence in overrides if not sentence.startswith("Placing is taken to keep"))
