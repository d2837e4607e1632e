"""``foldspan explain`` at the terminal and behind a pipe; what a client reads is short, plain and kind.

Readability is the grade of Kincaid, Fishburne, Rogers & Chissom (1975), as ``textstat`` calculates it.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import permutations, product
from pathlib import Path
from typing import Any

import pytest
import textstat

import example_visits
from foldspan import Visit, reconcile
from foldspan.api import explain
from foldspan.cli.printed.explain import client_page
from foldspan.explanation.findings import FINDING_CODES
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.quantities import MEASURED
from foldspan.results.explanation import Explanation
from foldspan.results.result import Health
from foldspan.results.spoken import SpokenFinding
from foldspan.text.en.reconcile import CAUTIONS, FAMILY_NAMES

EXAMPLES = Path(__file__).parents[2] / "examples"
SOUND = [str(path) for path in example_visits.SOUND]
NAMES = ("visit", "tape_only", "disagreement", "outside_results", "faulty")
VISIT, TAPE, APART, OUTSIDE, FAULTY = (str(EXAMPLES / f"{name}.toml") for name in NAMES)
READERS = ("trainer", "client", "clinician")
INSIDE = {  # docs/json.md, ``explain --json``
    "findings": {"code", "points", "text"},
    "pairs": {"between", "difference", "expected_by_chance", "reasons", "unexplained"},
    "would_agree": {"quantity", "value", "needed", "standard_errors_away"},
    "leave_one_out": {"without", "estimate", "range_80"},
    "outside_results": {"method", "fat_percent", "consistent", "adds_up", "points_outside"},
    "next_measurements": {"quantity", "range_80_width_now", "range_80_width_expected", "minutes"},
}
TOP = {"schema_version", *INSIDE}
WIDTH, MOST_WORDS, HIGHEST_GRADE = 80, 150, 6.0
UNKIND = re.compile(
    r"\b(overweight|obes\w*|normal\w*|abnormal\w*|ideal\w*|bad\w*|good\w*|fail\w*|cheat\w*|ugly|"
    r"should\w*|skinny|SE|chi-square|density|DXA|BMI)\b",
    re.IGNORECASE,
)

Run = Callable[..., tuple[int, str, str]]
_explain = explain.explain
_kept: dict[str, Explanation] = {}


def explained(visit: Visit, **options: Any) -> Explanation:
    """The explanation, kept by visit and options: it takes most of the time of these tests."""
    name = repr((visit.client.model_dump(), visit.accepted, sorted(options.items())))
    if name not in _kept:
        _kept[name] = _explain(visit, **options)
    return _kept[name]


@pytest.fixture
def run(run: Run, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run ``foldspan explain`` in this process; exit code, stdout and stderr."""
    monkeypatch.setattr(explain, "explain", explained)
    return partial(run, "explain")


def tree_from(out: str) -> Any:
    assert not re.search(r"\b(NaN|Infinity)\b", out)  # neither is JSON
    return json.loads(out)


