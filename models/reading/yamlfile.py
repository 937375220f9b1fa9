"""YAML read as a builder writes it: every scalar stays text, and everything knows its line and column."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import yaml

from models.problems import BadInput, Place, Problem

DEEPEST = 40
"""How deep blocks may nest; a site file needs 8."""
MOST = 500_000
"""How many things a file may hold once its aliases are written out."""
_SPACES = dict.fromkeys((0xA0, 0x2002, 0x2003, 0x2007, 0x2009, 0x202F), " ")


class Text(str):
    """A scalar of a file, always text; place: where it stands."""

    __slots__ = ("place",)
    place: Place

    def __new__(cls, text: str, place: Place) -> Text:
        """The text with its place."""
        made = super().__new__(cls, text)
        made.place = place
        return made


class Items(list[Any]):
    """A list of a file; place: where it starts; items_at: where each of its items stands."""

    __slots__ = ("items_at", "place")
    place: Place
    items_at: list[Place]


class Map(dict[str, Any]):
    """A block of fields; place: where it starts; keys_at: where each of its keys stands."""

    __slots__ = ("keys_at", "place")
    place: Place
    keys_at: dict[str, Place]

    def __init__(self, place: Place) -> None:
        super().__init__()
        self.place = place
        self.keys_at = {}

    def put(self, key: str, value: Any, place: Place) -> None:
        """Set a field and where its key stands."""
        self[key] = value
        self.keys_at[key] = place


def field_name(key: str) -> str:
    """A key as a field is called: case, spaces, hyphens and underscores are the same."""
    return re.sub(r"[\s_-]+", "_", key.strip()).lower()


def plain_spaces(text: str) -> str:
    """The text with spaces of every width as plain ones, character by character."""
    return text.translate(_SPACES)


def load(text: str, file: str) -> tuple[Map, list[Problem]]:
    """The fields of a YAML text, and what is wrong with it that does not stop the reading.

    Spaces of every width count as plain ones: they look the same and get pasted in by accident. Keys become
    field names, but for the names of kinds and the marks of differing piers, which are kept.
    Raises BadInput when it cannot be read as one YAML document that is a block of fields.
    """
    text = plain_spaces(text)
    try:
        node = yaml.compose(text, Loader=yaml.CSafeLoader)
    except yaml.MarkedYAMLError as error:
        raise BadInput([_plain_words(error, text, file)]) from None
    except yaml.reader.ReaderError as error:
        before = text[: error.position]
        place = Place(file, before.count("\n") + 1, error.position - (before.rfind("\n") + 1) + 1)
        raise BadInput([Problem(place, "a character here cannot be shown", "type the line again")]) from None
    if node is None:
        raise BadInput([Problem(Place(file), "nothing but comments is in this file", "write a site: block")])
    reader = _Reader(text, file)
    root = reader.convert(node, ())
    if not isinstance(root, Map):
        wrong = "the file is not a block of fields"
        raise BadInput([*reader.problems, Problem(_place(node, file), wrong, "begin it with site:")])
    return root, reader.problems


def _place(node: yaml.Node, file: str) -> Place:
    return Place(file, node.start_mark.line + 1, node.start_mark.column + 1)


_TAGS = frozenset(
    f"tag:yaml.org,2002:{name}"
    for name in ("str", "null", "bool", "int", "float", "timestamp", "value", "merge", "map", "seq")
)
_NAMED = (("kinds",), ("piers", "differences"))


class _Reader:
    """Turns nodes into Text, Items and Map, collecting problems."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = _lines(text)
        self.problems: list[Problem] = []
        self.done: dict[tuple[int, bool], tuple[Any, int]] = {}
        self.open: set[int] = set()

    def convert(self, node: yaml.Node, path: tuple[str, ...]) -> Any:
        """The node's value; `path` is the fields it is under."""
        return self._sized(node, path)[0]

    def _sized(self, node: yaml.Node, path: tuple[str, ...]) -> tuple[Any, int]:
        """The value, and how many things it holds with aliases written out."""
        place = _place(node, self.file)
        named = path in _NAMED
        if (id(node), named) in self.done:
            return self.done[id(node), named]
        if id(node) in self.open:
            raise BadInput([Problem(place, "an anchor here holds itself", "write the fields out")])
        if len(path) > DEEPEST:
            raise BadInput([Problem(place, "blocks nest too deep here", "check the indent and the brackets")])
        if node.tag not in _TAGS:
            tag = node.tag.removeprefix("tag:yaml.org,2002:")
            self.problems.append(
                Problem(place, f"the tag !{tag.lstrip('!')} is not read here", "leave it off")
            )
        self.open.add(id(node))
        value: Any
        if isinstance(node, yaml.MappingNode):
            value, size = self._map(node, path, place)
        elif isinstance(node, yaml.SequenceNode):
            value, size = self._items(node, path, place)
        else:
            assert isinstance(node, yaml.ScalarNode)  # YAML has no other kind of node
            value, size = self._scalar(node, place), 1
        self.open.discard(id(node))
        if size > MOST:
            wrong = "the aliases of this file write out to too much"
            raise BadInput([Problem(place, wrong, "write the fields out, or fewer of them")])
        self.done[id(node), named] = value, size
        return value, size

    def _map(self, node: yaml.MappingNode, path: tuple[str, ...], place: Place) -> tuple[Map, int]:
        out, size = Map(place), 1
        written: dict[str, str] = {}
        for key_node, value_node in node.value:
            at = _place(key_node, self.file)
            if not isinstance(key_node, yaml.ScalarNode):
                self.problems.append(Problem(at, "a list or block where a field name should be"))
                continue
            shown = " ".join(key_node.value.split())
            key = shown if path in _NAMED else field_name(shown)
            value, more = self._sized(value_node, (*path, key))
            size += more
            if key in out:
                first = out.keys_at[key].line
                was = "" if written[key] == shown else f" as {written[key]}"
                wrong = f"{shown[:40]} is given twice, here and{was[:44]} on line {first}"
                self.problems.append(Problem(at, wrong, "keep one of them"))
                continue
            written[key] = shown
            out.put(key, value, at)
        return out, size

    def _items(self, node: yaml.SequenceNode, path: tuple[str, ...], place: Place) -> tuple[Items, int]:
        out, size = Items(), 1
        out.place, out.items_at = place, [_place(item, self.file) for item in node.value]
        for item in node.value:
            value, more = self._sized(item, (*path, "item"))
            out.append(value)
            size += more
        return out, size

    def _scalar(self, node: yaml.ScalarNode, place: Place) -> Text | None:
        if not node.style and node.tag.endswith(":null"):
            if node.value == "" and node.start_mark.line < len(self.lines):
                line, column = self.lines[node.start_mark.line], node.start_mark.column
                if match := re.match(rf"\s*{_SWALLOWED}", line[column:]):
                    at = Place(self.file, place.line, column + match.start(1) + 1)
                    self.problems.append(_swallowed(at, match[1]))
                    return Text(match[1], place)
            return None
        return Text(node.value, place)


