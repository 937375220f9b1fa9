"""What-if steps in the real window, one after the other, each timed: move, judge, redraw.

Run as `python -m tests.support.what_if_steps SITE MARK...` with a display; prints s by mark and key as JSON.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from viewer.window import desk_of
from viewer.window.window import Window

KEYS = ("Right", "Left", "less", "greater", "shift+Up", "shift+Down")
TIMES = 6


def main() -> None:
    """Warm up with every key, then press all of them again and again."""
    site, *marks = sys.argv[1:]
    desk = desk_of(Path(site), marks[0])
    window = Window(desk)
    window.draw()
    took: dict[str, dict[str, list[float]]] = {}
    for mark in marks:
        desk.go(mark)
        window.draw()
        for _ in range(TIMES + 1):
            for key in KEYS:
                begun = time.perf_counter()
                window.press(key)
                took.setdefault(mark, {}).setdefault(key, []).append(time.perf_counter() - begun)
    window.shut()
    print(json.dumps({mark: {k: v[1:] for k, v in keys.items()} for mark, keys in took.items()}))


if __name__ == "__main__":
    main()
