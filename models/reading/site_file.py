"""A site file on disk becomes a SiteSpec, or every mistake in it is told at once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from msgspec import Struct
from pydantic import ValidationError

from models.lengths import Units
from models.problems import BadInput, Place, Problem
from models.reading.consistency import Wrong, wrongs_in, wrongs_of_kind, wrongs_of_pier, wrongs_of_site
from models.reading.merging import merge, without_empty
from models.reading.schedule import read_schedule
from models.reading.textfile import bytes_of, text_of
from models.reading.wording import Block, Told, given
from models.reading.yamlfile import Items, Map, Text, load
from models.spec.base import Spec, nearest
from models.spec.cage import Cage
from models.spec.concrete import ConcreteSpec
from models.spec.outline import OutlineSpec
from models.spec.pier import KindSpec, PierSpec
from models.spec.required import Required
from models.spec.schedule import ScheduleSpec
from models.spec.seat import Seat
from models.spec.site import SiteSpec

S = TypeVar("S", bound=Spec)


class SiteFile(Struct, frozen=True):
    """A site file as read.

    sha256: hex, of the site file's bytes and then the schedule's; pier_places, kind_places: where each mark
    and each kind stands.
    """

    spec: SiteSpec
    sha256: str
    pier_places: dict[str, Place]
    kind_places: dict[str, Place]


def read_site(path: Path) -> tuple[SiteSpec, str]:
    """The spec of a site file, merged and in mm, and the sha256 (hex) of its bytes and its schedule's.

    Raises BadInput with every problem of the file and of its schedule.
    """
    read = read_site_file(path)
    return read.spec, read.sha256


def read_site_file(path: Path) -> SiteFile:
    """A site file with the places of its piers and kinds. Raises BadInput with every problem."""
    data = bytes_of(path, "site file")
    text = text_of(data, path.name, "site file")
    root, problems = load(text, path.name)
    if wrong := _something_else(root, text):
        raise BadInput([Problem(Place(path.name), wrong, "give the site file, like site.yaml")])
    return _Reading(path, root, problems).read(data)


def _something_else(root: Map, text: str) -> str:
    """What a file is that was given in place of a site file; empty where it may be one."""
    if "version" in root and ("findings" in root or "gaps" in root):
        written = "findings" if "findings" in root else "gaps"
        return f"this is a file of {written} that pierclear wrote, no site file"
    if text.lstrip().startswith("{") and "kinds" not in root and not isinstance(root.get("site"), Map):
        return "this is a JSON file, no site file"
    return ""


class _Kind(Struct, frozen=True):
    """A kind as written, the site's concrete merged under it; spec is None when something is wrong."""

    raw: Map
    spec: KindSpec | None


def _stand_in() -> PierSpec:
    """Takes the place of kinds and piers that are told of elsewhere."""
    outline = OutlineSpec.model_construct(square=1.0)
    return PierSpec.model_construct(outline=outline, mark="P1", x=0.0, y=0.0, top=1.0, bottom=0.0, kind="any")


