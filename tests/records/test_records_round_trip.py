"""What the book writes out comes back in whole: export, import, export gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import foldspan
from foldspan.records.book import Book

Answer = tuple[int, str, str]
Run = Callable[..., Answer]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISITS = sorted(path for path in EXAMPLES.iterdir() if path.suffix in (".toml", ".json"))
SOUND = [visit for visit in VISITS if visit.stem != "faulty"]
CODE = "W-041"
ANSWERS: tuple[tuple[str, Any], ...] = (
    ("consent.store", True),
    ("consent.show", True),
    ("consent.share", False),
    ("code", CODE),
    ("sex", "female"),
    ("age_years", 41.0),
    ("weight_kg", {"value": 71.3, "typed": "157.2 lb"}),
)


def keep_session(book: Book, *, has_ended: bool = True, triceps: float = 20.4) -> None:
    """A session as the terminal keeps it: typed units, a reading at the scale's end, a note, a slip."""
    row = book.begin()
    events: list[tuple[str, dict[str, Any]]] = [
        ("begun", {"tester": "T-02", "calliper": "blue", "day": "2026-03-05", "time": "10:05"}),
        *(("answer", {"key": key, "value": value}) for key, value in ANSWERS),
        ("answer", {"key": "1.weight_kg", "value": {"value": 71.3, "typed": "157.2 lb"}}),
        ("answer", {"key": "1.height_cm", "value": {"value": 168.2}}),
        ("answer", {"key": "1.triceps_mm", "value": {"value": triceps, "typed": str(triceps)}}),
        (
            "answer",
            {"key": "1.thigh_mm", "value": {"value": 60.0, "typed": "60+", "at_least": True}},
        ),
        ("note", {"key": "1.thigh_mm", "text": "„müde“, came straight from work"}),
        ("answer", {"key": "2.triceps_mm", "value": {"value": triceps + 0.6}}),
    ]
    events += [("ended", {})] if has_ended else []
    for place, (kind, body) in enumerate(events, start=1):
        book.append(row, kind, body, place=place, code=CODE)
    if has_ended:
        fixed = {"name": "triceps_mm", "turn": 2, "value": 21.5, "who": "T-09", "why": "slip"}
        book.append(row, "corrected", fixed, place=len(events) + 1)


@pytest.fixture
def full(tmp_path: Path, run: Run) -> str:
    """A book: another client first, then two sessions, an imported visit and one not ended."""
    path = str(tmp_path / "full.sqlite")
    tree = {
        "client": {"code": CODE, "sex": "female", "age_years": 41},
        "visit": {"date": "2026-01-05", "time": "09:30", "tester": "T-02"},
        "mass_height": {"weight_kg": [72.0, "159 lb"], "height_cm": 168},
        "girths_cm": {"waist_midpoint": 82},
        "intake": {"earlier_weight_kg": 74.5, "earlier_weight_date": "2025-10-01"},
        "outside_results": [{"method": "dxa", "date": "2025-12-30", "fat_percent": 31.2}],
    }
    given = tmp_path / "january.json"
    given.write_text(json.dumps(tree), encoding="utf-8")
    assert run("records", "import", str(EXAMPLES / "visit.toml"), "--book", path)[0] == 0
    with Book.opened(path) as book:
        keep_session(book)
    assert run("records", "import", str(given), "--book", path)[0] == 0
    with Book.opened(path) as book:
        keep_session(book, triceps=19.0)
        keep_session(book, has_ended=False)
        book.name(CODE, "the early one")
    return path


def exported(run: Run, book: str, *words: str) -> str:
    code, out, err = run("records", "export", CODE, "--book", book, *words)
    assert (code, err) == (0, "")
    return out


