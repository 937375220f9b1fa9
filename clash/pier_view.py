"""What a rule sees: one pier, its gaps by pair, the site and its rule book."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from clash.gap_table import WITHIN, Face, GapTable, Index
from clash.needs.need import RuleBook
from clash.neighbors import Neighbors, neighbors_of
from models.motion import Array
from models.part import Part, Role
from models.pier import Pier
from models.spec.site import SiteSpec

Mask = NDArray[np.bool_]
_NUMBER = {role: k for k, role in enumerate(Role)}


def places_of(site: SiteSpec) -> dict[str, tuple[float, float]]:
    """x, y (mm, site axes) of every pier by its mark."""
    return {pier.mark: (pier.x, pier.y) for pier in site.piers}


@dataclass(frozen=True, eq=False)
class PierView:
    """One pier as its rules see it.

    gaps: the pier's own rows; within: mm, how far they were measured: what has no row is farther apart;
    known_places: `places_of(site)`, known_neighbors: `neighbors_of(site)`, where the caller looks at many
    piers and has them already.
    """

    site: SiteSpec
    book: RuleBook
    pier: Pier
    gaps: GapTable
    within: float = WITHIN
    known_places: Mapping[str, tuple[float, float]] | None = None
    known_neighbors: Neighbors | None = None

    @cached_property
    def neighbors(self) -> Neighbors:
        """By mark, the piers listed after it whose concrete could meet its own."""
        return neighbors_of(self.site) if self.known_neighbors is None else self.known_neighbors

    @cached_property
    def places(self) -> Mapping[str, tuple[float, float]]:
        """x, y (mm, site axes) of every pier of the site by its mark."""
        return places_of(self.site) if self.known_places is None else self.known_places

    @property
    def parts(self) -> tuple[Part, ...]:
        """The pier's parts; rules speak of them by index."""
        return self.pier.parts

    def which(self, test: Callable[[Part], bool]) -> Mask:
        """(parts,) which parts pass a test."""
        return np.fromiter((test(part) for part in self.parts), bool, len(self.parts))

    def roles(self, *roles: Role) -> Mask:
        """(parts,) which parts have one of these roles."""
        known = self._by_roles.get(roles)
        if known is None:
            wanted = np.zeros(len(_NUMBER), dtype=bool)
            wanted[[_NUMBER[role] for role in roles]] = True
            known = self._by_roles[roles] = wanted[self._role]
            known.flags.writeable = False
        return known

    @cached_property
    def _by_roles(self) -> dict[tuple[Role, ...], Mask]:
        """What `roles` has answered: rules ask for the same roles again and again."""
        return {}

    @cached_property
    def _role(self) -> Index:
        return np.fromiter((_NUMBER[part.role] for part in self.parts), np.intp, len(self.parts))

    @cached_property
    def nominal(self) -> Array:
        """(parts,) nominal diameter, mm; NaN where a part has none."""
        return np.array([np.nan if p.nominal is None else p.nominal for p in self.parts], dtype=float)

    @cached_property
    def touching(self) -> Mask:
        """(parts, parts) which pairs are meant to touch."""
        index = {part.id: i for i, part in enumerate(self.parts)}
        meant = np.zeros((len(self.parts),) * 2, dtype=bool)
        for i, part in enumerate(self.parts):
            for other in part.touches:
                j = index.get(other)
                if j is not None:
                    meant[i, j] = meant[j, i] = True
        return meant

    @cached_property
    def rows(self) -> Index:
        """(parts, parts + faces) the row of each pair, -1 where they are farther apart than `within`.

        Faces are negative, so they index the columns at the end.
        """
        n = len(self.parts)
        rows = np.full((n, n + len(Face)), -1, dtype=np.intp)
        a, b, order = self.gaps.a, self.gaps.b, np.arange(len(self.gaps), dtype=np.intp)
        rows[a, b] = order
        parts = b >= 0
        rows[b[parts], a[parts]] = order[parts]
        return rows

    @cached_property
    def middles(self) -> Array:
        """(rows, 3) mm, halfway between the nearest points, in the pier's frame."""
        return (self.gaps.at_a + self.gaps.at_b) / 2.0

    def pairs(self, first: Mask, second: Mask) -> tuple[Index, Index, Index]:
        """Row, first part and second part of every measured pair of one of `first` with one of `second`."""
        rows = np.flatnonzero(self.gaps.b >= 0)
        a, b = self.gaps.a[rows], self.gaps.b[rows]
        forth = first[a] & second[b]
        back = first[b] & second[a] & ~forth
        keep = forth | back
        rows, a, b, back = rows[keep], a[keep], b[keep], back[keep]
        return rows, np.where(back, b, a), np.where(back, a, b)

    def gap(self, a: Index, b: Index) -> tuple[Array, Array]:
        """(n,) gap of each pair, infinite where farther apart than `within`, and (n, 3) where it is (else
        NaN)."""
        rows = self.rows[a, b]
        known = rows >= 0
        gap, at = np.full(len(rows), np.inf), np.full((len(rows), 3), np.nan)
        gap[known], at[known] = self.gaps.gap[rows[known]], self.middles[rows[known]]
        return gap, at
