"""`pierclear start` and `pierclear demo`: sites that come with the program, copied out to be edited."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import models
from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.console import PIPED_WIDTH
from viewer.files import made, outputs

if TYPE_CHECKING:
    from viewer.paper.job import Job

EXAMPLES = Path(models.__file__).parent / "examples"
START = "start"
DEMO = "reedbank"
REPORTS = ("report.txt", "findings.json", "findings.csv")
"""What `demo` writes beside the site."""
PICTURES = "pictures"
"""The folder that it writes a picture of each pier into, and the key plan."""


def write_start(target: Path) -> None:
    """Copy the site to begin with into `target`. Raises BadInput when a file of its name is there."""
    files = {target / name: data for name, data in _files(START).items()}
    with made(target):
        _refuse_company(target, files)
        there = [path for path in files if path.exists()]
        _refuse(there, "is already there and isn't written over", "choose another folder")
        with outputs(*files) as out:
            for path, data in files.items():
                out.put(path, data)
    site = target / "site.yaml"
    console.show(
        f"{site} is yours to edit: two piers, with a word on every line.\n"
        f"Read it, put your drawings' figures in, then run: pierclear check {_quoted(target)}"
    )


def write_demo(target: Path) -> None:
    """Copy the example site into `target`, check it, print the report, write it and pictures there too.

    A file of the example that was edited stays as it is: raises BadInput, and nothing is written.
    """
    from viewer.commands.check import printed
    from viewer.given import site_file
    from viewer.report.csv_out import findings_csv
    from viewer.report.json_out import findings_json
    from viewer.report.terminal import report_text

    files = {target / name: data for name, data in _files(DEMO).items()}
    source = site_file(EXAMPLES / DEMO)
    site = target / source.name
    text, json, csv = (target / name for name in REPORTS)
    with made(target):
        _refuse_company(target, files)
        edited = [path for path, data in files.items() if _stands_changed(path, data)]
        _refuse(edited, "was edited and isn't written over", "choose another folder for the demo")
        missing = [path for path in files if not path.exists()]
        job = _job(source)
        key, *piers = (target / PICTURES / f"{name}.png" for name in ("key-plan", *_marks(job)))
        with made(target / PICTURES), outputs(*missing, text, json, csv, key, *piers) as out:
            for path in missing:
                out.put(path, files[path])
            out.put(text, (report_text(job.report, site.name, PIPED_WIDTH) + "\n").encode())
            out.put(json, findings_json(job.report))
            out.put(csv, findings_csv(job.report))
            for path, data in zip((key, *piers), _pictures(job), strict=True):
                out.put(path, data)
    console.show(printed(job.report, str(site)))
    console.show(_next(target, site, sorted(path.name for path in files)))


def _job(source: Path) -> Job:
    """The example, read and judged."""
    from datetime import date

    from clash.judge import judge
    from models.reading.loading import load_site
    from viewer.paper.job import Job

    site = load_site(source)
    return Job(site, judge(site), date.today().isoformat())


def _marks(job: Job) -> list[str]:
    return [pier.mark for pier in job.site.piers]


def _pictures(job: Job) -> Iterator[bytes]:
    """The key plan, then a picture of each pier; a sentence where they have no view in space."""
    from viewer.commands.view import site_picture
    from viewer.pictures.made import pictures, sheets

    wanted = sheets(job, job.site.piers)
    missing = ""
    with console.Progress("pictures", len(wanted)) as progress:
        yield site_picture(job)
        for count, made_one in enumerate(pictures(wanted), start=1):
            progress.at(count)
            missing = missing or made_one.missing
            yield made_one.data
    if missing:
        console.complain(missing)


def _next(target: Path, site: Path, copied: list[str]) -> str:
    """What was written, and what to read next."""
    pages = [name for name in copied if name.endswith(".md")]
    lines = [
        "",
        f"Written to {target}: {', '.join([*copied, *REPORTS])}, and {PICTURES} with a picture of each pier.",
        *(f"Read next: {target / page}" for page in sorted(pages, reverse=True)),
        f"Then change a figure in {site} and run: pierclear check {_quoted(target)}",
        "For a site of your own: pierclear start my-site",
    ]
    return "\n".join(lines)


def _files(example: str) -> dict[str, bytes]:
    """The files of an example by name. Raises FileNotFoundError when the installation lacks it."""
    found = {p.name: p.read_bytes() for p in sorted((EXAMPLES / example).iterdir()) if p.is_file()}
    if not found:
        raise FileNotFoundError(f"the installation lacks the example {example}")
    return found


def _refuse(paths: list[Path], wrong: str, instead: str) -> None:
    """Raise BadInput with one line for each path, if there are any."""
    if paths:
        raise BadInput([Problem(Place(str(p)), wrong, instead) for p in paths])


def _refuse_company(target: Path, files: Iterable[Path]) -> None:
    """Raise BadInput when the folder holds another site file: it would no longer stand for one site."""
    from viewer.given import site_files

    others = [path for path in site_files(target) if path not in set(files)]
    _refuse(others, "is another site file, and a folder stands for one site", "choose another folder")


def _stands_changed(path: Path, data: bytes) -> bool:
    """Whether something else than the example's file stands there."""
    return path.exists() and not (path.is_file() and path.read_bytes() == data)


def _quoted(path: Path) -> str:
    return f'"{path}"' if " " in str(path) else str(path)
