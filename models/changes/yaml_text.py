"""Fields set in a YAML text, and not one other character of it changed.

A YAML library that writes what it has read lays the text out anew (blocks on several lines, aligned columns),
so the few characters that differ are put in where the parser says that things stand.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple, Union

import yaml
from msgspec import Struct, field

from models.reading.yamlfile import field_name, plain_spaces

Tree = Mapping[str, Union[str, "Tree"]]
"""Fields to set: by name a block of fields, or what is written as the value."""
BY_MARK = "differences"
"""The field whose own fields go one a line."""
_BREAK = re.compile(r"\r\n|\r|\n")


class CannotEdit(ValueError):
    """A text that cannot be edited in place, in one sentence; line: where, from 1."""

    def __init__(self, wrong: str, line: int) -> None:
        super().__init__(wrong)
        self.line = line


class Edit(NamedTuple):
    """The characters start : end of a text become `put`."""

    start: int
    end: int
    put: str


class Written(Struct):
    """A node as it stands in a text: characters start : end, comments after it left out.

    flow: in brackets; anchor: its &name or, of an alias, the name that it refers to; column: from 0.
    """

    what: Literal["map", "list", "scalar", "alias"]
    start: int
    end: int
    line: int
    column: int
    flow: bool = False
    anchor: str | None = None
    value: str = ""
    entries: list[tuple[Written, Written]] = field(default_factory=list)
    items: list[Written] = field(default_factory=list)

    def get(self, name: str) -> Written | None:
        """What stands in a field of a block; None where it has none of this name."""
        return next(
            (value for key, value in self.entries if name in (field_name(key.value), key.value)), None
        )


class YamlText(Struct, frozen=True):
    """A text of one YAML document, and what stands where in it."""

    text: str
    root: Written
    shared: frozenset[str]

    @staticmethod
    def of(text: str) -> YamlText:
        """Raises yaml.YAMLError for a text that is no YAML."""
        events = yaml.parse(plain_spaces(text), Loader=yaml.CSafeLoader)
        shared: set[str] = set()
        root = next(node for event in events if (node := _node(event, events, text, shared)) is not None)
        for _ in events:
            pass
        return YamlText(text, root, frozenset(shared))

    def edits(self, block: Written, fields: Tree) -> Iterator[Edit]:
        """What sets some fields of a block. Raises CannotEdit where others would change along."""
        self._refuse_shared(block)
        absent: dict[str, str | Tree] = {}
        for name, new in fields.items():
            old = block.get(name)
            if old is None:
                absent[name] = new
            elif not isinstance(new, str) and old.what == "map":
                yield from self.edits(old, new)
            elif not isinstance(new, str) and old.what == "alias":
                raise CannotEdit(f"*{old.anchor} stands here for what is written elsewhere", old.line)
            elif not isinstance(new, str) and old.start == old.end and name == BY_MARK and not block.flow:
                yield self._lines(old.end, _column_of(block), _block_lines(new))
            else:
                self._refuse_shared(old)
                space = " " if old.start == old.end else ""
                yield Edit(old.start, old.end, space + _flow(new))
        if absent:
            yield self._added(block, absent)

    def edited(self, edits: list[Edit]) -> str:
        """The text with these edits, which do not overlap."""
        text = self.text
        for edit in sorted(edits, reverse=True):
            text = text[: edit.start] + edit.put + text[edit.end :]
        return text

    def _refuse_shared(self, node: Written) -> None:
        if node.anchor in self.shared and node.what != "alias":
            raise CannotEdit(f"&{node.anchor} here is used elsewhere as *{node.anchor}", node.line)

    def _added(self, block: Written, fields: Tree) -> Edit:
        if not block.flow:
            return self._lines(block.end, _column_of(block), list(_each_line(fields)))
        put = _flow(fields)[1:-1]
        if not block.entries:
            return Edit(block.end - 1, block.end - 1, put)
        after = block.entries[-1][1].end
        return Edit(after, after, f", {put}")

    def _lines(self, after: int, indent: int, lines: list[str]) -> Edit:
        """Lines put in after the line on which the character before `after` stands."""
        found = _BREAK.search(self.text, after)
        if found is not None:
            put = "".join(f"{' ' * indent}{line}{found[0]}" for line in lines)
            return Edit(found.end(), found.end(), put)
        first = _BREAK.search(self.text)
        new = "\n" if first is None else first[0]
        return Edit(len(self.text), len(self.text), "".join(f"{new}{' ' * indent}{line}" for line in lines))


def scalar(text: str) -> str:
    """A text as a value in one line, quoted where YAML needs it."""
    plain = re.fullmatch(r"[\w./\\][\w ./\\()+-]*", text) and text == text.strip()
    return text if plain else "'" + text.replace("'", "''") + "'"


def _node(event: yaml.Event, events: Iterator[yaml.Event], text: str, shared: set[str]) -> Written | None:
    """The node that an event begins, its own events taken; None for what begins none."""
    if not isinstance(event, yaml.NodeEvent):
        return None
    start, end, anchor = event.start_mark, event.end_mark, event.anchor
    assert start is not None  # of an event that was read
    assert end is not None
    at = start.index, end.index, start.line + 1, start.column
    if isinstance(event, yaml.AliasEvent):
        assert anchor is not None
        shared.add(anchor)
        return Written("alias", *at, anchor=anchor)
    if isinstance(event, yaml.ScalarEvent):
        made = Written("scalar", *at, anchor=anchor, value=" ".join(event.value.split()))
        if event.style in ("|", ">"):  # its end is that of the line after it
            made.end = len(text[: made.end].rstrip())
        return made
    if not isinstance(event, yaml.CollectionStartEvent):
        return None
    is_map = isinstance(event, yaml.MappingStartEvent)
    made = Written("map" if is_map else "list", *at, flow=bool(event.flow_style), anchor=anchor)
    inside: list[Written] = []
    for later in events:
        if isinstance(later, yaml.CollectionEndEvent):
            closed = later.end_mark
            assert closed is not None
            made.end = closed.index if made.flow else inside[-1].end
            break
        if (child := _node(later, events, text, shared)) is not None:
            inside.append(child)
    if is_map:
        made.entries = list(zip(inside[::2], inside[1::2], strict=True))
    else:
        made.items = inside
    return made


def _column_of(block: Written) -> int:
    return block.entries[0][0].column


def _flow(value: str | Tree) -> str:
    if isinstance(value, str):
        return value
    return "{" + ", ".join(f"{name}: {_flow(below)}" for name, below in value.items()) + "}"


def _each_line(fields: Tree) -> Iterator[str]:
    for name, value in fields.items():
        if name == BY_MARK and not isinstance(value, str):
            yield f"{name}:"
            yield from _block_lines(value)
        else:
            yield f"{name}: {_flow(value)}"


def _block_lines(fields: Tree) -> list[str]:
    return [f"  {name}: {_flow(value)}" for name, value in fields.items()]