_SWALLOWED = r"(#\d+\b|# \d+(?=\s*$))"


def _swallowed(place: Place, text: str) -> Problem:
    number = text.lstrip("# ")
    wrong = f"# begins a comment in YAML, so nothing is left of {text}"
    return Problem(place, wrong, f'write No. {number}, {number} or "#{number}"')


def _lines(text: str) -> list[str]:
    """The lines as YAML counts them."""
    return re.split("\r\n|[\n\r\x85\u2028\u2029]", text)


def _plain_words(error: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    """A YAML error in one plain line, at the place where the mistake starts."""
    mark = error.problem_mark or error.context_mark
    start = error.context_mark or mark
    problem, context = error.problem or "", error.context or ""
    lines = _lines(text)

    def at(where: yaml.Mark | None) -> Place:
        return Place(file) if where is None else Place(file, where.line + 1, where.column + 1)

    line = lines[mark.line] if mark is not None and mark.line < len(lines) else ""
    char = line[mark.column : mark.column + 1] if mark is not None else ""
    if "quoted scalar" in context:
        return Problem(
            at(start),
            "the quote that opens here is never closed",
            "close it on the same line; lengths like 3'-6\" need no quotes round them",
        )
    if quote := _runaway_quote(text, file):
        return quote
    if "flow" in context and start is not None and mark is not None:
        for number in range(start.line, min(mark.line + 1, len(lines))):
            if match := re.search(rf"[:,[{{]\s+{_SWALLOWED}", lines[number]):
                return _swallowed(Place(file, number + 1, match.start(1) + 1), match[1])
    if "tab character" in problem or char == "\t":
        return Problem(at(mark), "a tab stands here", "indent with spaces")
    for sign, in_context, where, wrong, instead in _WORDS:
        if sign in problem and in_context in context:
            return Problem(at(start if where == "start" else mark), wrong.replace("CHAR", char), instead)
    return Problem(
        at(mark),
        "the file cannot be read from here on",
        "check the indent, the colon and the quotes of this line and of the one above",
    )


_WORDS = (
    (
        "mapping values are not allowed",
        "",
        "mark",
        "a second colon on this line, or an indent that does not fit the line above",
        "one field a line; put quotes round a text with a colon in it",
    ),
    (
        "could not find expected ':'",
        "",
        "start",
        "a colon is missing after the name of the field that begins here",
        "write name: value",
    ),
    (
        "cannot start any token",
        "",
        "mark",
        "nothing may begin with CHAR",
        "put quotes round it",
    ),
    (
        "",
        "flow sequence",
        "start",
        "the bracket [ that opens here is not closed as it should be",
        "write [a, b] on one line",
    ),
    (
        "",
        "flow mapping",
        "start",
        "the brace { that opens here is not closed as it should be",
        "write {name: value, name: value} on one line",
    ),
    ("undefined alias", "", "mark", "* refers to an anchor that is not there", "put quotes round it"),
    ("", "scanning an alias", "start", "nothing may begin with *", "put quotes round it"),
    ("", "scanning an anchor", "start", "nothing may begin with &", "put quotes round it"),
    ("", "scanning a directive", "start", "nothing may begin with %", "put quotes round it"),
    ("", "block scalar", "start", "nothing may begin with | or >", "put quotes round it"),
    ("", "a tag", "start", "nothing may begin with !", "put quotes round it"),
    ("another document", "", "mark", "a second document begins here", "keep all of the site in one"),
    ("nesting depth", "", "mark", "blocks nest too deep here", "check the indent and the brackets"),
    ("duplicate anchor", "", "mark", "this anchor is there twice", "rename one"),
    (
        "block sequence entries",
        "",
        "mark",
        "a list cannot begin on the line of its field",
        "begin it on the next line, or write [a, b]",
    ),
    (
        "expected key",
        "block mapping",
        "mark",
        "this line does not fit the block that it stands in",
        "give it the same indent as the fields above, and write name: value",
    ),
    (
        "expected '-' indicator",
        "",
        "mark",
        "this line does not fit the list that it stands in",
        "begin it with a dash under the dashes above",
    ),
)


def _runaway_quote(text: str, file: str) -> Problem | None:
    """The last quoted text that runs over a line's end before the reading stopped: a quote was forgotten."""
    found = None
    for token in _tokens(text):
        if (
            isinstance(token, yaml.ScalarToken)
            and token.style in ("'", '"')
            and token.end_mark.line > token.start_mark.line
        ):
            found = token
    if found is None:
        return None
    place = Place(file, found.start_mark.line + 1, found.start_mark.column + 1)
    wrong = f"the quote that opens here is closed only on line {found.end_mark.line + 1}"
    return Problem(place, wrong, "close it on the same line; lengths like 3'-6\" need no quotes round them")


def _tokens(text: str) -> Iterator[yaml.Token]:
    try:
        yield from yaml.scan(text, Loader=yaml.CSafeLoader)
    except yaml.YAMLError:
        return  # the caller tells the first error already; here only what came before it matters
