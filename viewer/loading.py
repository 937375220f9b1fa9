"""From what stands on the command line to a built site: the file, its piers, one mark among them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from models.problems import BadInput, Place, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.pier import Pier
    from models.site import Site


def site_file(given: Path) -> Path:
    """The site file itself: `given`, or the single YAML file of the folder `given`.

    Raises BadInput when there is no such file or folder, or when the folder doesn't hold exactly one.
    """
    if not given.is_dir():
        return given
    found = sorted(p for p in given.iterdir() if p.suffix.lower() in {".yaml", ".yml"} and p.is_file())
    if len(found) == 1:
        return found[0]
    if not found:
        raise _unusable(given, "is a folder without a site file (*.yaml)", "name the site file")
    names = ", ".join(p.name for p in found[:4]) + (", ..." if len(found) > 4 else "")
    raise _unusable(given, f"is a folder with {len(found)} YAML files ({names})", "name one of them")


def load(file: Path) -> Site:
    """Read and build a site. Raises BadInput with everything that's wrong with it."""
    from models.build import build_site
    from models.reading import read_site

    return build_site(*read_site(file))


def chosen(site: Site, mark: str | None) -> tuple[Pier, ...]:
    """The pier with this mark, or all of them for None. Raises BadInput that offers the nearest mark."""
    if mark is None:
        return site.piers
    found = tuple(pier for pier in site.piers if pier.mark == mark)
    if found:
        return found
    marks = [pier.mark for pier in site.piers]
    raise _unusable(Path("--pier"), f"no pier is marked {mark}", f"did you mean {nearest(mark, marks)}?")


def nearest(word: str, words: Sequence[str]) -> str:
    """Which of the words is most like `word`; upper and lower case make no difference."""
    from difflib import SequenceMatcher

    low = word.casefold()
    return max(words, key=lambda known: SequenceMatcher(None, low, known.casefold()).ratio())


def _unusable(what: Path, wrong: str, instead: str) -> BadInput:
    return BadInput([Problem(Place(str(what)), wrong, instead)])
