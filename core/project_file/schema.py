"""The JSON schema of the project file, made from the records: `python -m core.project_file.schema` rewrites it."""

import json
from pathlib import Path

import msgspec

from core.model.project import FORMAT_VERSION, Project

SCHEMA_FILE = Path(__file__).with_name("schema.json")
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_bytes() -> bytes:
    """The bytes of `schema.json` for the present records."""
    described = {"$schema": DIALECT, "title": f"Baysweep project, format {FORMAT_VERSION}", **msgspec.json.schema(Project)}
    return (json.dumps(described, indent=1, ensure_ascii=False) + "\n").encode()


def rewrite_schema() -> None:
    """Write `schema.json` beside this module anew."""
    SCHEMA_FILE.write_bytes(schema_bytes())


if __name__ == "__main__":
    rewrite_schema()
