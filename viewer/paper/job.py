"""What a sheet is made from, and what it makes."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

from msgspec import Struct

from models.lengths import Units
from models.problems import BadInput, Place, Problem
from viewer.drawing.page import PAPERS, Page, usual
from viewer.paper.title import Title, holds_of

if TYPE_CHECKING:
    from clash.report.findings import Report
    from models.pier import Pier
    from models.site import Site


class Job(Struct, frozen=True, eq=False):
    """A site with the report on it, and the day that goes into title blocks."""

    site: Site
    report: Report
    date: str

    @property
    def units(self) -> Units:
        """The site's."""
        return self.site.units

    @property
    def paper(self) -> tuple[float, float]:
        """What the site prints 1:1 sheets on, upright, mm."""
        return PAPERS[self.site.spec.site.paper or usual(self.units)]

    @property
    def desk(self) -> tuple[float, float]:
        """What overviews and tables go on: the site's paper where an office printer takes it."""
        return self.paper if max(self.paper) <= 432.0 else PAPERS[usual(self.units)]

    def title(self, sheet: str, stem: str, marks: Sequence[str]) -> Title:
        """The title of a sheet that is about these piers."""
        holds = holds_of(self.report, marks)
        return Title(self.site.spec.site.name, sheet, stem, self.date, self.site.sha256[:12], holds)


class SheetFile(Struct, frozen=True, eq=False):
    """One sheet: the pages of its PDF, and the page that becomes its DXF where it has one."""

    stem: str
    pages: tuple[Page, ...]
    cad: Page | None = None


Sheet = Callable[[Job], Iterator[SheetFile]]


def sheet_names() -> tuple[str, ...]:
    """The names of every sheet: the modules of viewer.sheets."""
    import viewer.sheets

    return tuple(sorted(module.name for module in pkgutil.iter_modules(viewer.sheets.__path__)))


def sheet(name: str) -> Sheet:
    """The sheet of this name. Raises BadInput, with the names there are."""
    made: Sheet = sheet_module(name).files
    return made


def sheet_module(name: str) -> ModuleType:
    """The module of the sheet of this name. Raises BadInput, with the names there are."""
    names = sheet_names()
    if name not in names:
        from models.spec.base import nearest

        near = nearest(name, names)
        instead = f"did you mean {near}?" if near else f"the sheets are {', '.join(names)}"
        raise BadInput([Problem(Place("sheet"), f"there is no sheet {name[:40]}", instead)])
    return import_module(f"viewer.sheets.{name}")


def alike(piers: Sequence[Pier], key: Callable[[Pier], object]) -> list[list[Pier]]:
    """Piers with the same key together, in the order of the site; those whose key is None are left out."""
    groups: dict[object, list[Pier]] = {}
    for pier in piers:
        of = key(pier)
        if of is not None:
            groups.setdefault(of, []).append(pier)
    return list(groups.values())


def unlike(stem: str, taken: set[str]) -> str:
    """The name of a file, with a number after it where one of that name is taken, in whatever case."""
    name, n = stem, 1
    while name.lower() in taken:
        n += 1
        name = f"{stem}-{n}"
    taken.add(name.lower())
    return name
