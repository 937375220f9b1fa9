"""The real window in a process of its own: tells its state as one line of JSON after every frame.

Run as `python -m tests.support.window_child SITE [MARK [SHOTS]]`. After the window is closed it says how many
plotters are left, and waits for a line on standard input before it ends.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from viewer.window import desk_of
from viewer.window.desk import Desk
from viewer.window.window import Window


def told(desk: Desk, window: Window) -> dict[str, object]:
    """The state, and where things are on the screen, pixels from the upper left."""
    state, high = desk.state, window.size[1]
    marks = {mark: window.plan.on_screen(mark) for mark in desk.work.marks}
    return {
        "pier": state.pier,
        "finding": state.finding,
        "view": state.view.value,
        "whole": state.whole,
        "hidden": sorted(group.value for group in state.hidden),
        "off": [desk.looked.pier.parts[i].id for i in sorted(state.off)],
        "faces": sorted(face.value for face in state.faces),
        "level": state.level,
        "site": state.site,
        "card": state.card,
        "said": state.said,
        "marks": {mark: [round(x), round(high - y)] for mark, (x, y) in marks.items()},
        "sentences": [[round(top), round(low), k] for top, low, k in window.sentences_on_screen()],
        "notes": [[round(v) for v in box] for box in window.note_boxes()],
        "close": [round(v) for v in window.close_box()],
        "size": list(window.size),
    }


def main() -> None:
    """Open, tell, close, tell."""
    site, mark, shots = (*sys.argv[1:], None, None)[:3]
    desk = desk_of(Path(site), mark or None, None if shots is None else Path(shots))
    window: Window | None = None

    def heard(desk: Desk) -> None:
        assert window is not None
        print(json.dumps(told(desk, window)), flush=True)

    window = Window(desk, heard)
    window.run()
    window.shut()
    from pyvista.plotting import plotter

    print(json.dumps({"plotters": len(plotter._ALL_PLOTTERS)}), flush=True)
    sys.stdin.readline()


if __name__ == "__main__":
    main()