class _Reading:
    """One reading of one site file; problems pile up in `told`."""

    def __init__(self, path: Path, root: Map, problems: Iterable[Problem]) -> None:
        self.path = path
        self.root = root
        self.told: list[Problem] = list(problems)
        self.seen: set[tuple[Place, str]] = {(p.place, p.wrong) for p in self.told}
        site = root.get("site")
        said = {name: _word(site, name) for name in ("units", "foot")}
        self.units = Units(said["units"]) if said["units"] in list(Units) else None
        foot = "us survey" if said["foot"] == "us survey" else "international"
        self.context = {"units": self.units, "foot": foot}
        self.schedule = b""
        self.spoiled: set[Place] = set()  # cells of the schedule that are told of already

    def read(self, data: bytes) -> SiteFile:
        """Read everything; raises BadInput unless all of it is right."""
        for shared in (OutlineSpec, ConcreteSpec, Required, Cage, Seat):
            shared.model_rebuild()  # once, instead of within each model that has it
        rows = self._rows()
        head = self._head(rows)
        kinds = {name: self._kind(name, raw) for name, raw in self._kinds().items()}
        piers = [self._pier(i, row, kinds) for i, row in enumerate(rows)]
        places = self._unique_marks(rows)
        if head is None or self.told or any(kind.spec is None for kind in kinds.values()) or None in piers:
            self._site_wide(head, rows)
            raise BadInput(sorted(self.told, key=lambda p: _order(p, self.path.name)))
        spec = head.model_copy(
            update={"kinds": {name: kind.spec for name, kind in kinds.items()}, "piers": piers}
        )
        self._site_wide(spec, rows)
        if self.told:
            raise BadInput(sorted(self.told, key=lambda p: _order(p, self.path.name)))
        sha256 = hashlib.sha256(data + self.schedule).hexdigest()
        return SiteFile(spec, sha256, places, dict(self.root["kinds"].keys_at))

    def _tell(self, *told: Told) -> None:
        for problem, reason in told:
            key = problem.place, reason
            if key not in self.seen and problem.place not in self.spoiled:
                self.seen.add(key)
                self.told.append(problem)

    def _block(self, raw: Map, model: type[Spec], owner: str = "") -> Block:
        return Block(raw, model, owner, self.units)

    def _valid(self, block: Block, values: dict[str, Any], model: type[S]) -> S | None:
        """The model of these values; None, and told, where they are wrong."""
        try:
            return model.model_validate(values, context=self.context)
        except ValidationError as error:
            self._tell(*block.problems_of(error.errors(include_url=False)))
            return None

    def _sound(self, block: Block, wrongs: Iterable[Wrong]) -> bool:
        """Whether nothing is wrong; tells what is."""
        found = [block.problem(*wrong) for wrong in wrongs]
        self._tell(*found)
        return not found

    def _rows(self) -> list[Any]:
        """The raw piers, from the list or from the schedule with its differences."""
        piers = self.root.get("piers")
        if isinstance(piers, Items):
            return list(piers)
        if not isinstance(piers, Map):
            return []
        block = self._block(piers, ScheduleSpec, "the piers")
        spec = self._valid(block, without_empty(piers), ScheduleSpec)
        if spec is None:
            return []
        try:
            rows, problems, self.schedule = read_schedule(self.path.parent / spec.schedule, spec.sheet)
        except BadInput as error:
            self.told += error.problems
            return []
        self.told += problems
        self.spoiled = {problem.place for problem in problems}
        return self._with_differences(rows, piers.get("differences") or Map(piers.place))

    def _with_differences(self, rows: list[Map], differences: Map) -> list[Any]:
        at = {row["mark"]: i for i, row in enumerate(rows) if isinstance(row.get("mark"), Text)}
        out: list[Any] = list(rows)
        for mark, over in differences.items():
            place = differences.keys_at[mark]
            if mark not in at:
                near = nearest(mark, at)
                instead = f"did you mean {near}?" if near else "write a mark of the schedule"
                wrong = f"differences: the schedule has no pier {given(mark)}"
                self.told.append(Problem(place, wrong, instead))
            elif isinstance(over, Map) and "mark" in over:
                wrong = f"differences of {given(mark)}: the mark is the schedule's"
                self.told.append(Problem(over.keys_at["mark"], wrong, "leave it off"))
            elif isinstance(over, Map):
                merged = merge(rows[at[mark]], over, PierSpec)
                merged.place = rows[at[mark]].place
                out[at[mark]] = merged
        return out

    def _head(self, rows: Sequence[Any]) -> SiteSpec | None:
        """Everything but kinds and piers, which others take the place of."""
        values = without_empty(self.root)
        if isinstance(values.get("kinds"), Map) and values["kinds"]:
            values["kinds"] = {"any": _stand_in()}
        if rows or isinstance(values.get("piers"), Map):
            values["piers"] = [_stand_in()]
        block = self._block(self.root, SiteSpec)
        head = self._valid(block, values, SiteSpec)
        if head is not None:
            parts = {name: getattr(head, name) for name in ("grade_beams", "beams")}
            for name, items in parts.items():
                for i, item in enumerate(items):
                    self._sound(block, wrongs_in(item, (name, i)))
        return head

    def _kinds(self) -> Map:
        kinds = self.root.get("kinds")
        return kinds if isinstance(kinds, Map) else Map(self.root.place)

    def _kind(self, name: str, written: Any) -> _Kind:
        place = self._kinds().keys_at[name]
        common = Map(self.root.place)
        for shared in ("concrete", "required"):
            if isinstance(self.root.get(shared), Map):
                common.put(shared, self.root[shared], self.root.keys_at[shared])
        if not isinstance(written, Map):
            fields = ", ".join(KindSpec.model_fields)
            wrong = f"kind {given(name)}: a block of fields should be here"
            self.told.append(Problem(place, wrong, f"write its fields: {fields}"))
            return _Kind(common, None)
        raw = without_empty(merge(common, written, KindSpec))
        raw.place = place
        block = self._block(raw, KindSpec, f"kind {given(name)}")
        spec = self._valid(block, raw, KindSpec)
        if spec is None or not self._sound(block, wrongs_in(spec)):
            return _Kind(raw, None)
        sound = self._sound(block, wrongs_of_kind(spec, self.units or Units.FT_IN))
        return _Kind(raw, spec if sound else None)

    def _pier(self, i: int, row: Any, kinds: dict[str, _Kind]) -> PierSpec | None:
        if not isinstance(row, Map):
            listed = self.root["piers"]
            place = listed.items_at[i] if isinstance(listed, Items) else self.root.keys_at["piers"]
            instead = "write {mark: P1, x: 0, y: 0, top: 10 ft, bottom: 4 ft, kind: one of the kinds}"
            self.told.append(Problem(place, f"pier {i + 1} of the list is no block of fields", instead))
            return None
        mark, named = row.get("mark"), row.get("kind")
        owner = f"pier {given(mark)}" if isinstance(mark, Text) else f"pier {i + 1} of the list"
        kind = self._kind_of(row, named, owner, kinds)
        own = [name for name in KindSpec.model_fields if name in row.keys_at]
        if kind is None:  # without the kind, what differs from it cannot be judged
            row, own = _without(row, own), []
        base = kind.raw if kind is not None else Map(row.place)
        mine = Map(row.place)
        for name in own:
            if name in base:
                mine.put(name, base[name], base.keys_at[name])
        raw = without_empty(merge(mine, row, PierSpec))
        raw.place = row.place
        under = kind.spec if kind is not None and kind.spec is not None else _stand_in()
        values = {name: getattr(under, name) for name in KindSpec.model_fields if name not in own}
        spec = self._valid(self._block(raw, PierSpec, owner), {**values, **raw}, PierSpec)
        if spec is None or kind is None or kind.spec is None:
            return None
        wrongs = [w for name in own for w in _wrongs_below(spec, name)]
        if not wrongs and own:
            wrongs += wrongs_of_kind(spec, self.units or Units.FT_IN)
        wrongs += wrongs_of_pier(spec, self.units or Units.FT_IN)
        if wrongs:
            full = without_empty(merge(base, row, PierSpec))
            full.place = row.place
            self._sound(self._block(full, PierSpec, owner), wrongs)
            return None
        return spec

    def _kind_of(self, row: Map, named: Any, owner: str, kinds: dict[str, _Kind]) -> _Kind | None:
        if not isinstance(named, Text):
            return None  # missing or no name: validation tells
        if named not in kinds and kinds:
            near = nearest(named, kinds)
            instead = (
                f"did you mean {near}?"
                if near
                else f"the kinds are {', '.join(map(given, list(kinds)[:12]))}"
            )
            wrong = f"there is no kind {given(named)}"
            self._tell(self._block(row, PierSpec, owner).problem(("kind",), wrong, instead))
        return kinds.get(named)

    def _unique_marks(self, rows: Sequence[Any]) -> dict[str, Place]:
        places: dict[str, Place] = {}
        by_low: dict[str, Place] = {}
        for row in rows:
            mark = row.get("mark") if isinstance(row, Map) else None
            if not isinstance(mark, Text):
                continue
            first = by_low.setdefault(mark.lower(), mark.place)
            if first is not mark.place:
                where = f"in cell {first.cell}" if first.cell else f"on line {first.line}"
                wrong = f"{given(mark)} is the mark of two piers, here and {where}"
                self.told.append(Problem(mark.place, wrong, "give each pier a mark of its own"))
            places[str(mark)] = mark.place
        return places

    def _site_wide(self, spec: SiteSpec | None, rows: Sequence[Any]) -> None:
        """Names that refer to each other across the site."""
        if spec is None or not rows:
            return
        marks = [
            str(row["mark"]) for row in rows if isinstance(row, Map) and isinstance(row.get("mark"), Text)
        ]
        self._sound(self._block(self.root, SiteSpec), wrongs_of_site(spec, marks))


def _wrongs_below(spec: Spec, name: str) -> Iterable[Wrong]:
    value = getattr(spec, name)
    if isinstance(value, Spec):
        yield from wrongs_in(value, (name,))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from wrongs_in(item, (name, i))


def _without(row: Map, fields: Iterable[str]) -> Map:
    out = Map(row.place)
    for key in row.keys() - set(fields):
        out.put(key, row[key], row.keys_at[key])
    return out


def _word(site: Any, name: str) -> str:
    value = site.get(name) if isinstance(site, Map) else None
    return " ".join(value.lower().split()) if isinstance(value, Text) else ""


def _order(problem: Problem, site_file: str) -> tuple[bool, int, int, str]:
    """Problems go by file, line and column; cells by row and column."""
    place = problem.place
    letters = (place.cell or "").split(":")[0].rstrip("0123456789")
    row = (place.cell or "").split(":")[0].removeprefix(letters) or "0"
    return place.file != site_file, place.line or int(row), place.column or len(letters), letters
