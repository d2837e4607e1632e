"""Commands, as a person at a terminal and as a program behind a pipe meet them."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import example_visits
import foldspan
from foldspan import Visit, reconcile
from foldspan.catalogue import EQUATIONS
from foldspan.cli.printed.reconcile import page

EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = str(EXAMPLES / "visit.toml")
FAULTY = str(EXAMPLES / "faulty.toml")
SOUND = [str(path) for path in example_visits.SOUND]
CONTRACT_KEYS = [
    "schema_version", "reference_method", "fat_percent", "fat_mass_kg", "fat_free_mass_kg",
    "local_correction",
    "as_printed", "verdict", "misfit", "methods", "equations", "correlation", "budget", "findings",
    "bands", "standards_apart", "flags", "health_remarks", "careful_words", "answered_none", "not_asked",
    "cautions",
]  # fmt: skip
WIDTH = 80

Answer = tuple[int, str, str]
Run = Callable[..., Answer]


def installed(*words: str, given: str | None = None) -> Answer:
    """Run the installed console script in a process of its own."""
    script = Path(sys.executable).with_name("foldspan")
    done = subprocess.run(
        [str(script), *words],
        input=None if given is None else given.encode(),
        stdin=subprocess.DEVNULL if given is None else None,
        capture_output=True,
        timeout=60,
        check=False,
        env={**os.environ, "COLUMNS": str(WIDTH)},
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def slim_visit(**client: object) -> dict[str, Any]:
    return {
        "client": {"code": "K-071", "sex": "male", "age_years": 35.25, **client},
        "mass_height": {"weight_kg": 80.46, "height_cm": 178.24},
    }


def written(folder: Path, tree: object, name: str = "visit.json") -> str:
    path = folder / name
    path.write_text(json.dumps(tree), encoding="utf-8")
    return str(path)


def too_wide(text: str) -> list[str]:
    return [line for line in text.splitlines() if len(line) > WIDTH]


def test_the_installed_command_answers() -> None:
    code, out, err = installed("reconcile", VISIT)
    assert (code, err) == (0, "")
    assert "Body fat: " in out
    code, out, err = installed("--version")
    assert (code, out.strip(), err) == (0, f"foldspan {foldspan.__version__}", "")


def test_terms_of_others_are_named_for_each_thing_that_is_theirs(run: Run) -> None:
    code, page, _ = run("--licences")
    assert code == 0
    for owner in ("Bitstream", "Regenstrief", "UCUM", "National Center for Health Statistics"):
        assert owner in page
    assert "non-commercial" in page[page.index("## Men weighed under water") :]
    assert too_wide(page) == []


def test_terms_of_others_travel_in_the_wheel() -> None:
    project = tomllib.loads(Path("pyproject.toml").read_text("utf-8"))
    assert "THIRD_PARTY.md" in project["tool"]["setuptools"]["package-data"]["foldspan"]
    assert "src/foldspan/THIRD_PARTY.md" in project["project"]["license-files"]


def test_the_installed_command_reads_standard_input() -> None:
    code, out, err = installed("reconcile", "-", "--json", given=Path(VISIT).read_text("utf-8"))
    assert (code, err) == (0, "")
    assert json.loads(out) == reconcile(Visit.from_file(VISIT)).to_dict()


def test_the_installed_command_refuses_a_faulty_file() -> None:
    code, out, err = installed("reconcile", FAULTY)
    assert (code, out) == (2, "")
    # sixteen slips are written into the example; the missing age makes seventeen
    assert len(re.findall(r"\[E\d{3}\]$", err, re.MULTILINE)) == 17
    assert "Traceback" not in err


@pytest.mark.parametrize("words", [(), ("nonsense",), ("reconcile",), ("reconcile", VISIT, "--x")])
def test_wrong_usage_ends_in_two(run: Run, words: tuple[str, ...]) -> None:
    assert run(*words)[0] == 2


@pytest.mark.parametrize("option", [("--reference-method", "mri"), ("--units", "stone")])
def test_option_values_not_known_end_in_two(run: Run, option: tuple[str, str]) -> None:
    code, out, _ = run("reconcile", VISIT, *option)
    assert (code, out) == (2, "")


@pytest.mark.parametrize("words", [("--help",), ("reconcile", "--help"), ("equations", "--help")])
def test_help_shows_one_example(run: Run, words: tuple[str, ...]) -> None:
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    assert out.count("Example: foldspan") == 1


@pytest.mark.parametrize("path", SOUND)
def test_examples_as_text(run: Run, path: str) -> None:
    code, out, err = run("reconcile", path)
    assert (code, err) == (0, "")
    # the order of the page: range, families, whether they agree, reasons, cautions
    marks = [
        "Body fat: ",
        "Method ",
        "Only one method group" if "Only one method group" in out else "The methods",
    ]
    places = [out.index(mark) for mark in [*marks, "Cautions"]]
    assert places == sorted(places)
    assert not too_wide(out)
    assert "\x1b" not in out


@pytest.mark.parametrize("path", SOUND)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_line_of_the_longest_page_is_wider_than_80_columns(
    run: Run, path: str, units: str
) -> None:
    for reference_method in ("density", "dxa"):
        words = ("--all", "--budget", "--units", units, "--reference-method", reference_method)
        code, out, _ = run("reconcile", path, *words)
        assert code == 0
        assert not too_wide(out)


@pytest.mark.parametrize("age", [35.25, 80.25])
@pytest.mark.parametrize("missing", ["biceps", "triceps", "subscapular", "suprailiac_midaxillary"])
def test_long_keys_in_use_keep_to_80_columns(
    run: Run, tmp_path: Path, missing: str, age: float
) -> None:
    folds = {"biceps": 6, "triceps": 13, "subscapular": 16, "suprailiac_midaxillary": 19}
    tree = slim_visit(age_years=age) | {
        "skinfolds_mm": {name: value for name, value in folds.items() if name != missing}
    }
    code, out, _ = run("reconcile", written(tmp_path, tree), "--all")
    assert code == 0
    assert not too_wide(out)


@pytest.mark.parametrize("path", SOUND)
def test_examples_as_json(run: Run, path: str) -> None:
    code, out, err = run("reconcile", path, "--json")
    assert (code, err) == (0, "")
    tree = json.loads(out)
    assert list(tree) == CONTRACT_KEYS
    assert len(tree["equations"]) == len(EQUATIONS)
    # se is printed to 0.0001 and the blocks to a millionth; twice se times half a digit is the slack
    assert sum(tree["budget"].values()) == pytest.approx(tree["fat_percent"]["se"] ** 2, abs=2e-3)
    low, high = tree["fat_percent"]["range_80"]
    lowest, highest = tree["fat_percent"]["range_95"]
    assert 0.0 <= lowest < low < tree["fat_percent"]["estimate"] < high < highest <= 100.0
    assert sum(method["weight"] for method in tree["methods"]) == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("path", SOUND)
def test_text_and_json_say_the_same(run: Run, path: str) -> None:
    tree = json.loads(run("reconcile", path, "--json")[1])
    out = run("reconcile", path, "--all", "--budget")[1]
    low, high, middle = map(float, re.findall(r"[\d.]+(?=%)", out.replace("(80%", ""))[:3])
    assert [low, high] == [round(end) for end in tree["fat_percent"]["range_80"]]
    assert middle == pytest.approx(tree["fat_percent"]["estimate"], abs=0.51)
    used = {equation["key"] for equation in tree["equations"] if equation["used"]}
    assert set(re.findall(r"^\* (\w+_\w+)", out, re.MULTILINE)) == used
    assert set(re.findall(r"^[* ] (\w+)\b", out, re.MULTILINE)) >= {
        equation.key for equation in EQUATIONS
    }
    listed = out[out.index("Sources of uncertainty") : out.index("total (squared")]
    shown = [float(line.split()[-2]) for line in listed.splitlines()[2:] if line.endswith("%")]
    # nine or so blocks, each rounded to a hundredth
    assert sum(shown) == pytest.approx(
        tree["fat_percent"]["se"] ** 2, abs=0.005 * len(shown) + 0.002
    )


def masses(out: str) -> list[str]:
    found = re.search(
        r"fat mass ([\d.]+) (kg|lb) \+ fat-free\s+mass ([\d.]+) \2\s+= ([\d.]+) \2", out
    )
    assert found is not None
    return [found[1], found[3], found[4], found[2]]


def test_fat_and_lean_add_up_to_the_weight_in_text_and_json() -> None:
    """Weights typed to one decimal come back to the digit in their own units, and add up."""
    rng = np.random.default_rng(71)
    for number in np.round(rng.uniform(52.0, 137.0, 25), 1):
        for unit, units, scale in (("kg", "metric", 1.0), ("lb", "us", 2.2)):
            typed = f"{number * scale:.1f}"
            tree = slim_visit()
            tree["mass_height"]["weight_kg"] = f"{typed} {unit}"
            visit = Visit.from_dict(tree, accept_unusual=True)
            result = reconcile(visit)
            shown = page(visit, result, units=units, show_all=False, show_budget=False)
            fat, lean, weight, shown_unit = masses(shown)
            assert (weight, shown_unit) == (typed, unit)
            assert f"{float(fat) + float(lean):.1f}" == typed
            answer = result.to_dict()
            weighed = f"{visit.accepted['weight_kg'].value:.2f}"
            fat_mass, fat_free_mass = answer["fat_mass_kg"], answer["fat_free_mass_kg"]
            assert f"{fat_mass['estimate'] + fat_free_mass['estimate']:.2f}" == weighed
            for interval in ("range_80", "range_95"):
                (low, high), (least, most) = fat_mass[interval], fat_free_mass[interval]
                assert f"{low + most:.2f}" == f"{high + least:.2f}" == weighed


def test_units_us_shows_no_kilograms(run: Run) -> None:
    metric, us = run("reconcile", VISIT)[1], run("reconcile", VISIT, "--units", "us")[1]
    assert " kg" in metric
    assert " lb" not in metric
    assert " lb" in us
    assert " kg" not in us.replace(" kg/m²", "")  # an index keeps its unit everywhere
    # 0.45359237 kg a pound, 1959; both are printed to a tenth
    assert float(masses(us)[0]) * 0.45359237 == pytest.approx(float(masses(metric)[0]), abs=0.1)


def test_scale_and_conversion_move_the_answer(run: Run) -> None:
    def answer(*words: str) -> Any:
        code, out, _ = run("reconcile", VISIT, "--json", *words)
        assert code == 0
        return json.loads(out)

    density = ("--reference-method", "density")
    plain, weighed, brozek = (
        answer(),
        answer(*density),
        answer("--conversion", "brozek1963", *density),
    )
    assert (plain["reference_method"], weighed["reference_method"]) == ("dxa", "density")
    assert weighed["fat_percent"]["estimate"] != plain["fat_percent"]["estimate"]
    # Brozek 1963 reads below Siri 1961 from about 30 % fat upwards and within 1.5 points of it
    assert 0.0 < abs(brozek["fat_percent"]["estimate"] - weighed["fat_percent"]["estimate"]) < 1.5


@pytest.mark.parametrize(
    ("client", "code"),
    [({"age_years": 17.25}, "E201"), ({"pregnant": True, "sex": "female"}, "E202")],
)
def test_no_range_ends_in_one_and_says_why(
    run: Run, tmp_path: Path, client: dict[str, object], code: str
) -> None:
    path = written(tmp_path, slim_visit(**client))
    status, out, _ = run("reconcile", path)
    assert status == 1
    assert "No range" in out
    assert code in out
    assert not too_wide(out)
    status, out, err = run("reconcile", path, "--json")
    tree = json.loads(out)
    assert status == 1
    assert list(tree) == [*CONTRACT_KEYS, "problems"]
    assert set(tree["fat_percent"].values()) == {None}
    assert [problem["code"] for problem in tree["problems"]] == [code]
    assert code in err


BAD_FILES: list[tuple[str, bytes | None, str]] = [
    ("nowhere.toml", None, "E301"),
    ("folder.toml/", None, "E302"),
    ("empty.toml", b"", "E306"),
    ("latin.toml", b'[client]\ncode = "\xe9"\n', "E304"),
    ("broken.toml", b'[client]\nsex = "female\n', "E305"),
    ("broken.json", b'{"client": {"sex": "female",}}', "E305"),
    ("list.json", b"[1, 2]", "E121"),
    ("visit.csv", b"sex,age\n", "E307"),
    ("faults.json", b'{"client": {"sex": "female"}}', "E112"),
]


@pytest.mark.parametrize(("name", "content", "code"), BAD_FILES)
def test_a_file_that_cannot_be_used(
    run: Run, tmp_path: Path, name: str, content: bytes | None, code: str
) -> None:
    path = tmp_path / name.rstrip("/")
    if name.endswith("/"):
        path.mkdir()
    elif content is not None:
        path.write_bytes(content)
    status, out, err = run("reconcile", str(path))
    assert (status, out) == (2, "")
    assert f"[{code}]" in err
    assert path.name in err
    assert run("equations", "--for", str(path))[0] == 2
    status, out, err = run("reconcile", str(path), "--json")
    tree = json.loads(out)
    assert status == 2
    assert list(tree) == [*CONTRACT_KEYS, "problems"]
    assert code in [problem["code"] for problem in tree["problems"]]
    assert f"[{code}]" in err


def test_an_unreadable_file(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """Permissions do not bind the superuser, so the refusal is played."""

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    status, out, err = run("reconcile", VISIT)
    assert (status, out) == (2, "")
    assert "[E303]" in err


def test_what_was_typed_is_shown_to_the_person_and_kept_out_of_the_json(
    run: Run, tmp_path: Path
) -> None:
    tree = slim_visit()
    tree["mass_height"]["height_cm"] = 1.78246
    status, out, err = run("reconcile", written(tmp_path, tree), "--json")
    assert status == 2
    assert "1.78246" in err
    assert "metres" in err
    assert "1.78246" not in out


def test_accept_unusual(run: Run, tmp_path: Path) -> None:
    tree = slim_visit()
    tree["skinfolds_mm"] = {"triceps": 52.375}
    path = written(tmp_path, tree)
    status, out, err = run("reconcile", path)
    assert (status, out) == (2, "")
    assert "[E103]" in err
    assert "--accept-unusual" in err
    status, out, err = run("reconcile", path, "--accept-unusual")
    assert status == 0
    assert "[W103]" in err
    # a path is one word, however long the folder is called
    assert not too_wide(out.replace(path, Path(path).name))


@pytest.mark.parametrize("code", ["K-071" * 30, "K-071\nMethod", "K-071\ud800", "K-071\x1b[31m"])
def test_a_strange_code_breaks_neither_page_nor_program(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: str
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    status, out, err = run("reconcile", written(tmp_path, slim_visit(code=code)))
    assert status in (0, 2)
    assert not too_wide(out)
    assert not [line for line in out.splitlines() if line.startswith("Method ·")]
    assert "\x1b" not in out + err


@pytest.mark.parametrize(
    ("terminal", "no_color", "coloured"),
    [(True, "", True), (True, "1", False), (False, "", False)],
)
def test_colour_only_on_a_terminal_and_never_with_no_color(
    run: Run, monkeypatch: pytest.MonkeyPatch, terminal: bool, no_color: str, coloured: bool
) -> None:
    monkeypatch.setenv("NO_COLOR", no_color)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal, raising=False)
    assert ("\x1b[" in run("reconcile", VISIT)[1]) is coloured
    assert "\x1b[" not in run("reconcile", VISIT, "--json")[1]


def test_a_stop_by_the_keyboard_ends_in_130(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Visit, "from_file", stop)
    status, out, _ = run("reconcile", VISIT)
    assert (status, out) == (130, "")
