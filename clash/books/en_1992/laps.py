"""EN 1992-1-1: its laps and anchorages (8.4, 8.7) depend on bond and stress, and are not in this book."""

from __future__ import annotations

from clash.needs.laps import Foot, Splice
from clash.needs.need import Need


class EnLaps:
    """See `clash.needs.laps.LapBook`: nothing of it is in this book."""

    def lap(self, splice: Splice) -> Need | None:
        """None: 8.7.3 needs the stress in the bars, which is the engineer's."""
        return None

    def largest_lapped(self, compression: bool) -> Need | None:
        """None: 8.8 leaves laps of bars over 32 mm to sections that are not in this book."""
        return None

    def lap_spread(self, lap: float) -> Need | None:
        """None: not in this book."""
        return None

    def hooked(self, foot: Foot) -> Need | None:
        """None: 8.4.4 needs the stress in the bars, which is the engineer's."""
        return None
