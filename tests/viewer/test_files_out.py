"""JSON and CSV: valid by schema, finite, readable by a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
import math

import jsonschema
import pytest

from clash.report.findings import Level
from tests.viewer.reports import finding, missing, report
from viewer.report.csv_out import COLUMNS, columns_of, findings_csv
from viewer.report.json_out import findings_json, number
from viewer.report.schemas import findings_schema, gaps_schema

EVERY = report(
    finding(1),
    finding(2, level=Level.TIGHT, answered="A. Engineer, 2025-03-14, RFI 12"),
    finding(3, measured_mm=math.nan, required_mm=math.inf, at_mm=(1.0, math.nan, 2.0)),
    finding(4, measured_mm=None, required_mm=None, measured=0.0049, required=0.005, unit="ratio"),
    missing("P3"),
)


def rows(made: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(made.decode("utf-8-sig"), newline="")))


def test_schemas_are_draft_07_themselves() -> None:
    for schema in (findings_schema(), gaps_schema()):
        jsonschema.Draft7Validator.check_schema(schema)
        assert schema["$schema"] == "http://json-schema.org/draft-07/schema#"


def test_findings_agree_with_their_schema() -> None:
    jsonschema.Draft7Validator(findings_schema()).validate(json.loads(findings_json(EVERY)))


@pytest.mark.parametrize("key", ["id", "level", "answered", "parts", "measured_mm", "at_mm", "says"])
def test_the_schema_misses_a_key_that_is_pinned(key: str) -> None:
    content = json.loads(findings_json(EVERY))
    del content["findings"][0][key]
    assert list(jsonschema.Draft7Validator(findings_schema()).iter_errors(content))


def test_feet_and_inches_get_plain_inches_to_sort_by() -> None:
    """9.5 mm, 25.4 mm and -15.9 mm over 25.4 mm in an inch (exact, 1959)."""
    first, _, third, fourth, _ = rows(findings_csv(EVERY))
    assert float(first["measured_in"]) == pytest.approx(9.5 / 25.4, abs=1e-8)
    assert float(first["required_in"]) == 1.0
    assert float(first["reserve_in"]) == pytest.approx(-15.9 / 25.4, abs=1e-8)
    assert (third["measured_in"], fourth["measured_in"]) == ("", "")
    assert "measured_mm" in first


def test_millimeters_have_no_column_of_inches() -> None:
    (row,) = rows(findings_csv(report(finding(1), units="mm")))
    assert tuple(row) == COLUMNS
    assert not any(name.endswith("_in") for name in row)


def test_pinned_keys_and_values() -> None:
    content = json.loads(findings_json(EVERY))
    assert {
        "version",
        "site",
        "input_sha256",
        "rule_book",
        "overrides",
        "piers",
        "checked",
        "not_checked",
    } <= set(content)
    assert content["checked"] == 4312
    first = content["findings"][0]
    assert first["measured_mm"] == 9.5
    assert first["at_mm"] == [4.5e9, 3048.0, 1200.0]
    assert first["level"] == "HOLD"
    assert "unit" not in first
    assert content["findings"][3]["unit"] == "ratio"
    assert content["findings"][3]["measured"] == 0.0049


def test_what_is_no_number_is_null() -> None:
    text = findings_json(EVERY).decode()
    assert "NaN" not in text
    assert "Infinity" not in text
    third = json.loads(text)["findings"][2]
    assert (third["measured_mm"], third["required_mm"], third["at_mm"]) == (None, None, None)
    assert number(math.nan) is None
    assert number(0.0) == 0.0


def test_csv_opens_in_a_spreadsheet() -> None:
    made = findings_csv(EVERY)
    assert made.startswith(b"\xef\xbb\xbf")
    assert made.count(b"\r\n") == made.count(b"\n") == 6
    read = rows(made)
    assert tuple(read[0]) == columns_of(EVERY)
    assert read[0]["measured_mm"] == "9.5"
    assert float(read[0]["x_mm"]) == 4.5e9
    assert read[0]["parts"] == "P7/rod/3; P7/tie/1"
    assert read[0]["reserve_mm"] == "-15.9"
    assert read[2]["measured_mm"] == read[2]["x_mm"] == ""
    assert read[3]["unit"] == "ratio"
    assert [r["id"] for r in read] == [f.id for f in EVERY.findings]


@pytest.mark.parametrize("text", ['=HYPERLINK("x")', "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1"])
def test_no_cell_is_a_formula(text: str) -> None:
    (row,) = rows(findings_csv(report(finding(1, says=text, answered=text))))
    assert row["says"] == "'" + text
    assert row["answered"] == "'" + text


def test_numbers_carry_no_float_noise() -> None:
    (row,) = rows(
        findings_csv(report(finding(1, measured_mm=888.9999999999999, reserve_mm=-76.20000000000016)))
    )
    assert (row["measured_mm"], row["reserve_mm"]) == ("889.0", "-76.2")


def test_commas_quotes_lines_and_other_alphabets_survive() -> None:
    says = 'Rod 3, 0.38" clear;\nsecond line, Übergang №8'
    (row,) = rows(findings_csv(report(finding(1, says=says))))
    assert row["says"] == says
    assert json.loads(findings_json(report(finding(1, says=says))))["findings"][0]["says"] == says
