"""Reports made by hand, with every kind of finding in them."""

from __future__ import annotations

from msgspec.structs import replace

from clash.report.findings import Finding, Level, Report

SHA = "0123456789abcdef" * 4


def finding(number: int = 1, **changes: object) -> Finding:
    """A HOLD on pier P7 between rod 3 and a tie."""
    base = Finding(
        id=f"rod-bar-clear:P7/rod/3:P7/tie/{number}",
        level=Level.HOLD,
        rule="rod-bar-clear",
        source="as specified",
        pier="P7",
        parts=("P7/rod/3", f"P7/tie/{number}"),
        labels=("rod 3 (SE)", f"tie {number} from top"),
        measured_mm=9.5,
        required_mm=25.4,
        limit="least",
        tolerance_mm=6.35,
        reserve_mm=-15.9,
        at_mm=(4.5e9, 3048.0, 1200.0),
        says=f"Rod 3 (SE) and tie {number} from top: 0.37 in clear between them, 1.00 in needed "
        "(as specified).",
        group="rod-bar-clear:P7/rod/3",
    )
    return replace(base, **changes)


def missing(pier: str) -> Finding:
    """Something NOT CHECKED at a pier because the site didn't say."""
    return Finding(
        id=f"bar-clear:{pier}:aggregate",
        level=Level.NOT_CHECKED,
        rule="bar-clear",
        source="ACI 318-19 25.2.3",
        pier=pier,
        parts=(),
        labels=(),
        says="Clear spacing between bars: the site file does not say the aggregate.",
        group="bar-clear:aggregate",
    )


def report(*findings: Finding, **changes: object) -> Report:
    """A report on a site of 24 piers that holds these findings."""
    base = Report(
        version=1,
        site="Reedbank Field Station",
        input_sha256=SHA,
        rule_book="ACI 318-19",
        units="ft-in",
        overrides=(),
        piers=24,
        checked=4312,
        not_checked=sum(f.level is Level.NOT_CHECKED for f in findings),
        findings=findings,
        clear={"overlap": 4000, "rod-bar-clear": 300, "cover": 0},
        titles={
            "overlap": "parts that share space",
            "rod-bar-clear": "rods clear of bars",
            "dowel-lap": "lap of dowels with the verticals",
        },
        not_modelled=("Steel in the grade beam is not modelled.",),
    )
    return replace(base, **changes)
