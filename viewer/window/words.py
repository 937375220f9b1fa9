"""The panels of words: the site and its signs, the findings of the pier as sentences, the card of keys."""

from __future__ import annotations

from models.lengths import show_length
from viewer.legend.looks import LEVELS
from viewer.report.terminal import CAUTION
from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature, features
from viewer.window.panel import FAINT, INK, Panel
from viewer.window.text import cut, width, wrapped
from viewer.wording.fold import Fold, counted

SIZE, SMALL = 14, 12
_LINE, _MARGIN = 19, 14
BANNER = "#ffedb3"
"""Behind what a feature has to say: it must not be missed that something is only tried."""


def legend(panel: Panel, desk: Desk) -> None:
    """The site, what each sign means and how many piers have it, and the caution."""
    panel.clear()
    across, _ = panel.size
    room = across - 2 * _MARGIN
    work = desk.work
    y = 16.0
    panel.write(_MARGIN, y, cut(work.report.site, SIZE + 2, room, bold=True), SIZE + 2, bold=True)
    y += 24
    counts = dict.fromkeys(LEVELS, 0)
    for look in map(work.level, work.marks):
        if look is not None:
            counts[look.word] += 1
    column = room / 2.0
    for k, look in enumerate(LEVELS.values()):
        x, row = _MARGIN + (k % 2) * column, y + (k // 2) * 22
        panel.sign(x + 9, row, 9.0, look)
        panel.write(x + 26, row, f"{look.word}: {counted(counts[look.word], 'pier')}", SIZE)
    y += 50
    if work.pending:
        panel.write(
            _MARGIN, y, f"Not judged yet: {counted(len(work.pending), 'pier')}, coming.", SMALL, bold=True
        )
        y += 17
    if work.elsewhere:
        said = f"Of the whole site: {len(work.elsewhere)}, first {work.elsewhere[0].level.value}: "
        panel.write(_MARGIN, y, cut(said + work.elsewhere[0].says, SMALL, room), SMALL, bold=True)
        y += 17
    for line in wrapped(CAUTION, SMALL - 1, room):
        panel.write(_MARGIN, y, line, SMALL - 1, color=FAINT)
        y += 14
    panel.finish()


def findings(panel: Panel, desk: Desk) -> list[tuple[float, float, int]]:
    """The pier, where it is seen from, its findings; answers top and bottom, px, of each that is written."""
    panel.clear()
    across, high = panel.size
    room = across - 2 * _MARGIN
    looked, state = desk.looked, desk.state
    spec = looked.pier.spec
    title = f"Pier {looked.pier.mark}"
    panel.box(0, 0, across, 1, "#c3cbce")
    worst = desk.work.level(looked.pier.mark)
    if worst is not None:
        panel.sign(_MARGIN + 9, 18, 9.0, worst)
    panel.write(_MARGIN + 26, 18, title, SIZE + 2, bold=True)
    about = f"{looked.pier.kind}, top of concrete {show_length(spec.top, desk.work.units)}"
    if spec.turn:
        about += f", turned {spec.turn:g}\u00b0"
    if not state.site:
        about += f".  {desk.seen_from}"
    left = _MARGIN + 38 + width(title, SIZE + 2, True)
    lines = wrapped(about, SMALL, int(across - left - _MARGIN))
    if len(lines) > 2:
        lines = [lines[0], cut(" ".join(lines[1:]), SMALL, int(across - left - _MARGIN))]
    for k, line in enumerate(lines):
        panel.write(left, 18 + 15 * k, line, SMALL, color=FAINT)
    y = 44.0 if len(lines) < 2 else 54.0
    low = high - 24.0
    extra = [line for feature in features() if feature.says is not None for line in feature.says(desk)]
    lines = [part for text in extra for part in wrapped(text, SIZE, room)]
    if lines:
        panel.box(0, y - _LINE / 2 - 3, across, y + _LINE * (len(lines) - 0.5) + 3, BANNER, rim="#b98a00")
    for line in lines:
        panel.write(_MARGIN, y, line, SIZE, bold=True)
        y += _LINE
    y += 8 if lines else 0
    places = _sentences(panel, desk, y, low - 2.0, room)
    panel.write(_MARGIN, high - 13, cut(state.said, SMALL, room - 190), SMALL, bold=True)
    hint = "h: keys   space: next finding"
    panel.write(across - _MARGIN - width(hint, SMALL), high - 13, hint, SMALL, color=FAINT)
    panel.finish()
    return places


def _sentences(panel: Panel, desk: Desk, y: float, low: float, room: int) -> list[tuple[float, float, int]]:
    """The findings between two heights; that which is shown comes whole, and the others as they fit."""
    folds, at = desk.looked.folds, desk.state.finding
    if not folds:
        panel.write(_MARGIN, y, "Nothing found here, within what was checked.", SIZE)
        return []
    written = [_lines(fold, room - 44) for fold in folds]
    places = []
    first = _first(written, at or 0, low - y)
    for k in range(first, len(folds)):
        lines = written[k]
        space = int((low - y) // _LINE)
        if space < 1 or (len(lines) > space and k != (at or 0)):
            left = len(folds) - k
            panel.write(_MARGIN + 44, min(y, low), f"and {left} more: space", SMALL, color=FAINT)
            break
        top = y - _LINE / 2.0
        if k == at:
            panel.box(_MARGIN - 6, top, _MARGIN + room + 6, top + _LINE * min(len(lines), space), "#e3edf1")
        panel.sign(_MARGIN + 9, y, 7.0, LEVELS[folds[k].worst.level.value])
        panel.write(_MARGIN + 22, y, f"{k + 1}", SIZE, bold=k == at)
        for line in lines[:space]:
            panel.write(_MARGIN + 44, y, line, SIZE, color=INK)
            y += _LINE
        places.append((top, y - _LINE / 2.0, k))
        y += 4
    return places


def _first(written: list[list[str]], at: int, room: float) -> int:
    """The finding to begin with, so that the one that is shown fits, with those before it that do."""
    first = at
    while first > 0 and sum(len(lines) * _LINE + 4 for lines in written[first - 1 : at + 1]) <= room:
        first -= 1
    return first


def _lines(fold: Fold, room: int) -> list[str]:
    worst = fold.worst
    said = f"{worst.level.value}: {worst.says}" + (f" ({fold.more})" if fold.others else "")
    if worst.answered:
        said += f" Answered: {worst.answered}"
    if worst.lapsed:
        said += f" {worst.lapsed}"
    return wrapped(said, SIZE, room)


def card(panel: Panel) -> None:
    """The keys, in as many columns as they need."""
    panel.clear()
    across, high = panel.size
    panel.box(0, 0, across, high, "#ffffff")
    panel.write(40, 34, "Keys", SIZE + 8, bold=True)
    panel.write(40, high - 26, "h or esc: back", SIZE, color=FAINT)
    top, low = 66.0, high - 48.0
    blocks = [(feature, 30 + 22 * len(_shown(feature)) + 10) for feature in features() if feature.commands]
    columns: list[list[Feature]] = [[]]
    y = top
    for feature, tall in blocks:
        if columns[-1] and y + tall > low:
            columns.append([])
            y = top
        columns[-1].append(feature)
        y += tall
    wide = (across - 80) / max(len(columns), 2)
    for k, column in enumerate(columns):
        _column(panel, column, 40 + k * wide, wide - 24, top)
    panel.finish()


def _shown(feature: Feature) -> list[Command]:
    """The commands that stand on the card; one that another stands there for has nothing to show."""
    return [command for command in feature.commands if command.shown]


def _column(panel: Panel, column: list[Feature], x: float, room: float, y: float) -> None:
    keys = max(width(c.shown, SIZE, True) for feature in column for c in _shown(feature)) + 16
    for feature in column:
        panel.write(x, y + 8, feature.title, SIZE + 1, bold=True)
        y += 30
        for command in _shown(feature):
            panel.write(x, y, command.shown, SIZE, bold=True)
            panel.write(x + keys, y, cut(command.words, SIZE, int(room - keys)), SIZE)
            y += 22
        y += 10
