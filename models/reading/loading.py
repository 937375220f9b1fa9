"""From a site file on disk to a built site, with what cannot be built told at its place in the file."""

from __future__ import annotations

from pathlib import Path

from models.build import CannotBuild, build_site
from models.problems import BadInput, Place, Problem
from models.reading.site_file import SiteFile, read_site_file
from models.site import Site

MOST_MARKS = 6
"""How many marks one line names before it says how many more there are."""


def load_site(path: Path) -> Site:
    """Read and build a site file.

    Raises BadInput with every problem: of the file where it cannot be read, else of the piers that cannot be
    built. What several piers of one kind share is told once, at the kind.
    """
    file = read_site_file(path)
    try:
        return build_site(file.spec, file.sha256)
    except CannotBuild as error:
        raise BadInput(_placed(error, file)) from None


def _placed(error: CannotBuild, file: SiteFile) -> list[Problem]:
    kind_of = {pier.mark: pier.kind for pier in file.spec.piers}
    marks: dict[tuple[str, str], list[str]] = {}
    for mark, problem in zip(error.marks, error.problems, strict=True):
        marks.setdefault((kind_of[mark], problem.wrong), []).append(mark)
    placed = []
    for (kind, wrong), shared in marks.items():
        if len(shared) == 1:
            where: Place = file.pier_places[shared[0]]
            placed.append(Problem(where, f"pier {shared[0]}: {wrong}"))
        else:
            more = f" and {len(shared) - MOST_MARKS} more" if len(shared) > MOST_MARKS else ""
            named = ", ".join(shared[:MOST_MARKS]) + more
            placed.append(Problem(file.kind_places[kind], f"kind {kind} (piers {named}): {wrong}"))
    return placed
