"""The schema of a site file is a valid draft-07 schema, takes what reading takes, and knows the fields."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import jsonschema
import pytest
import yaml

from models.reading.schema import site_schema
from tests.models.reading.test_every_field import FULL
from tests.support.example_site import SITE, with_schedule

SCHEMA = site_schema()
CHECK = jsonschema.Draft7Validator(SCHEMA)


class Editor(yaml.SafeLoader):
    """YAML 1.2 has no dates: to an editor they are text."""


Editor.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in known if not tag.endswith(":timestamp")]
    for first, known in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def as_an_editor_reads(text: str) -> Any:
    return yaml.load(text, Loader=Editor)


def faults(site: Any) -> list[str]:
    return [f"{list(error.path)}: {error.message}" for error in CHECK.iter_errors(site)]


def test_it_is_a_draft_07_schema() -> None:
    jsonschema.Draft7Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "http://json-schema.org/draft-07/schema#"


def test_every_reference_leads_somewhere() -> None:
    def references(value: Any) -> set[str]:
        if isinstance(value, list):
            return set().union(*map(references, value), set())
        if not isinstance(value, dict):
            return set()
        mine = {value["$ref"]} if isinstance(value.get("$ref"), str) else set()
        return mine.union(*(references(item) for item in value.values()))

    assert references(SCHEMA) <= {f"#/definitions/{name}" for name in SCHEMA["definitions"]}


@pytest.mark.parametrize("text", [SITE, with_schedule()])
def test_the_example_as_written_passes(text: str) -> None:
    assert faults(as_an_editor_reads(text)) == []


def test_a_site_with_every_field_passes() -> None:
    assert faults(FULL) == []


def test_the_sites_that_come_along_pass() -> None:
    found = [
        path
        for folder in (files("models") / "examples").iterdir()
        if folder.is_dir()
        for path in folder.iterdir()
    ]
    sites = [path for path in found if path.name.endswith(".yaml")]
    assert sites
    for path in sites:
        assert faults(as_an_editor_reads(path.read_text(encoding="utf-8"))) == [], path.name


def test_differences_of_a_schedule_pass() -> None:
    text = with_schedule().replace(
        "schedule: piers.csv\n",
        "schedule: piers.csv\n  sheet: Piers\n  differences:\n"
        "    P2: {cage: {ties: {spacing: 8 in}}, seat: none, use: null}\n",
    )
    assert faults(as_an_editor_reads(text)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("use: column", "use: colum"),
        ("count: 8", "count: many"),
        ('spacing: 12"', 'spacign: 12"'),
        ('        spacing: 12"\n', ""),
        ("units: ft-in", "units: feet"),
        ("kind: post}", "kinds: post}"),
        ('ties: {spacing: 8"}', "ties: {spacing: [8]}"),
        ("[[2, 6], [4, 8]]", "[[2, 6, 7], [4, 8]]"),
        ("exits: [top]", "exits: [up]"),
        ("placing:", "plaicng:"),
    ],
)
def test_what_an_editor_can_see_it_sees(old: str, new: str) -> None:
    assert SITE.count(old) == 1
    assert faults(as_an_editor_reads(SITE.replace(old, new))) != []


def test_fields_carry_words_for_the_editor() -> None:
    ties = SCHEMA["definitions"]["Ties"]["properties"]
    assert ties["coating"]["enum"] == ["plain", "epoxy", "galvanized"]
    assert "half a spacing" in ties["first"]["description"]
    assert SCHEMA["definitions"]["Length"]["examples"]
