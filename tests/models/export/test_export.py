"""Exported files: read back by other hands, they hold what was built."""

from __future__ import annotations

import json
import re
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from models.export.files import GLB_CHORD_ERROR, write_solids
from models.part import Role
from models.problems import BadInput
from models.shapes.chamfer import concrete_volume
from models.shapes.mesh import CHORD_ERROR, mesh_of, volume_tolerance
from models.site import Site
from tests.support.hardware import beam_seat, everything, pier, plate_seat, site

RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)$", re.IGNORECASE)


@pytest.fixture(scope="module")
def made() -> Site:
    return everything()


@pytest.fixture(scope="module")
def out(made: Site, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("solids")
    write_solids(made, folder)
    return folder


def listed(folder: Path) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads((folder / "parts.json").read_text(encoding="utf-8"))
    return rows


def read_obj(path: Path) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Vertices and faces of an OBJ, read by hand."""
    lines = [line.split() for line in path.read_text(encoding="utf-8").splitlines()]
    vertices = np.array([[float(v) for v in line[1:]] for line in lines if line[0] == "v"])
    faces = np.array([[int(v) for v in line[1:]] for line in lines if line[0] == "f"])
    return vertices, faces - 1


def test_every_part_is_listed_once_and_has_its_file(made: Site, out: Path) -> None:
    rows = listed(out)
    ids = {part.id for found in made.piers for part in found.parts} | {
        f"{p.mark}/concrete" for p in made.piers
    }
    assert sorted(row["id"] for row in rows) == sorted(ids)
    files = {p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file()}
    assert files == {row["file"] for row in rows} | {"parts.json", "site.glb"}


def test_the_list_says_what_was_built(made: Site, out: Path) -> None:
    by_id = {row["id"]: row for row in listed(out)}
    seen: set[str] = set()
    for found in made.piers:
        rows = [(by_id[f"{found.mark}/concrete"], "concrete", Role.CONCRETE, concrete_volume(found.concrete))]
        rows += [(by_id[p.id], p.label, p.role, p.solid.volume) for p in found.parts if p.id not in seen]
        seen |= {part.id for part in found.parts}
        for row, label, role, volume in rows:
            assert (row["label"], row["role"], row["pier"]) == (label, role.value, found.mark)
            assert row["volume_mm3"] == volume
            assert row["origin_mm"] == [found.spec.x, found.spec.y, found.spec.top]
            assert row["turn_deg"] == pytest.approx(found.spec.turn)


def test_every_obj_is_watertight_and_has_the_volume_listed(made: Site, out: Path) -> None:
    solids = {part.id: part.solid for found in made.piers for part in found.parts}
    concrete = {f"{found.mark}/concrete": found.concrete.prism for found in made.piers}
    for row in listed(out):
        mesh = trimesh.load(out / row["file"], process=False, force="mesh")
        assert mesh.is_watertight, row["id"]
        assert mesh.is_winding_consistent, row["id"]
        solid = solids.get(row["id"])
        tolerance = volume_tolerance(solid or concrete[row["id"]], CHORD_ERROR)
        assert mesh.volume == pytest.approx(row["volume_mm3"], abs=tolerance + 1e-8 * row["volume_mm3"]), row[
            "id"
        ]


def test_an_obj_keeps_at_least_nine_digits(made: Site, out: Path) -> None:
    files = {row["id"]: out / row["file"] for row in listed(out)}
    for part in made.piers[0].parts:
        vertices, faces = read_obj(files[part.id])
        mesh = mesh_of(part.solid)
        assert np.array_equal(faces, mesh.faces)
        assert np.all(np.abs(vertices - mesh.vertices) <= 1e-9 * np.abs(mesh.vertices))


def test_file_names_suit_every_system(tmp_path: Path) -> None:
    made = site(
        pier("CON.1", embeds=[{"name": "a b", "diameter": 30, "points": [[0, 0, -90], [0, 0, -300]]}]),
        pier(
            "con.1", x=3000, embeds=[{"name": "A.b", "diameter": 30, "points": [[0, 0, -90], [0, 0, -300]]}]
        ),
        pier("P7.", x=6000),
        pier("P7", x=9000),
    )
    write_solids(made, tmp_path)
    files = [row["file"] for row in listed(tmp_path)]
    assert len({name.lower() for name in files}) == len(files) == 6
    for name in files:
        for step in name.split("/"):
            assert re.fullmatch(r"[A-Za-z0-9-]+(\.obj)?", step), name
            assert not RESERVED.match(step.split(".")[0]), name


def test_one_pier_alone(made: Site, tmp_path: Path) -> None:
    write_solids(made, tmp_path, "P3")
    rows = listed(tmp_path)
    assert {row["pier"] for row in rows} == {"P3"}
    assert {row["id"] for row in rows} == {part.id for part in made.piers[2].parts} | {"P3/concrete"}


def test_a_mark_that_is_not_there_is_refused_before_anything_is_written(made: Site, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="there is no pier P99; the piers are P1, P2"):
        write_solids(made, tmp_path, "P99")
    assert not list(tmp_path.iterdir())


def glb_parts(data: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the binary chunk of a GLB, with the container checked (glTF 2.0, section 4.4)."""
    magic, version, total = struct.unpack_from("<4sII", data)
    assert (magic, version, total) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    assert size % 4 == 0
    document = json.loads(data[20 : 20 + size])
    rest, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0"
    assert rest % 4 == 0
    assert 28 + size + rest == len(data)
    return document, data[28 + size :]


def test_the_glb_holds_every_role_in_meters_y_up(made: Site, out: Path) -> None:
    document, binary = glb_parts((out / "site.glb").read_bytes())
    roles = {part.role.value for found in made.piers for part in found.parts} | {"concrete"}
    assert {node["name"] for node in document["nodes"]} == roles
    assert document["buffers"][0]["byteLength"] <= len(binary)
    for view in document["bufferViews"]:
        assert view["byteOffset"] % 4 == 0
        assert view["byteOffset"] + view["byteLength"] <= document["buffers"][0]["byteLength"]
    scene = trimesh.load(out / "site.glb", process=False)
    volumes: dict[str, float] = {}
    for row in listed(out):
        volumes[row["role"]] = volumes.get(row["role"], 0.0) + row["volume_mm3"]
    tolerances = dict.fromkeys(volumes, 0.0)
    for part in {part.id: part for found in made.piers for part in found.parts}.values():
        tolerances[part.role.value] += volume_tolerance(part.solid, GLB_CHORD_ERROR)
    for found in made.piers:
        tolerances["concrete"] += volume_tolerance(found.concrete.prism, GLB_CHORD_ERROR)
    for name, mesh in scene.geometry.items():
        # float32 at 10 m is good to a micrometer
        slack = tolerances[name] + 1e-4 * volumes[name]
        assert mesh.volume * 1e9 == pytest.approx(volumes[name], abs=slack), name


def test_the_glb_stands_where_the_site_stands(tmp_path: Path) -> None:
    """Extents by arithmetic, at survey coordinates: a beam north of the piers lies at -z."""
    x, y, z = 4.5e9, 1.2e9, 30000.0
    made = site(
        pier("P1", x=x, y=y, top=z, bottom=z - 1500, seat=beam_seat()),
        pier("P2", x=x + 3000, y=y, top=z, bottom=z - 1500, seat=plate_seat(template=None)),
        beams=[
            {"name": "B1", "piers": ["P1", "P2"], "width": 133, "depth": 400, "offset": 700, "overhang": 500}
        ],
    )
    write_solids(made, tmp_path)
    scene = trimesh.load(tmp_path / "site.glb", process=False)
    # east: the beam, 3000 + 2 x 500; up: from the foot to the rod tops, 1500 + 500; north: -300 to 766.5
    assert scene.extents == pytest.approx([4.0, 2.0, 1.0665], abs=1e-5)
    assert scene.bounds.mean(axis=0) == pytest.approx([0, 0, 0], abs=1e-5)
    document, _ = glb_parts((tmp_path / "site.glb").read_bytes())
    origin = document["asset"]["extras"]["origin_mm"]
    assert origin == pytest.approx([x + 1500, y + 233.25, z - 500], abs=1e-3)
    beam, concrete = scene.geometry["beam"].bounds, scene.geometry["concrete"].bounds
    assert beam[:, 2].mean() * 1000 == pytest.approx(-(700 - 233.25), abs=0.01)
    assert concrete[:, 2].mean() * 1000 == pytest.approx(233.25, abs=0.01)
    assert scene.geometry["beam"].bounds[0, 1] * 1000 == pytest.approx(500, abs=0.01)
