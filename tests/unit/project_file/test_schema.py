"""The JSON schema beside the reader is current and says of files what the reader says."""

import json

import jsonschema
import pytest

from core.model.project import FORMAT_VERSION
from core.project_file.schema import SCHEMA_FILE, schema_bytes
from core.project_file.write import project_to_bytes
from tests.unit.model.drawings import FIXTURES, gate

SAMPLES = FIXTURES.parents[1] / "sample_projects"
FILES = sorted([*FIXTURES.glob("*.bay.json"), *SAMPLES.glob("*.bay.json")])


@pytest.fixture(scope="module")
def schema():
    validator = jsonschema.Draft202012Validator(json.loads(SCHEMA_FILE.read_bytes()))
    validator.check_schema(validator.schema)
    return validator


def test_the_schema_file_is_what_the_records_give():
    assert SCHEMA_FILE.read_bytes() == schema_bytes()


@pytest.mark.parametrize("file", FILES, ids=[file.name for file in FILES])
def test_fixtures_and_samples_satisfy_the_schema(file, schema):
    assert [fault.message for fault in schema.iter_errors(json.loads(file.read_bytes()))] == []


def test_what_is_written_satisfies_the_schema(schema):
    assert [fault.message for fault in schema.iter_errors(json.loads(project_to_bytes(gate())))] == []


@pytest.mark.parametrize("change", [{"hinges": []}, {"required_gap": "1"}, {"sections": [{"name": "Plan"}]}, {"name": None}])
def test_the_schema_refuses_what_the_reader_refuses(change, schema):
    assert not schema.is_valid(json.loads(project_to_bytes(gate())) | change)


def test_there_is_a_fixture_of_every_format():
    found = {json.loads(file.read_bytes())["baysweep"] for file in FIXTURES.glob("version_*_full.bay.json")}
    assert found == set(range(1, FORMAT_VERSION + 1))
