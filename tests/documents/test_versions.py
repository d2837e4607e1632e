"""docs/versions.md says which versions there are, and what earlier ones are still read."""

from __future__ import annotations

import re

from test_docs import ROOT

import foldspan
from foldspan.api.schemas.published import VERSIONS
from foldspan.records import export, restore, storage
from foldspan.results.result import SCHEMA_VERSION
from foldspan.validation import correction_file

PAGE = (ROOT / "docs" / "versions.md").read_text(encoding="utf-8")


def test_the_page_names_the_versions_of_today() -> None:
    rows = dict(re.findall(r"^\| (.*?) \| (.*?) \|", PAGE, re.MULTILINE))
    named = {form.split(" ")[0]: version.split(",")[0] for form, version in rows.items()}
    assert named == {
        "form": "version now",
        "JSON": str(SCHEMA_VERSION),
        "columns": str(SCHEMA_VERSION),
        "record": str(storage.SCHEMA),
        "client's": str(export.SCHEMA_VERSION),
        "local": str(correction_file.SCHEMA_VERSION),
        "visit": "none",
        "the": foldspan.__version__.rpartition(".")[0],
    }
    assert export.SCHEMA_VERSION == restore.SCHEMA_VERSION == VERSIONS["client"]


def test_every_earlier_version_of_a_form_is_read() -> None:
    assert sorted(storage.MIGRATIONS) == [*range(1, storage.SCHEMA + 1)]
    assert sorted(correction_file.KEYS_OF_VERSION) == [
        *range(1, correction_file.SCHEMA_VERSION + 1)
    ]
    for place in ("tests/records/earlier", "tests/files/version_1"):
        assert any((ROOT / place).iterdir())