def file_of(folder: Path, name: str, text: str) -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_a_client_comes_back_to_the_byte(run: Run, full: str, tmp_path: Path) -> None:
    first, new = exported(run, full), str(tmp_path / "new.sqlite")
    code, _, err = run("records", "import", file_of(tmp_path, "client.json", first), "--book", new)
    assert code == 0, err
    assert "Saved: 4 visits of W-041" in err
    assert exported(run, new) == first
    # also what only a page shows: notes, the name, what is not ended
    for words in (("list",), ("show", CODE), ("show", CODE, "--visit", "1")):
        there, here = (run("records", *words, "--book", book)[1] for book in (full, new))
        there = "\n".join(line for line in there.splitlines() if not line.startswith("K-014"))
        assert here.strip() == there.strip()
    code, _, err = run("records", "import", str(tmp_path / "client.json"), "--book", new)
    assert (code, "[E122]" in err) == (2, True)
    assert exported(run, new) == first


@pytest.mark.parametrize("number", ["1", "2", "3"])
@pytest.mark.parametrize("ending", [".json", ".toml"])
def test_one_visit_comes_back_to_the_byte(
    run: Run, full: str, tmp_path: Path, ending: str, number: str
) -> None:
    out, new = str(tmp_path / f"one{ending}"), str(tmp_path / "new.sqlite")
    assert run("records", "export", CODE, "--visit", number, "-o", out, "--book", full)[0] == 0
    first = Path(out).read_bytes()
    assert run("records", "import", out, "--book", new)[0] == 0
    again = str(tmp_path / f"again{ending}")
    assert run("records", "export", CODE, "--visit", "1", "-o", again, "--book", new)[0] == 0
    assert Path(again).read_bytes() == first


@pytest.mark.parametrize("given", SOUND, ids=lambda path: path.name)
def test_every_example_comes_back_to_the_byte(run: Run, tmp_path: Path, given: Path) -> None:
    visit, texts = foldspan.Visit.from_file(str(given)), []
    source, code = str(given), visit.client.code
    for name in ("one", "two"):
        book, out = str(tmp_path / f"{name}.sqlite"), str(tmp_path / f"{name}.toml")
        assert run("records", "import", source, "--book", book)[0] == 0
        assert run("records", "export", code, "--visit", "1", "-o", out, "--book", book)[0] == 0
        texts.append(Path(out).read_bytes())
        source = out
    assert texts[0] == texts[1]
    assert foldspan.Visit.from_file(source) == visit


def test_what_is_there_stays_and_the_rest_comes_in(run: Run, full: str, tmp_path: Path) -> None:
    tree = json.loads(exported(run, full))
    some = json.dumps(tree | {"visits": tree["visits"][:2]})
    new = str(tmp_path / "new.sqlite")
    assert run("records", "import", file_of(tmp_path, "some.json", some), "--book", new)[0] == 0
    every = file_of(tmp_path, "every.json", json.dumps(tree))
    code, _, err = run("records", "import", every, "--book", new)
    assert code == 0
    assert "2 visits" in err
    assert "2 were already there" in err
    assert json.loads(exported(run, new)) == tree


def visits_changed(change: Callable[[dict[str, Any]], object]) -> Callable[[Any], Any]:
    def changed(tree: Any) -> Any:
        change(tree["visits"][0])
        return tree

    return changed


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (lambda tree: tree | {"schema_version": 9}, "E703"),
        (lambda tree: tree | {"code": ""}, "E707"),
        (lambda tree: tree | {"code": 7}, "E707"),
        (lambda tree: tree | {"code": "W-042"}, "E707"),
        (lambda tree: tree | {"visits": []}, "E707"),
        (lambda tree: tree | {"visits": {}}, "E707"),
        (lambda tree: tree | {"name": 3}, "E707"),
        (visits_changed(lambda visit: visit.pop("events")), "E707"),
        (visits_changed(lambda visit: visit["events"].pop(3)), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(kind="dance")), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(at="yesterday")), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(at="2026-03-05T10:00:00")), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(body=[1])), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(body={})), "E707"),
        (visits_changed(lambda visit: visit["events"][2].update(more=1)), "E707"),
        (visits_changed(lambda visit: visit["events"][-1].update(body={"name": "x"})), "E707"),
        (visits_changed(lambda visit: visit["events"][1]["body"].update(value=False)), "E707"),
        (
            visits_changed(lambda visit: visit["events"][1]["body"].update(key="consent.touch")),
            "E707",
        ),
    ],
)
def test_exports_that_were_tampered_with_keep_nothing(
    run: Run, full: str, tmp_path: Path, change: Callable[[Any], Any], code: str
) -> None:
    spoilt = json.dumps(change(json.loads(exported(run, full))))
    new = str(tmp_path / "new.sqlite")
    status, out, err = run(
        "records", "import", file_of(tmp_path, "bad.json", spoilt), "--book", new
    )
    assert (status, out, f"[{code}]" in err) == (2, "", True), err
    with Book.read(new) as book:
        assert book.all_visits() == []


