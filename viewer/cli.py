"""The command line: `pierclear`. Thin: each command reads its options and hands over.

Only typer is imported here; what a command needs, it imports when it runs, so that `--help` comes at once.
"""

from __future__ import annotations

import gc
import os
import pkgutil
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from viewer import console
from viewer.exits import FINE, FOUND, ending

app = typer.Typer(
    name="pierclear",
    help=(
        "Checks, before the concrete is poured, that everything fits in every cast pier.\n\n"
        "Exit codes: 0 nothing to report; 1 something is on HOLD or NOT CHECKED; 2 input or options that "
        "can't be used; 3 a fault of pierclear's own.\n\n"
        "A geometry check on the data given, no structural design: the engineer of record, the local code "
        "and the building official decide."
    ),
    epilog="Start with: pierclear demo",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

SiteFile = Annotated[
    Path,
    typer.Argument(metavar="SITE", help="The site file, or a folder that holds one.", show_default=False),
]
Marks = Annotated[
    list[str] | None,  # a list only so that a second one is refused, and not taken in place of the first
    typer.Option("--pier", metavar="MARK", help="Only this pier.", show_default=False),
]
Target = Annotated[
    Path,
    typer.Option("--json", metavar="F", help="The file to write; - is standard output.", show_default=False),
]


SHEETS = ", ".join(sorted(m.name for m in pkgutil.iter_modules([str(Path(__file__).parent / "sheets")])))
"""The names of the sheets, found without loading them."""


class Document(StrEnum):
    """What there is a JSON Schema of."""

    SITE = "site"
    FINDINGS = "findings"
    GAPS = "gaps"
    ASBUILT = "asbuilt"


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        try:
            number = version("pierclear")
        except PackageNotFoundError:
            number = "(run from its folder, not installed)"
        console.show(f"pierclear {number}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """What goes before a command."""


@app.command(
    short_help="Write the example site, and check it.",
    help="Write the example site into DIR, check it, and write its reports there.",
)
@ending
def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="[DIR]", help="Where to; ./reedbank unless named.", show_default=False)
    ] = Path("reedbank"),
) -> int:
    """Exit 0, whatever the example holds."""
    from viewer.commands.examples import write_demo

    write_demo(folder)
    return FINE


@app.command(
    short_help="Write a small site of your own, to edit.",
    help="Write a small commented site of your own into DIR, to edit.",
)
@ending
def start(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where to.", show_default=False)],
) -> int:
    """Exit 0, or 2 when DIR already holds a site file."""
    from viewer.commands.examples import write_start

    write_start(folder)
    return FINE


@app.command(
    short_help="Print what doesn't fit, worst first.",
    help="Print what doesn't fit, worst first, and the count of what was checked.",
)
@ending
def check(
    site: SiteFile,
    json: Annotated[
        Path | None,
        typer.Option(
            "--json", metavar="F", help="Findings as JSON (mm) too; - is standard output.", show_default=False
        ),
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="F", help="Findings for a spreadsheet too.", show_default=False),
    ] = None,
    pier: Marks = None,
    since: Annotated[
        Path | None,
        typer.Option(
            "--since",
            metavar="OLD.json",
            help="An earlier report (--json): tell what is new, gone, better and worse since.",
            show_default=False,
        ),
    ] = None,
    as_placed: Annotated[
        Path | None,
        typer.Option(
            "--as-placed",
            metavar="SHOTS.csv",
            help="Rods and dowels where a survey has them.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Exit 1 when something is on HOLD (not answered) or NOT CHECKED, else 0."""
    from viewer.commands.check import check_site
    from viewer.given import one_mark

    return FOUND if check_site(site, json, csv, one_mark(pier), since, as_placed) else FINE


@app.command(
    short_help="Print the rules and their sources.",
    help="Print the rules with their sources, and with SITE that site's figures.",
)
@ending
def rules(
    site: Annotated[
        Path | None,
        typer.Argument(
            metavar="[SITE]", help="The site file, or a folder that holds one.", show_default=False
        ),
    ] = None,
) -> int:
    """Exit 0."""
    from viewer.commands.rule_table import show_rules

    show_rules(site)
    return FINE


@app.command(
    short_help="Write every gap as JSON.",
    help="Write every gap between two parts, and to the faces of the concrete, as JSON (mm).",
)
@ending
def gaps(
    site: SiteFile,
    json: Target,
    pier: Marks = None,
    within: Annotated[
        str | None,
        typer.Option(
            "--within", metavar="LENGTH", help="How far to look; 150 mm unless named.", show_default=False
        ),
    ] = None,
) -> int:
    """Exit 0."""
    from viewer.commands.gaps import write_gaps
    from viewer.given import one_mark

    write_gaps(site, json, one_mark(pier), within)
    return FINE


@app.command(
    short_help="Write every part as a mesh.",
    help="Write every part as a mesh (OBJ, mm), a list of them, and the whole as one GLB (m).",
)
@ending
def solids(
    site: SiteFile,
    to: Annotated[
        Path, typer.Option("--to", metavar="DIR", help="The folder to write into.", show_default=False)
    ],
    pier: Marks = None,
) -> int:
    """Exit 0."""
    from viewer.commands.solids import solids_into
    from viewer.given import one_mark

    solids_into(site, to, one_mark(pier))
    return FINE


@app.command(
    short_help=f"Write shop paper: {SHEETS}.",
    help=f"Write shop paper into DIR, as PDF, and as DXF where it is cut. NAME is one of {SHEETS}.",
)
@ending
def sheet(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Which sheet.", show_default=False)],
    site: SiteFile,
    to: Annotated[
        Path, typer.Option("--to", metavar="DIR", help="The folder to write into.", show_default=False)
    ],
    pictures: Annotated[
        bool, typer.Option("--pictures", help="The first page of each as a picture (SVG) too.")
    ] = False,
    shots: Annotated[
        Path | None,
        typer.Option(
            "--shots",
            metavar="SHOTS.csv",
            help="Drilling and plate: holes where the rods were measured; grout: tops as measured.",
            show_default=False,
        ),
    ] = None,
    pier: Annotated[
        list[str] | None,
        typer.Option(
            "--pier",
            metavar="MARK",
            help="The plate of this pier as placed, even if it drops on.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Exit 0."""
    from viewer.commands.sheet import write_sheets
    from viewer.given import one_mark

    write_sheets(name, site, to, pictures=pictures, shots=shots, pier=one_mark(pier))
    return FINE


@app.command(
    short_help="Compare a fabricator's drawing of a plate with the site.",
    help="Compare a fabricator's drawing of a plate (DXF) with the site: holes off, missing, extra.",
)
@ending
def compare(
    site: SiteFile,
    drawing: Annotated[Path, typer.Argument(metavar="FILE.dxf", help="The drawing.", show_default=False)],
    unit: Annotated[
        str | None,
        typer.Option(
            "--unit", metavar="UNIT", help="What the drawing is in: in, ft, mm, cm or m.", show_default=False
        ),
    ] = None,
    plate: Annotated[
        str | None,
        typer.Option("--plate", metavar="MARK", help="The plate's mark, or a pier's.", show_default=False),
    ] = None,
    layer: Annotated[
        str | None,
        typer.Option("--layer", metavar="NAME", help="Look at this layer only.", show_default=False),
    ] = None,
    rods_off: Annotated[
        str | None,
        typer.Option(
            "--rods-off", metavar="LENGTH", help="How far each rod may stand off.", show_default=False
        ),
    ] = None,
) -> int:
    """Exit 1 when something is on HOLD or NOT CHECKED, else 0."""
    from viewer.commands.compare import compare_plate

    return FOUND if compare_plate(site, drawing, unit, plate, layer, rods_off) else FINE


@app.command(
    short_help="Look at a site in a window, or write a picture.",
    help="Look at a site and walk from finding to finding; with --still write a picture, and open no window.",
)
@ending
def view(
    site: SiteFile,
    pier: Annotated[
        list[str] | None,
        typer.Option("--pier", metavar="MARK", help="This pier; else the key plan.", show_default=False),
    ] = None,
    still: Annotated[
        Path | None,
        typer.Option("--still", metavar="F.png", help="The picture to write.", show_default=False),
    ] = None,
    shots: Annotated[
        Path | None,
        typer.Option(
            "--shots",
            metavar="SHOTS.csv",
            help="What was placed, beside what was drawn.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Exit 0."""
    from viewer.commands.view import view_site
    from viewer.given import one_mark

    view_site(site, one_mark(pier), still, shots)
    return FINE


@app.command(
    short_help="Write the crew briefing, one file for a phone or for paper.",
    help="Write the crew briefing: a card a pier, what to watch, what to tick off; one file, HTML or PDF.",
)
@ending
def brief(
    site: SiteFile,
    to: Annotated[Path, typer.Option("--to", metavar="FILE", help="F.html or F.pdf.", show_default=False)],
    shots: Annotated[
        Path | None,
        typer.Option(
            "--shots",
            metavar="SHOTS.csv",
            help="A survey: how each pier was placed, against how it was drawn.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Exit 0."""
    from viewer.commands.briefing import write_brief

    write_brief(site, to, shots)
    return FINE


@app.command(
    short_help="Judge what was placed, from a survey.",
    help="Lay a surveyor's points over the drawing: where each pier stands, and whether each plate drops on.",
)
@ending
def asbuilt(
    site: SiteFile,
    shots: Annotated[
        Path,
        typer.Argument(
            metavar="SHOTS.csv",
            help="Point, northing, easting, elevation, description; one a line.",
            show_default=False,
        ),
    ],
    json: Annotated[
        Path | None,
        typer.Option(
            "--json",
            metavar="F",
            help="All of it as JSON (mm) too; - is standard output.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Exit 1 when something is on HOLD (not answered) or NOT CHECKED, else 0."""
    from viewer.commands.as_built import show_as_built

    return FOUND if show_as_built(site, shots, json) else FINE


@app.command(
    short_help="Print a JSON Schema.",
    help="Print a JSON Schema: of the site file (for your editor), of the findings, or of the gaps.",
)
@ending
def schema(
    of: Annotated[Document, typer.Argument(metavar="site|findings|gaps|asbuilt", show_default=False)],
) -> int:
    """Exit 0."""
    import json

    from viewer.report.schemas import schema_of

    console.show(json.dumps(schema_of(of.value), indent=2))
    return FINE


def main() -> None:
    """The console script: readies the streams and runs the command."""
    # Before numpy is imported: matrices here are 3 by 3, and readying threads for large ones takes a
    # tenth of a short run.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Nobody watches how a site file is validated; looking for who might reads every installed package's list.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    gc.set_threshold(200_000, 20, 20)  # a short run: looking for cycles costs it 2 to 4 %, 20 MB is nothing
    console.ready()
    app(prog_name="pierclear")
