"""Pictures of piers as PNG files, each made in a process of its own pool.

Drawing in space may take the process with it where drivers are broken, and two cores draw twice as fast.
Where no process survives, the pictures are made without their view in space.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context

from msgspec import Struct
from msgspec.structs import replace

from models.lengths import Units
from models.pier import Pier
from viewer.drawing.page import Page
from viewer.legend.spots import Watch, by_pier
from viewer.paper.job import Job
from viewer.paper.title import Title
from viewer.pictures.pier_page import Solid, pier_page
from viewer.pictures.space import NO_VIEW, prepare, solid_view

DPI = 300
_MOST_PROCESSES = 4
_TURN = 60.0
"""s that one picture may take before its process counts as lost."""


class Sheet(Struct, frozen=True, eq=False):
    """What the picture of one pier is made from; size: of the paper, mm."""

    pier: Pier
    watch: tuple[Watch, ...]
    title: Title
    size: tuple[float, float]
    units: Units


class Picture(Struct, frozen=True):
    """A PNG file; missing: why it has no view in space, empty where it has one."""

    data: bytes
    missing: str


def sheets(job: Job, piers: Sequence[Pier]) -> list[Sheet]:
    """What the pictures of these piers are made from."""
    found = by_pier(job.report)
    size = min(job.desk), max(job.desk)
    out = []
    for pier in piers:
        title = replace(job.title(f"Pier {pier.mark}", f"{pier.mark}.png", []), holds=())
        out.append(Sheet(pier, found.get(pier.mark, ()), title.on(1, 1, "as noted"), size, job.units))
    return out


def page(sheet: Sheet, *, space: bool = True) -> tuple[Page, str]:
    """The page of a pier, and why it has no view in space; space: whether to try for one."""
    why: list[str] = []

    def draw(wide: float, high: float) -> Solid:
        if space:
            try:
                pixels = round(wide / 25.4 * DPI), round(high / 25.4 * DPI)
                return solid_view(sheet.pier, sheet.watch, pixels)
            except (RuntimeError, ImportError, OSError, AttributeError) as error:
                # What VTK raises without GL differs by version and system; the picture goes on without.
                why.append(" ".join(str(error).split())[:200] or type(error).__name__)
        else:
            why.append("")
        return Solid(None, NO_VIEW)

    made = pier_page(sheet.pier, sheet.watch, sheet.title, sheet.size, sheet.units, draw)
    return made, NO_VIEW if why else ""


def picture(sheet: Sheet, *, space: bool = True) -> Picture:
    """The picture of one pier, made here and now."""
    made, missing = page(sheet, space=space)
    return Picture(png(made, f"Pier {sheet.pier.mark}"), missing)


def pictures(wanted: Sequence[Sheet]) -> Iterator[Picture]:
    """The pictures of piers, in their order, several at a time."""
    workers = max(1, min(os.cpu_count() or 1, len(wanted), _MOST_PROCESSES))
    pool = ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=prepare)
    done = 0
    try:
        waiting = [pool.submit(picture, sheet) for sheet in wanted]
        for future in waiting:
            yield future.result(timeout=_TURN)
            done += 1
    except (BrokenProcessPool, TimeoutError):
        for sheet in wanted[done:]:
            yield picture(sheet, space=False)
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def png(made: Page, title: str) -> bytes:
    """A page as a PNG of 300 dots to the inch, drawn from its PDF."""
    import pypdfium2

    from viewer.drawing.pdf import pdf

    document = pypdfium2.PdfDocument(pdf([made], title))
    image = document[0].render(scale=DPI / 72.0).to_pil().convert("RGB")
    # What is a hair more than a whole pixel makes a further row.
    exact = round(made.width / 25.4 * DPI), round(made.height / 25.4 * DPI)
    stream = io.BytesIO()
    image.crop((0, 0, *exact)).save(stream, "PNG", dpi=(DPI, DPI), compress_level=4)
    document.close()
    return stream.getvalue()
