"""Files: whatever a file or standard input holds ends in a tree or in one clear problem."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from foldspan.files.input import ENDINGS, parse_tree, read_text, read_tree
from foldspan.problems import CODES, FoldspanError, Problem
from foldspan.visit.model import Visit

GOOD_TOML = '[client]\nsex = "female"\nage_years = 41\n'
GOOD_JSON = '{"client": {"sex": "female", "age_years": 41}}'
GOOD_TREE = {"client": {"sex": "female", "age_years": 41}}


def the_problem(path: str | Path) -> Problem:
    """The one problem of a file that cannot be read."""
    with pytest.raises(FoldspanError) as caught:
        read_tree(str(path))
    assert len(caught.value.problems) == 1
    problem = caught.value.problems[0]
    assert problem.code in CODES
    assert problem.what
    assert problem.remedy
    # a traceback also prints the error behind; the parser's own would show the text
    error = caught.value
    assert error.__cause__ is None
    assert error.__suppress_context__ or error.__context__ is None
    return problem


def written(folder: Path, name: str, content: str | bytes) -> Path:
    path = folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def type_in(monkeypatch: pytest.MonkeyPatch, content: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content), encoding="utf-8"))


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("visit.toml", GOOD_TOML),
        ("VISIT.TOML", GOOD_TOML),
        ("visit.json", GOOD_JSON),
        # some editors begin a file with a byte order mark or end its lines with CR LF
        ("mark.toml", b"\xef\xbb\xbf" + GOOD_TOML.encode()),
        ("mark.json", b"\xef\xbb\xbf" + GOOD_JSON.encode()),
        ("lines.toml", GOOD_TOML.replace("\n", "\r\n")),
    ],
)
def test_good_files(tmp_path: Path, name: str, content: str | bytes) -> None:
    assert read_tree(str(written(tmp_path, name, content))) == GOOD_TREE


@pytest.mark.parametrize("content", [GOOD_TOML, GOOD_JSON, f"  \n{GOOD_JSON}\n"])
def test_standard_input_is_looked_at(monkeypatch: pytest.MonkeyPatch, content: str) -> None:
    type_in(monkeypatch, content.encode())
    assert read_tree("-") == GOOD_TREE


@pytest.mark.parametrize(
    ("content", "code"), [(b"", "E306"), (b"\xff\xfe", "E304"), (b"[client\n", "E305")]
)
def test_faults_of_standard_input_name_it(
    monkeypatch: pytest.MonkeyPatch, content: bytes, code: str
) -> None:
    type_in(monkeypatch, content)
    problem = the_problem("-")
    assert (problem.code, problem.where) == (code, "standard input")


def test_closed_standard_input_is_a_problem_not_a_crash(monkeypatch: pytest.MonkeyPatch) -> None:
    """Python sets ``sys.stdin`` to None where the caller closed it, as some schedulers do."""
    monkeypatch.setattr(sys, "stdin", None)
    assert the_problem("-").code in ("E303", "E306")


@pytest.mark.parametrize("name", ["nowhere.toml", "nowhere.json", "nowhere", "no/where.toml"])
def test_file_missing(tmp_path: Path, name: str) -> None:
    problem = the_problem(tmp_path / name)
    assert problem.code == "E301"
    assert name in problem.where


@pytest.mark.parametrize("name", ["folder", "folder.toml", "folder.json"])
def test_a_folder_is_not_a_file(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    assert the_problem(tmp_path / name).code == "E302"


def test_a_path_through_a_file_is_not_a_file(tmp_path: Path) -> None:
    written(tmp_path, "visit.toml", GOOD_TOML)
    assert the_problem(tmp_path / "visit.toml" / "more.toml").code == "E302"


@pytest.mark.parametrize("fault", [PermissionError(13, "denied"), OSError(5, "input/output error")])
def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: OSError) -> None:
    """Permissions do not bind the superuser, so the refusal is played."""

    def refuse(_: Path) -> bytes:
        raise fault

    path = written(tmp_path, "visit.toml", GOOD_TOML)
    monkeypatch.setattr(Path, "read_bytes", refuse)
    problem = the_problem(path)
    assert problem.code == "E303"
    assert "permissions" in problem.remedy


@pytest.mark.parametrize("name", ["a\0b", "a\0b.toml", "a" * 300, "a" * 300 + ".toml"])
def test_names_that_no_file_can_have(name: str) -> None:
    assert the_problem(name).code in ("E301", "E303")


def test_an_ending_that_cannot_be_looked_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder that may not be entered refuses already the question whether the file is there."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "denied")

    path = written(tmp_path, "visit.txt", GOOD_TOML)
    monkeypatch.setattr(Path, "stat", refuse)
    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert the_problem(path).code in ("E303", "E307")


@pytest.mark.parametrize("name", ["visit.txt", "visit", "visit.csv", "visit.toml.bak"])
def test_endings_not_known(tmp_path: Path, name: str) -> None:
    problem = the_problem(written(tmp_path, name, GOOD_TOML))
    assert problem.code == "E307"
    assert all(ending in problem.remedy for ending in ENDINGS)


@pytest.mark.parametrize("content", ["", "  \n\t\r\n"])
@pytest.mark.parametrize("name", ["visit.toml", "visit.json"])
def test_empty_file(tmp_path: Path, name: str, content: str) -> None:
    assert the_problem(written(tmp_path, name, content)).code == "E306"


def test_a_byte_order_mark_alone_is_empty_too(tmp_path: Path) -> None:
    assert the_problem(written(tmp_path, "visit.toml", b"\xef\xbb\xbf\n")).code == "E306"


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b'[client]\nsex = "female"\nnote = "M\xfcller"\n', 3),
        (b"\xe9", 1),
        ("[client]\n".encode("utf-16"), 1),
        (b"[client]\r\n\r\nx = '\x80'", 3),
    ],
)
@pytest.mark.parametrize("name", ["visit.toml", "visit.json"])
def test_not_utf8_names_the_line(tmp_path: Path, name: str, content: bytes, line: int) -> None:
    problem = the_problem(written(tmp_path, name, content))
    assert problem.code == "E304"
    assert f"line {line})" in problem.what
    assert "ller" not in repr(problem)


@pytest.mark.parametrize(
    ("content", "where"),
    [
        ("[client]\nage_years = 41.3752 kg\n", "line 2"),
        ('[client]\nsex = "female\nage_years = 41\n', "line 2"),
        ("[client\n", "line 1"),
        ("[client]\n\n\nage_years 41.3752\n", "line 4"),
        ("[client]\nage_years = [41.3752\n", "end of document"),
        ("[client]\nage_years = 41.3752\nage_years = 41.3752\n", ""),
        ("[client]\n[client]\nage_years = 41.3752\n", "line 2"),
        ("[client]\nage_years = 41,3752\n", "line 2"),
        ("[visit]\ndate = 2026-02-30\n", "line 2"),
        ('[client]\ncode = "\\q41.3752"\n', "line 2"),
    ],
)
def test_broken_toml_names_its_line(tmp_path: Path, content: str, where: str) -> None:
    problem = the_problem(written(tmp_path, "visit.toml", content))
    assert problem.code == "E305"
    assert "TOML" in problem.what
    assert where in problem.what
    assert "3752" not in repr(problem)


@pytest.mark.parametrize(
    ("content", "line"),
    [
        ('{"client":\n {"age_years": 41.3752 kg}}', 2),
        ('{"client":\n\n {"age_years": 41.3752}', 3),
        ('{"client": {"age_years": 41.3752,}}', 1),
        ("{'client': {'age_years': 41.3752}}", 1),
        ('{"client": "41.3752\n"}', 1),
        ('{"client": 1}\n41.3752', 2),
    ],
)
def test_broken_json_names_its_line(tmp_path: Path, content: str, line: int) -> None:
    problem = the_problem(written(tmp_path, "visit.json", content))
    assert problem.code == "E305"
    assert "JSON" in problem.what
    assert f"line {line}," in problem.what
    assert "3752" not in repr(problem)


@pytest.mark.parametrize("content", ["[]", "41.3752", '"female"', "null", "[[1, 2]]"])
def test_json_that_is_no_table(tmp_path: Path, content: str) -> None:
    problem = the_problem(written(tmp_path, "visit.json", content))
    assert problem.code == "E121"
    assert "3752" not in repr(problem)


@pytest.mark.parametrize("depth", [100, 980, 1_500, 5_000])
@pytest.mark.parametrize(
    ("kind", "before", "middle", "after"),
    [
        ("toml", "client.sex = ", "[]", ""),
        ("toml", "client.sex", ".a", " = 1"),
        ("json", '{"client": {"sex": ', "[]", "}}"),
        ("json", '{"client": {"sex": ', '{"a":1}', "}}"),
    ],
)
def test_deep_nesting_is_refused(
    kind: str, before: str, middle: str, after: str, depth: int
) -> None:
    """The limit differs between versions of Python; a clear problem comes at every depth."""
    opened, closed = {"[]": ("[", "]"), ".a": (".a", ""), '{"a":1}': ('{"a":', "}")}[middle]
    core = "1" if opened.startswith("{") else ""
    text = before + opened * depth + core + closed * depth + after
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(parse_tree(text, kind, "visit"))
    assert caught.value.problems[0].code in ("E113", "E305")


@pytest.mark.parametrize(
    ("kind", "text"), [("toml", "weight_kg = {}"), ("json", '{{"weight_kg": {}}}')]
)
def test_a_number_of_five_thousand_digits(kind: str, text: str) -> None:
    """Python refuses to read integers beyond 4,300 digits with a plain ValueError."""
    with pytest.raises(FoldspanError) as caught:
        parse_tree(text.format("9" * 5_000), kind, "visit")
    assert caught.value.problems[0].code == "E305"
    assert "999" not in str(caught.value)


def test_a_key_given_twice_in_json_is_not_settled_in_silence() -> None:
    """TOML refuses it; the JSON reader of Python keeps the last one unless told otherwise."""
    with pytest.raises(FoldspanError) as caught:
        parse_tree('{"mass_height": {"weight_kg": 71.3752, "weight_kg": 17.3752}}', "json", "visit")
    assert caught.value.problems[0].code in ("E122", "E305")
    assert "3752" not in str(caught.value)


def test_text_of_a_file_comes_back_whole(tmp_path: Path) -> None:
    text = "# Å, ½, ″ and ’ are welcome in remarks\n" + GOOD_TOML
    assert read_text(str(written(tmp_path, "visit.toml", text))) == text