def test_events_count_and_the_rest_is_said(run: Run, full: str, tmp_path: Path) -> None:
    tree = json.loads(exported(run, full))
    tree["visits"][1]["as_it_stands"]["girths_cm"] = {"waist_midpoint": 99}
    path, new = file_of(tmp_path, "edited.json", json.dumps(tree)), str(tmp_path / "new.sqlite")
    code, _, err = run("records", "import", path, "--book", new)
    assert code == 0
    assert "Visit 2: as_it_stands differs" in err
    assert exported(run, new) == exported(run, full)


@pytest.mark.parametrize(
    ("section", "value", "is_said"),
    [("how_taken", None, False), ("intake", None, False), ("girths_cm", None, True),
     ("skinfolds_mm", {"triceps": [9.0]}, True), ("intake", {"symptoms": ["weak"]}, True)],
)  # fmt: skip
def test_what_an_earlier_version_did_not_show_is_no_difference(
    run: Run, full: str, tmp_path: Path, section: str, value: object, is_said: bool
) -> None:
    """Exports of 0.6 lack sections that are read out of the same events today; readings may not lack."""
    tree = json.loads(exported(run, full))
    shown = next(
        visit["as_it_stands"] for visit in tree["visits"] if section in visit["as_it_stands"]
    )
    if value is None:
        del shown[section]
    else:
        shown[section] = value
    path, new = file_of(tmp_path, "earlier.json", json.dumps(tree)), str(tmp_path / "new.sqlite")
    code, _, err = run("records", "import", path, "--book", new)
    assert (code, "as_it_stands differs" in err) == (0, is_said)


def test_visits_are_numbered_for_their_client(run: Run, full: str) -> None:
    """The book knows the other client's visit as number 1, and this client's as 2 to 5."""
    with Book.read(full) as book:
        assert book.visits(CODE) == [2, 3, 4, 5]
    shown = run("records", "show", CODE, "--book", full)[1]
    assert [line.split()[0] for line in shown.splitlines()[1:5]] == ["1", "2", "3", "4"]
    shown_visit = run("records", "show", CODE, "--visit", "3", "--book", full)[1]
    assert shown_visit.startswith(f"Visit 3 of {CODE}")
    days = []
    for command in ("reconcile", "explain"):
        for code in (f"{CODE}:2", f"{CODE}:3"):
            status, out, err = run(command, code, "--book", full)
            assert status == 0, err
            days.append(out.split(" · ")[1])
    assert days == ["2026-01-05", "2026-03-05"] * 2
    for wrong, remedy in (
        (f"{CODE}:5", "1, 2, 3, 4"),
        (f"{CODE}:", f"{CODE}:1"),
        (f"{CODE.lower()}:1", f"Did you mean {CODE}?"),
        ("W-099", "records list"),
    ):
        status, _, err = run("explain", wrong, "--book", full)
        assert (status, "[E706]" in err, remedy in err) == (2, True, True), err


def test_a_correction_goes_to_the_visit_that_is_named(run: Run, full: str) -> None:
    words = ("correct", CODE, "weight_kg", "73.1", "--visit", "2", "--reading", "1")
    code, _, err = run("records", *words, "--who", "T-09", "--why", "slip", "--book", full)
    assert code == 0, err
    trees = [visit["as_it_stands"] for visit in json.loads(exported(run, full))["visits"]]
    assert trees[1]["mass_height"]["weight_kg"] == [73.1, "159 lb"]
    assert trees[0]["mass_height"]["weight_kg"] == ["157.2 lb"]
