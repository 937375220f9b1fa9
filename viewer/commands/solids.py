"""`pierclear solids`: what the modelling made, as files."""

from __future__ import annotations

from pathlib import Path

from viewer import console
from viewer.files import folder
from viewer.given import chosen, site_file


def solids_into(given: Path, target: Path, mark: str | None) -> None:
    """Write every part as a mesh into the folder `target`. Raises BadInput for what can't be used."""
    file = site_file(given)
    with folder(target) as inside:
        from models.export.files import write_solids
        from models.reading.loading import load_site

        site = load_site(file)
        chosen(site, mark)
        write_solids(site, inside, mark)
        count = sum(1 for p in inside.rglob("*") if p.is_file())
    console.show(f"{count:,} files are in {target}; parts.json lists them.")
