"""What fits along each axis of the plan, and not along both at once: an extra line of the report."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct, field

from clash.needs.overrides import who
from clash.pier_view import Mask
from clash.report.wording import shown
from clash.rule import EPSILON, Measured, Rule
from clash.tolerances.taken import Taken
from models.lengths import Units
from models.motion import Array
from models.pier import Pier

_Key = tuple[str, float, float, str]


class BothAxes(Struct, eq=False):
    """The least measurement by rule, requirement and tolerance, with the piers that they are found at."""

    least: dict[_Key, tuple[Rule, float, float, Measured]] = field(default_factory=dict)
    marks: dict[_Key, list[str]] = field(default_factory=dict)

    def look_at(
        self, rule: Rule, pier: Pier, m: Measured, reserve: Array, value: Array, of: Taken, met: Mask
    ) -> None:
        """Keep the rows that are met along one axis (`met`) and not along both.

        reserve, value: (n,) mm.
        """
        for i in np.flatnonzero(met & (reserve - of.both < -EPSILON)).tolist():
            key = (rule.id, round(float(value[i]), 6), round(float(of.one[i]), 6), of.why[of.which[i]])
            known = self.least.get(key)
            if known is None or reserve[i] < known[2]:
                self.least[key] = (rule, float(m.measured[i]), float(reserve[i]), m)
            marks = self.marks.setdefault(key, [])
            if pier.mark not in marks:
                marks.append(pier.mark)

    def take(self, more: BothAxes) -> None:
        """Add what was found at other piers."""
        for key, found in more.least.items():
            known = self.least.get(key)
            if known is None or found[2] < known[2]:
                self.least[key] = found
            marks = self.marks.setdefault(key, [])
            marks += [mark for mark in more.marks[key] if mark not in marks]

    def sentences(self, piers: Sequence[Pier], units: Units) -> tuple[str, ...]:
        """One sentence for each, by rule."""
        return tuple(self._sentence(key, *self.least[key], piers, units) for key in sorted(self.least))

    def _sentence(
        self, key: _Key, rule: Rule, measured: float, reserve: float, m: Measured, piers: Sequence[Pier],
        units: Units,
    ) -> str:  # fmt: skip
        _, value, one, why = key
        least = m.limit == "least"
        has = shown(measured, None, units, "measured least" if least else "measured most")
        needs = shown(value, None, units, "needed least" if least else "needed most")
        each, both = (shown(size, None, units, "needed least") for size in (one, one * 2.0**0.5))
        return (
            f"{who(self.marks[key], piers)}: {rule.title}: {has}, {needs} needed; placing may take {each} of "
            f"it along one axis, and it is met; along both axes at once {both}, and it is not ({why})."
        )
