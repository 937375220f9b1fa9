"""A site judged for the window: a large one on two cores at once, where the system lets it."""

from __future__ import annotations

import multiprocessing
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace

import numpy as np

from clash.gap_table import GapTable
from clash.gaps import measure
from clash.judge import judge, natural, worst_first
from clash.report.findings import Finding, Report
from models.site import Site

LARGE = 120
"""Piers from which a second process is worth its start."""

_site: Site | None = None


def judged(site: Site) -> tuple[Report, GapTable]:
    """The report on a site, and its gaps; the same whichever way it was judged."""
    count = len(site.piers)
    # Only on Linux is a copy of this process to be had at once, with the site already in it.
    if count < LARGE or sys.platform != "linux" or (os.cpu_count() or 1) < 2:
        gaps = measure(site.piers)
        return judge(site, gaps), gaps
    global _site
    _site = site
    half = count // 2
    try:
        with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("fork")) as other:
            there = other.submit(_some, half, count)
            here = _some(0, half)
            return _together(here, there.result(), half)
    finally:
        _site = None


def _some(first: int, last: int) -> tuple[Report, GapTable]:
    assert _site is not None
    piers = _site.piers[first:last]
    gaps = measure(piers)
    return judge(replace(_site, piers=piers), gaps), gaps


def _together(
    one: tuple[Report, GapTable], two: tuple[Report, GapTable], offset: int
) -> tuple[Report, GapTable]:
    """One report of two halves: a thing that piers of both share is told at the first mark, as in one run."""
    (a, gaps_a), (b, gaps_b) = one, two
    findings: dict[str, Finding] = {}
    for finding in (*a.findings, *b.findings):
        known = findings.get(finding.id)
        if known is None or natural(finding.pier) < natural(known.pier):
            findings[finding.id] = finding
    columns = ("a", "b", "gap", "at_a", "at_b")
    gaps = GapTable(
        np.concatenate([gaps_a.pier, gaps_b.pier + offset]),
        *(np.concatenate([getattr(gaps_a, name), getattr(gaps_b, name)]) for name in columns),
    )
    return replace(a, findings=tuple(worst_first(list(findings.values()))), piers=a.piers + b.piers), gaps
