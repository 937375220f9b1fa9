"""What was given on the command line: a site file or its folder, a mark, files not to write over."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from models.problems import BadInput, Place, Problem

if TYPE_CHECKING:
    from models.pier import Pier
    from models.site import Site

COPY = "-what-if"
"""At the end of the name of a copy that says what was tried: it is no second site of its folder."""


def site_file(given: Path) -> Path:
    """The site file itself: `given`, or the single YAML file of the folder `given`.

    Raises BadInput when there is no such file or folder, or when the folder doesn't hold exactly one.
    """
    try:
        if not given.is_dir():
            return given
        found = site_files(given)
    except OSError as error:
        why = f"can't be read: {(error.strerror or str(error)).lower()}"
        raise _unusable(given, why, "check its name and your rights to it") from error
    if len(found) == 1:
        return found[0]
    if not found:
        raise _unusable(given, "is a folder without a site file (*.yaml)", "name the site file")
    names = ", ".join(p.name for p in found[:4]) + (", ..." if len(found) > 4 else "")
    raise _unusable(given, f"is a folder with {len(found)} YAML files ({names})", "name one of them")


def inputs(file: Path, *targets: Path | None) -> list[Path]:
    """The site file, and those of `targets` that it names (its schedule): what must not be written over."""
    from models.reading.textfile import LARGEST

    try:
        there = [t for t in targets if t is not None and t.is_file()]
        text = file.read_bytes() if there and file.is_file() and file.stat().st_size <= LARGEST else b""
    except OSError:
        return [file]  # whatever is wrong with these is told when they are read or written
    named = [t for t in there if t.name.encode() in text]
    return [file, *named]


def one_mark(marks: list[str] | None) -> str | None:
    """The mark given with `--pier`, None where none was. Raises BadInput for more than one."""
    if marks and len(marks) > 1:
        wrong = f"is given {len(marks)} times ({', '.join(marks[:4])}), and one pier is taken"
        raise _unusable(Path("--pier"), wrong, "run the command once for each, or leave it off for all")
    return marks[0] if marks else None


def site_files(folder: Path) -> list[Path]:
    """The YAML files of a folder, by name, without copies of what was tried. Raises OSError."""
    found = sorted(p for p in folder.iterdir() if p.suffix.lower() in {".yaml", ".yml"} and p.is_file())
    return [p for p in found if COPY not in p.stem] or found


def chosen(site: Site, mark: str | None) -> tuple[Pier, ...]:
    """The pier with this mark, or all of them for None. Raises BadInput that offers the nearest mark."""
    if mark is None:
        return site.piers
    found = tuple(pier for pier in site.piers if pier.mark == mark)
    if found:
        return found
    from models.spec.base import nearest
    from viewer.wording.fold import named

    marks = [pier.mark for pier in site.piers]
    near = nearest(mark, marks)
    instead = f"did you mean {near}?" if near else f"the piers are {named(marks)}"
    raise _unusable(Path("--pier"), f"no pier is marked {mark or 'like that'}", instead)


def _unusable(what: Path, wrong: str, instead: str) -> BadInput:
    return BadInput([Problem(Place(str(what)), wrong, instead)])
