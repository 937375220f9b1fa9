"""ACI 318-19: development lengths and laps as the equations have them.

Lengths are mm and strengths MPa; the equations are in inches and psi, and are converted inside. Normalweight
concrete (lambda 1), vertical bars (psi_t 1).
"""

from __future__ import annotations

from math import sqrt
from pathlib import Path

from clash.figures import figures
from models.lengths import INCH, PSI

FIGURES = figures(Path(__file__).with_name("laps.csv"))
GRADE_60 = 60_000.0 * PSI
"""MPa."""
_GRADES = {280.0: 40_000.0, 420.0: 60_000.0, 550.0: 80_000.0, 690.0: 100_000.0}
"""MPa of ACI 318M's grades, and psi of the grades of ACI 318 that they stand for (Table 20.2.2.4)."""


def grade(f_y: float | None) -> float:
    """A yield strength of the site, MPa, as this code's: Grade 60 when left out, and 420 MPa is Grade 60."""
    if f_y is None:
        return GRADE_60
    return next((psi * PSI for mpa, psi in _GRADES.items() if abs(f_y - mpa) < 0.5), f_y)


def root(f_c: float) -> float:
    """sqrt(f'c) in psi, at most 100 psi (25.4.1.4); f_c: MPa."""
    return min(sqrt(f_c / PSI), _value("root most"))


def psi_e(epoxy: bool, cover: float, clear: float, d_b: float) -> float:
    """Coating factor (25.4.2.5): 1.5 for epoxy with less than 3 d_b of cover or 6 d_b clear, else 1.2."""
    if not epoxy:
        return 1.0
    near = cover < _value("psi e near cover") * d_b - 1e-6 or clear < _value("psi e near clear") * d_b - 1e-6
    return min(_value("psi e near" if near else "psi e"), _value("psi t psi e most"))


def psi_g(f_y: float) -> float:
    """Grade factor (Table 25.4.2.5): 1.0 up to Grade 60, 1.15 at Grade 80, 1.3 at Grade 100; stepped up."""
    if f_y <= GRADE_60 + 1e-6:
        return 1.0
    return _value("psi g 80" if f_y <= 80_000.0 * PSI + 1e-6 else "psi g 100")


def small(d_b: float) -> bool:
    """Whether a bar is a No. 6 or smaller."""
    return d_b <= _value("small up to") + 0.1


def confinement(d_b: float, cover: float, clear: float, legs: float, spacing: float, count: int) -> float:
    """(c_b + K_tr) / d_b, at most 2.5 (25.4.2.4), with K_tr = 40 A_tr / (s n) (Eq. 25.4.2.4b).

    cover: clear; clear: between bars that are developed, mm, may be infinite; legs: A_tr, mm2, at each
    `spacing` s, mm, for `count` n bars; 0 where ties are not counted.
    """
    c_b = min(cover + d_b / 2.0, (clear + d_b) / 2.0)
    k_tr = _value("ties in confinement") * legs / (spacing * count) if legs > 0.0 else 0.0
    return min((c_b + k_tr) / d_b, _value("confinement most"))


def tension(d_b: float, f_y: float, f_c: float, confined: float, coating: float = 1.0) -> float:
    """l_d, mm, before its least of 12 in (Eq. 25.4.2.4a).

    l_d = 3/40 f_y / (lambda sqrt(f'c)) psi_t psi_e psi_s psi_g / ((c_b + K_tr) / d_b) d_b;
    confined: `confinement`; coating: `psi_e`.
    """
    size = _value("psi s") if small(d_b) else 1.0
    factors = coating * size * psi_g(f_y)
    return _value("development") * (f_y / PSI) / root(f_c) * factors / confined * d_b


def tension_simple(d_b: float, f_y: float, f_c: float, good: bool, coating: float = 1.0) -> float:
    """l_d, mm, before its least of 12 in, by Table 25.4.2.3; good: clear spacing and cover of its first rows.

    f_y psi_t psi_e psi_g / (25 lambda sqrt(f'c)) d_b for No. 6 and smaller, 20 in place of 25 for larger;
    otherwise 50/3 and 40/3.
    """
    figure = _value(f"simple {'good' if good else 'other'} {'small' if small(d_b) else 'large'}")
    return figure * (f_y / PSI) / root(f_c) * coating * psi_g(f_y) * d_b


def class_b(l_d: float) -> float:
    """Class B tension lap, mm, of a development length before its least: 1.3 l_d, 12 in (25.5.2.1)."""
    return max(_value("lap class B") * l_d, _value("lap least"))


def developed(l_d: float) -> float:
    """Development length with its least of 12 in (25.4.2.1), mm."""
    return max(l_d, _value("development least"))


def compression_lap(d_b: float, f_y: float, f_c: float) -> float:
    """l_sc, mm (25.5.5.1): 0.0005 f_y d_b up to Grade 60, (0.0009 f_y - 24) d_b above; 12 in; a third more
    for concrete under 3000 psi. Raises ValueError above Grade 80, where a tension lap decides too.
    """
    psi = f_y / PSI
    if psi > 80_000.0 + 1.0:
        raise ValueError("compression laps above Grade 80 follow the tension lap as well")
    if psi <= 60_000.0 + 1e-3:
        lap = _value("lap compression") * psi * d_b
    else:
        lap = (_value("lap compression high") * psi - _value("lap compression high less")) * d_b
    lap = max(lap, _value("lap least"))
    return lap * (_value("lap compression weak") if f_c < 3000.0 * PSI - 1e-6 else 1.0)


def compression(d_b: float, f_y: float, f_c: float) -> float:
    """l_dc, mm (25.4.9): the greatest of f_y / (50 lambda sqrt(f'c)) d_b, 0.0003 f_y d_b and 8 in."""
    psi = f_y / PSI
    by_root = _value("development compression by root") * psi / root(f_c)
    by_yield = _value("development compression") * psi
    return max(max(by_root, by_yield) * d_b, _value("development compression least"))


def hook(d_b: float, f_y: float, f_c: float, coating: float, confining: float, location: float) -> float:
    """l_dh, mm (25.4.3.1): f_y psi_e psi_r psi_o psi_c / (55 lambda sqrt(f'c)) d_b^1.5, 8 d_b and 6 in.

    d_b^1.5 in inches; coating, confining, location: psi_e, psi_r, psi_o; psi_c = f'c / 15,000 + 0.6, at most
    1 (from 6000 psi).
    """
    strength = min(_value("hook psi c slope") * f_c / PSI + _value("hook psi c"), _value("hook psi c most"))
    factors = coating * confining * location * strength
    inches = _value("hook") * (f_y / PSI) * factors / root(f_c) * float((d_b / INCH) ** 1.5)
    return max(inches * INCH, _value("hook least by bar") * d_b, _value("hook least"))


def _value(name: str) -> float:
    return FIGURES[name].value
