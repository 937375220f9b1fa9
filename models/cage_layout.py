"""Where everything of a cage stands."""

from __future__ import annotations

from dataclasses import dataclass

from models.motion import Motion
from models.pier import Concrete
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec


@dataclass(frozen=True, slots=True, eq=False)
class CageLayout:
    """The cage of one pier, laid out."""


def lay_out(site: SiteSpec, spec: PierSpec, concrete: Concrete, frame: Motion) -> CageLayout | None:
    """The cage of a pier; None where it has none."""
    return None if spec.cage is None else CageLayout()
