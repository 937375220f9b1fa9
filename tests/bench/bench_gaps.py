"""How fast all gaps of a pier are found, beside a faceted peer, and how that grows with the number of piers.

The peer is python-fcl (bounding volume hierarchies over the parts' meshes, built outside the timing), over
the same candidate pairs. Other work on the machine makes times unsteady: CPU time is counted, medians of
five, and the ratio is what matters.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from clash.gaps import candidate_pairs, measure
from models.build import build_pier
from models.pier import Pier
from models.reading.site_file import read_site
from models.shapes.mesh import CHORD_ERROR, mesh_of
from tests.support.timing import cpu_median

ROOT = Path(__file__).parent.parent.parent
DEMO = ROOT / "models" / "examples" / "reedbank" / "reedbank.yaml"
RUNS = 5


def different_piers(count: int, wider: float = 0.0) -> Iterator[Pier]:
    """Piers like the demo's, each a little deeper than the last of its kind, so that no two are the same.

    Their verticals and the spacing of their ties all differ; the ties themselves and what stands on top of a
    kind do not, as on a real site. With `wider` (mm) each is also that much wider than the last, and so are
    its ties: next to nothing repeats.
    """
    site, _ = read_site(DEMO)
    for k in range(count):
        spec = site.piers[k % len(site.piers)]
        differs: dict[str, object] = {"mark": f"X{k}", "bottom": spec.bottom - 0.05 * (k // len(site.piers))}
        if wider > 0.0:
            sizes = {name: getattr(spec.outline, name) for name in ("square", "round")}
            grown = {name: size + wider * k for name, size in sizes.items() if size is not None}
            differs["outline"] = spec.outline.model_copy(update=grown)
            if spec.cage is not None and spec.cage.size is not None:
                differs["cage"] = spec.cage.model_copy(update={"size": spec.cage.size + wider * k})
        yield build_pier(site, spec.model_copy(update=differs))


@pytest.mark.bench
def test_beside_a_faceted_peer() -> None:
    fcl = pytest.importorskip("fcl", reason="python-fcl has wheels for Linux and macOS only")
    piers = list(different_piers(24))
    pairs = candidate_pairs(piers)
    objects = {}
    for k, pier in enumerate(piers):
        for i, part in enumerate(pier.parts):
            mesh, model = mesh_of(part.solid), fcl.BVHModel()
            model.beginModel(len(mesh.vertices), len(mesh.faces))
            model.addSubModel(np.array(mesh.vertices), np.array(mesh.faces))
            model.endModel()
            objects[k, i] = fcl.CollisionObject(model, fcl.Transform())
    ready = [(objects[k, a], objects[k, b]) for k, a, b in pairs.tolist()]
    request = fcl.DistanceRequest()

    def peer() -> None:
        for a, b in ready:
            fcl.distance(a, b, request, fcl.DistanceResult())

    ours, theirs = cpu_median(lambda: measure(piers), RUNS), cpu_median(peer, RUNS)
    print(
        f"\n{len(piers)} piers, {len(pairs)} pairs (medians of {RUNS}): we {ours / len(piers) * 1e3:.2f} ms "
        f"a pier, faces of concrete included; python-fcl {theirs / len(piers) * 1e3:.1f} ms, meshes true to "
        f"{CHORD_ERROR} mm; ratio {theirs / ours:.0f}"
    )
    assert theirs / ours >= 30.0


@pytest.mark.bench
def test_growth() -> None:
    print("\npiers   parts    gaps  ms a pier  peak MB, piers and all (CPU, medians of 5)")
    each = []
    for count in (36, 360, 3600):
        said = subprocess.run(
            [sys.executable, "-m", "tests.bench.bench_gaps", str(count)],
            cwd=ROOT,
            capture_output=True,
            check=True,
            text=True,
            timeout=1800,
        ).stdout.split()
        parts, gaps, seconds, peak = int(said[0]), int(said[1]), float(said[2]), float(said[3])
        each.append(seconds / count)
        print(f"{count:5d} {parts:7d} {gaps:7d} {seconds / count * 1e3:10.2f} {peak:8.0f}")
        assert seconds / count <= 0.002
        assert peak < 1000.0
    assert each[2] <= 1.5 * each[1]


@pytest.mark.bench
def test_piers_that_differ_in_plan_too() -> None:
    print("\npiers  ms a pier, none of them as wide as another (CPU, medians of 5)")
    for count in (36, 360):
        piers = list(different_piers(count, wider=0.1))
        each = cpu_median(lambda piers=piers: measure(piers), RUNS) / count
        print(f"{count:5d} {each * 1e3:10.2f}")
        assert each <= 2 * 0.002  # what repeats accounts for half of the speed at most


def one_size(count: int) -> None:
    """Print the parts and gaps of so many piers, the median CPU time in s, and the most memory in MB."""
    piers = list(different_piers(count))
    seconds = cpu_median(lambda: measure(piers), RUNS)
    gaps = len(measure(piers))
    print(sum(len(p.parts) for p in piers), gaps, seconds, most_memory())


def most_memory() -> float:
    """MB that this process has held at most; getrusage would count what its parent held before it."""
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM:"))
        return int(line.split()[1]) / 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


if __name__ == "__main__":
    one_size(int(sys.argv[1]))
