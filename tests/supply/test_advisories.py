"""Locked versions against advisories from a file: what is affected is named, what is not stays quiet."""

from __future__ import annotations

import importlib.util
import json
import zipfile
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

PLACE = Path(__file__).parents[2] / ".ci" / "advisories.py"


@pytest.fixture
def check(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The script, with a lock of two invented libraries."""
    made = importlib.util.spec_from_file_location("advisories", PLACE)
    assert made is not None
    assert made.loader is not None
    module = importlib.util.module_from_spec(made)
    made.loader.exec_module(module)
    lock = tmp_path / "locked.txt"
    lock.write_text(
        "# made\nSome_Thing==1.4.2 \\\n    --hash=sha256:00\n"
        "other==2.0rc1 ; python_version < '3.12' \\\n    --hash=sha256:00\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(module, "LOCKED", lock)
    return module


def advisory(name: str, *events: dict[str, str], **more: Any) -> dict[str, Any]:
    ranges = [{"type": "ECOSYSTEM", "events": list(events)}] if events else []
    package = {"ecosystem": more.pop("ecosystem", "PyPI"), "name": name}
    affected = {"package": package, "ranges": ranges, "versions": more.pop("versions", [])}
    return {"id": "INVENTED-1", "affected": [affected], **more}


CASES = [
    (advisory("some-thing", {"introduced": "0"}, {"fixed": "1.5"}), 1),
    (advisory("some-thing", {"introduced": "0"}, {"fixed": "1.4.2"}), 0),
    (advisory("some.thing", {"introduced": "1.4.3"}), 0),
    (advisory("some-thing", {"introduced": "1.0"}), 1),
    (advisory("some-thing", {"introduced": "1.0"}, {"last_affected": "1.4.2"}), 1),
    (advisory("some-thing", {"introduced": "0"}, {"fixed": "1"}, {"introduced": "1.4"}), 1),
    (advisory("some-thing", {"introduced": "0"}, {"fixed": "1"}, {"introduced": "1.4"},
              {"fixed": "1.4.1"}), 0),
    (advisory("some-thing", versions=["1.4.2"]), 1),
    (advisory("some-thing", {"introduced": "no version"}), 1),
    (advisory("other", {"introduced": "0"}, {"fixed": "2.0"}), 1),
    (advisory("third", {"introduced": "0"}), 0),
    (advisory("some-thing", {"introduced": "0"}, ecosystem="npm"), 0),
    (advisory("some-thing", {"introduced": "0"}, withdrawn="2026-01-01T00:00:00Z"), 0),
]  # fmt: skip


@pytest.mark.parametrize(("found", "code"), CASES)
def test_what_is_affected_is_named(
    check: ModuleType,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    found: dict[str, Any],
    code: int,
) -> None:
    place = tmp_path / "one.json"
    place.write_text(json.dumps(found), encoding="utf-8")
    assert check.main(str(place)) == code
    out = capsys.readouterr().out
    assert ("INVENTED-1" in out) == bool(code)
    assert f"2 libraries, 1 advisories, {code} to look at" in out


def test_folders_and_archives_are_read_too(
    check: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, archive = tmp_path / "all", tmp_path / "all.zip"
    folder.mkdir()
    assert check.main(str(folder)) == 1  # an empty folder has not been checked
    assert "holds no advisory" in capsys.readouterr().err
    text = json.dumps([case for case, _ in CASES])
    (folder / "many.json").write_text(text, encoding="utf-8")
    with zipfile.ZipFile(archive, "w") as packed:
        packed.writestr("many.json", text)
    for place in (folder, archive):
        assert check.main(str(place)) == 1
        assert f"{len(CASES)} advisories, 2 to look at" in capsys.readouterr().out


def test_the_real_lock_is_read_whole() -> None:
    made = importlib.util.spec_from_file_location("advisories", PLACE)
    assert made is not None
    assert made.loader is not None
    module = importlib.util.module_from_spec(made)
    made.loader.exec_module(module)
    text = module.LOCKED.read_text(encoding="utf-8")
    names = {name for name, _ in module.locked(text)}
    entries = [line for line in text.splitlines() if line[:1].isalnum()]
    assert len(module.locked(text)) == len(entries) > 100
    assert {"numpy", "fhir-resources", "jinja2"} <= names