def written(folder: Path, **sections: Any) -> str:
    """A visit file of an invented man; sections replace his own."""
    tree = {
        "client": {"code": "K-077", "sex": "male", "age_years": 35.25},
        "mass_height": {"weight_kg": 80.4, "height_cm": 178.2},
    }
    path = folder / "visit.json"
    path.write_text(json.dumps(tree | sections), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("path", SOUND)
@pytest.mark.parametrize("reader", READERS)
def test_every_example_for_every_reader(run: Run, path: str, reader: str) -> None:
    # where nobody is named the trainer reads
    code, out, err = run(path, *(() if reader == "trainer" else ("--for", reader)))
    assert (code, err) == (0, "")
    likely = reconcile(Visit.from_file(path)).fat_percent.range_80
    assert likely is not None
    if reader == "clinician":
        flags = reconcile(Visit.from_file(path)).flags
        assert len(out.splitlines()) == 3 + len(flags)
        assert f"80% range {likely[0]:.1f}% to {likely[1]:.1f}%" in out.splitlines()[1]
        return
    assert not [line for line in out.splitlines() if len(line) > WIDTH]
    if reader == "client" and Visit.from_file(path).intake.has_eating_concern:
        assert not re.search(r"\d", out)  # careful words: see test_health_words.py
        return
    low, high = round(likely[0]), round(likely[1])
    said = f"between {low}% and {high}%" if reader == "client" else f"{low}% to {high}%"
    assert said in " ".join(out.split())
    marks = ("Body fat: ", "If left out", "What to measure next", "Cautions")
    places = [out.find(mark) for mark in marks]
    assert reader == "client" or (-1 not in places and places == sorted(places))


@pytest.mark.parametrize("path", SOUND)
def test_json_keeps_the_contract(run: Run, path: str) -> None:
    code, out, err = run(path, "--json")
    tree = tree_from(out)
    assert (code, err) == (0, "")
    assert set(tree) >= TOP
    for name, keys in INSIDE.items():
        assert all(set(item) >= keys for item in tree[name]), name
    for pair in tree["pairs"]:
        points = [reason["points"] for reason in pair["reasons"]]
        assert f"{sum(points) + pair['unexplained']:.2f}" == f"{pair['difference']:.2f}"
        assert all(set(reason) >= {"code", "points"} for reason in pair["reasons"])
    # reconcile has its findings from here
    assert tree["findings"] == reconcile(Visit.from_file(path)).to_dict()["findings"]
    fat = tree["fat_percent"]["range_80"]
    for measurement in tree["next_measurements"]:
        assert measurement["range_80_width_expected"] < measurement["range_80_width_now"]
        assert measurement["range_80_width_now"] == pytest.approx(fat[1] - fat[0], abs=0.011)


EQUATIONS = ("durnin_womersley1974_male_4site", "deurenberg1991_both_bmi")


@pytest.mark.parametrize("pair", [("skinfold", "girth"), EQUATIONS])
def test_a_pair_is_taken_apart_in_either_order(run: Run, pair: tuple[str, str]) -> None:
    found = []
    for between in (pair, pair[::-1]):
        code, out, _ = run(APART, "--pair", *between, "--json")
        first = tree_from(out)["pairs"][0]
        assert (code, tuple(first["between"])) == (0, between)
        found.append(first["difference"])
    assert found[0] == -found[1]
    for reader in ("trainer", "clinician"):
        text = " ".join(run(APART, "--pair", *pair, "--for", reader)[1].lower().split())
        assert all(FAMILY_NAMES.get(name, name) in text for name in pair)


NO_PAIRS = [
    (("skinfold", "girth"), "could not be used"),  # no folds were taken
    (("girth", "impedance"), "not known"), (("girth", ""), "not known"),
    (("girth", "girth"), "the same method twice"), (("girth", "sloan1967_male"), "client's sex"),
    (("girth", "durnin_womersley1974_female_4site"), "gives no result"),
]  # fmt: skip


@pytest.mark.parametrize(("pair", "words"), NO_PAIRS)
def test_a_pair_that_cannot_be_taken_apart(run: Run, pair: tuple[str, str], words: str) -> None:
    code, out, err = run(TAPE, "--pair", *pair)
    assert (code, out, words in err, "[E501]" in err) == (2, "", True, True)


def test_outside_results_join_where_that_is_asked_for(run: Run) -> None:
    """The third contradicts itself. What is "narrower by X, to Y" starts from the width above it."""
    for more, taken in ((), [False] * 3), (("--include-outside",), [True, True, False]):
        tree = tree_from(run(OUTSIDE, "--json", *more)[1])
        assert [result["included"] for result in tree["outside_results"]] == taken
        result = reconcile(Visit.from_file(OUTSIDE), include_outside=any(taken))
        assert tree["fat_percent"] == result.to_dict()["fat_percent"]
        page = " ".join(run(OUTSIDE, *more)[1].split())
        assert page.count("It is included in the range.") == sum(taken)
        assert page.count("It is not included in the range.") == 3 - sum(taken)
        short = run(OUTSIDE, *more, "--for", "clinician")[1]
        assert ("(included)" in short) == any(taken)
        now = re.search(r"next \(the (.*?) is ([\d.]+) points wide\)", page)
        offers = re.findall(r"narrows the range by ([\d.]+) points, to ([\d.]+)", page)
        assert offers
        assert now is not None
        for by, to in offers:  # three roundings
            assert float(by) + float(to) == pytest.approx(float(now[2]), abs=0.16)
        low, high = tree["fat_percent"]["range_80"]
        assert "visit's methods" in now[1] or abs(float(now[2]) - (high - low)) < 0.06


def test_one_family_says_what_is_missing_and_invents_nothing(run: Run, tmp_path: Path) -> None:
    path = written(tmp_path)
    tree = tree_from(run(path, "--json")[1])
    assert (tree["verdict"], tree["pairs"], tree["would_agree"]) == ("single", [], [])
    assert tree["next_measurements"]
    codes = {finding["code"] for finding in tree["findings"]}
    assert codes <= {"single_family", "scale_moved", "outside_limits"}
    page = " ".join(run(path)[1].split())
    missing = page.split("Missing:")[1].split(".")[0]
    assert [n for n, words in FAMILY_NAMES.items() if words not in missing] == ["mass_height"]
    assert "points more than" not in page
    assert len(run(path, "--for", "clinician")[1].splitlines()) == 3
    assert "only one method" in " ".join(run(path, "--for", "client")[1].split())


WEIGHT_ALONE = {"mass_height": {"weight_kg": 80.4}}
PREGNANT = {"pregnant": True, "sex": "female"}
NO_RANGE = [({"age_years": 17.25}, {}, "E201"), (PREGNANT, {}, "E202"), ({}, WEIGHT_ALONE, "E203")]


@pytest.mark.parametrize(("client", "sections", "code"), NO_RANGE)
def test_no_range_ends_in_one(
    run: Run, tmp_path: Path, client: dict[str, Any], sections: dict[str, Any], code: str
) -> None:
    about = {"code": "K-078", "sex": "male", "age_years": 35.25} | client
    path = written(tmp_path, client=about, **sections)
    pages = {reader: run(path, "--for", reader) for reader in READERS}
    assert {page[0] for page in pages.values()} == {1}
    assert code in pages["trainer"][1]
    assert len(pages["clinician"][1].splitlines()) == 3
    assert not re.search(r"\d", pages["client"][1])
    assert reading_faults(pages["client"][1]) == []
    status, out, _ = run(path, "--json")
    tree = tree_from(out)
    assert (status, set(tree) >= TOP, set(tree["fat_percent"].values())) == (1, True, {None})
    assert [problem["code"] for problem in tree["problems"]] == [code]


def test_files_that_cannot_be_used_end_in_two(run: Run, tmp_path: Path) -> None:
    mri = written(tmp_path, outside_results=[{"method": "mri", "fat_percent": 23.71}])
    for words, fault in (
        ([FAULTY], "E112"), ([str(tmp_path / "nowhere.toml")], "E301"), ([mri], "E113"), ([], "E501"),
        ([TAPE, "--for", "nobody"], "E501"), ([TAPE, "--reference-method", "mri"], "E501"),
    ):  # fmt: skip
        code, out, err = run(*words)
        assert (code, out, f"[{fault}]" in err, "23.71" in err) == (2, "", True, False)
    assert len(re.findall(r"\[E\d{3}\]$", run(FAULTY)[2], re.MULTILINE)) == 17  # see test_cli.py


def test_standard_input_and_the_installed_command() -> None:
    words = [str(Path(sys.executable).with_name("foldspan")), "explain", "-", "--for", "clinician"]
    with open(TAPE, "rb") as visit:
        done = subprocess.run(words, stdin=visit, capture_output=True, timeout=60, check=False)
    assert (done.returncode, done.stderr, done.stdout.count(b"\n")) == (0, b"", 3)


def sheet(percent: str = "", fat: str = "", lean: str = "", weight: str = "") -> list[str]:
    given = {"fat-percent": percent, "fat-mass": fat, "lean-mass": lean, "weight": weight}
    return ["--sheet", *(w for k, v in given.items() if v.strip() for w in (f"--{k}", v.strip()))]


# 25 % of 80 kg are 20; 44 of 176 lb are 25 %
SHEETS: list[tuple[str, bool | None, str | None, str]] = [
    ("25 20 60 80", True, None, "add up"), ("25 % | 44 lb | | 176 lb", True, None, "add up"),
    ("| 44 lb | 59.87 | 79.83 kg", True, None, "add up"), ("25 | | 60 |", None, None, "Too few"),
    ("35 20 60 80", False, "fat_percent", "25.0%"), ("25 26 60 80", False, "fat_mass", "20.0 kg"),
    ("25 20 50 80", False, "fat_free_mass", "60.0 kg"), ("25 20 60 176", False, "weight", "80.0 kg"),
    ("25 26 60 88", False, None, "Copy"), ("25 | 20 | | 90", False, None, "do not add up"),
]  # fmt: skip


@pytest.mark.parametrize(("numbers", "adds_up", "out", "said"), SHEETS)
def test_a_sheet_is_checked(
    run: Run, numbers: str, adds_up: bool | None, out: str | None, said: str
) -> None:
    words = sheet(*(numbers.split("|") if "|" in numbers else numbers.split()))
    code, page, err = run(*words)
    assert (code, err, said in page) == (0, "", True)
    tree = tree_from(run(*words, "--json")[1])
    assert (tree["schema_version"], tree["adds_up"], tree["out"]) == (2, adds_up, out)
    assert set(tree) >= {"should_be", "fat_percent", "fat_mass_kg", "fat_free_mass_kg", "weight_kg"}


BAD_SHEETS = [
    (sheet(), "E120"),
    (sheet("23.71"), "E120"),
    ([*sheet("23.71", weight="81.93"), VISIT], "E501"),
    (sheet("23.71", weight="81.93")[1:], "E501"),
    (sheet("123.71", weight="81.93"), "E102"),
    (sheet("nan", weight="81.93"), "E106"),
    *((sheet("23.71", weight=weight), code) for weight, code in (
        ("581.93", "E102"), ("-81.93", "E107"), ("0", "E107"), ("81.93 cm", "E105"),
        ("81.93 pouns", "E104"), ("81,934", "E108"), ("much", "E101"), ("1e999", "E106"),
    )),
]  # fmt: skip


@pytest.mark.parametrize(("words", "code"), BAD_SHEETS)
def test_a_sheet_that_cannot_be_read(run: Run, words: list[str], code: str) -> None:
    """The terminal shows back what was typed there and is at fault, in brackets; no other number."""
    status, out, err = run(*words)
    assert (status, out, f"[{code}]" in err) == (2, "", True)
    assert not re.search(r"23\.71|81[.,]93", re.sub(r"\(you entered: [^)]*\)", "", err))
    assert "23.71" not in err or "123.71" in words  # a sound number beside a faulty one


def reading_grade(text: str) -> float:
    """The grade; a point between digits ends no sentence, and a hyphen does not make two words one."""
    return float(textstat.flesch_kincaid_grade(re.sub(r"(?<=\d)\.(?=\d)|-", " ", text)))


def reading_faults(text: str) -> list[str]:
    """What is wrong with a client's text: its length, its grade, a word that judges or is jargon."""
    words, grade = re.findall(r"[A-Za-z0-9']+", text), reading_grade(text)
    faults = [f"{len(words)} words"] if len(words) > MOST_WORDS else []
    faults += [f"grade {grade:.1f}"] if grade > HIGHEST_GRADE else []
    return faults + [found[0] for found in UNKIND.finditer(text)]


def test_the_measure_itself() -> None:
    """By hand, 12 words, 2 sentences and 14 syllables: 0.39 * 6 + 11.8 * 14 / 12 - 15.59 = 0.5."""
    text = "The cat sat on the mat. It was a very sunny day."
    assert reading_grade(text) == pytest.approx(0.39 * 6 + 11.8 * 14 / 12 - 15.59, abs=0.06)
    assert reading_grade("The cat sat on 3.5 mats.") == reading_grade("The cat sat on 3 5 mats.")
    assert reading_faults(text) == []
    assert reading_faults("Abnormal conditions necessitate immediate professional consultation.")


ON_DXA = tuple((path, "--reference-method", "dxa") for path in (APART, TAPE))
CAREFUL = [path for path in SOUND if Visit.from_file(path).intake.has_eating_concern]
CLIENTS = [
    *((path,) for path in SOUND if path not in CAREFUL),
    (OUTSIDE, "--include-outside"),
    *ON_DXA,
]


@pytest.mark.parametrize("words", CLIENTS)
def test_the_client_of_every_example(run: Run, words: tuple[str, ...]) -> None:
    code, out, _ = run(*words, "--for", "client")
    assert code == 0
    assert reading_faults(out) == []
    low, high = tree_from(run(*words, "--json")[1])["fat_percent"]["range_80"]
    # what a doctor has to see soon comes first, then the range, before every other number
    first = next(part for part in re.split(r"[.!?]\s", out) if re.search(r"\d", part))
    before = " ".join(out[: out.index(first)].split())
    assert before == "" or "see a doctor" in before
    assert re.findall(r"\d+", first)[:2] == [str(round(low)), str(round(high))]


def offered(*names: str) -> tuple[NextMeasurement, ...]:
    return (NextMeasurement(names, 14.0, 12.0, 1.5, (), {"agree": 1.0}),)


def changed(
    base: Explanation, verdict: str, codes: tuple[str, ...], *, left: float = 99.0,
    cautions: tuple[str, ...] = (), offer: tuple[NextMeasurement, ...] = (),
) -> Explanation:  # fmt: skip
    """The explanation with other reasons, verdict, cautions and offers; ``left`` is not explained."""
    pairs = () if verdict == "single" else tuple(replace(p, unexplained=left) for p in base.pairs)
    first = pairs[0] if pairs else None
    result = replace(
        base.result,
        fat_percent=replace(base.fat_percent, range_80=(3.2, 9.8)),  # so low that cautions are due
        verdict=verdict,
        findings=tuple(SpokenFinding(code, 20.0) for code in codes),
        caution_codes=cautions, health=Health(),
    )  # fmt: skip
    return replace(base, result=result, pairs=pairs, headline=first, next_measurements=offer)


def synthetic() -> Iterator[Explanation]:
    """Every verdict, explained or not, with every two reasons, caution, offer and outside result."""
    base, outside = (explained(Visit.from_file(path)) for path in (APART, OUTSIDE))
    assert base.result.verdict == "disagree"  # far apart, so that every reason may be told
    plain = client_page(changed(base, "disagree", ()))
    pages = {code: client_page(changed(base, "disagree", (code,))) for code in FINDING_CODES}
    telling = [code for code, page in pages.items() if page != plain]
    assert {"slip", "more_muscle", "less_muscle", "belly_fat", "trunk_fat"} <= set(telling)
    reasons = [(), *((code,) for code in FINDING_CODES), *permutations(telling, 2)]
    offers = ((), offered("subscapular_mm", "thigh_mm", "triceps_mm", "suprailiac_anterior_mm"))
    cautions = ((), ("low_fat",), ("low_fat_women",))
    verdicts = ("agree", "strained", "disagree", "single")
    for verdict, codes, caution, offer in product(verdicts, reasons, cautions, offers):
        for left in (0.0, 99.0) if verdict == "disagree" else (0.0,):
            yield changed(base, verdict, codes, left=left, cautions=caution, offer=offer)
    placed = list(permutations(outside.outside, 2))
    for verdict, results, offer, joined in product(verdicts, placed, offers, (True, False)):
        longest = changed(base, verdict, ("belly_fat", "more_muscle"), left=0.0, offer=offer)
        yield replace(longest, outside=results, included=(joined, False))
    yield from (changed(base, "agree", (), offer=offered(name)) for name in MEASURED)
    yield from (changed(base, "agree", (), cautions=(code,)) for code in CAUTIONS)


def test_whatever_a_client_may_read_is_short_plain_and_kind() -> None:
    """All texts that codes can make, not only those of the examples; the range in the first sentence."""
    texts = {client_page(explanation) for explanation in synthetic()}
    assert len(texts) > 300
    assert [text for text in texts if reading_faults(text)] == []
    assert all(re.findall(r"\d+", text.split(". ")[0])[:2] == ["3", "10"] for text in texts)
