"""Whatever is typed, sent or broken ends in a visit or in a ``FoldspanError`` that repeats no number."""

from __future__ import annotations

import json
import string
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from foldspan import FoldspanError, Visit
from foldspan.files.input import parse_tree, read_tree
from foldspan.problems import CODES
from foldspan.quantities import BY_NAME, UnreadableValue, read_value
from foldspan.visit.keys import CLIENT_KEYS, SECTIONS, SITE_VARIANTS, VISIT_KEYS

SOUND = """[client]
code = "K-042"
sex = "male"
age_years = 35
[visit]
date = 2026-01-15
[mass_height]
weight_kg = "176 lb"
height_cm = "5 ft 10 in"
[skinfolds_mm]
chest = [11.0, 11.5]
thigh = ["14.5", 15, 14.0]
[girths_cm]
waist_midpoint = 86.5
"""
SOUND_JSON = json.dumps(parse_tree(SOUND, "toml", "sound"), default=str)

NAMES = sorted(
    {*CLIENT_KEYS, *VISIT_KEYS, *SITE_VARIANTS, *BY_NAME, "suprailiac"}
    | {name for known in SECTIONS.values() for name in known}
)
UNITS = [
    "mm", "cm", "m", "in", "ft", "g", "kg", "lb", "st", "years", "stone", "feet", "'", '"', "+",
    ",", "/", "1/2", "-",
]  # fmt: skip
numbers = st.one_of(
    st.integers(), st.floats(), st.floats(1.5, 200.0), st.sampled_from([0, -0.0, 10**400])
)
texts = st.one_of(
    st.text(st.characters(), max_size=12),
    st.lists(st.one_of(st.integers(0, 99).map(str), st.sampled_from(UNITS)), max_size=6).map(
        " ".join
    ),
    st.sampled_from(["female", "male", "2026-01-15", "60+", "nan", "inf", "1e999 kg", "32\t1/2"]),
)
leaves = st.one_of(st.none(), st.booleans(), numbers, texts, st.dates(), st.datetimes(), st.times())
values = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)
lines = st.dictionaries(st.sampled_from(NAMES) | st.text(max_size=8), values, max_size=6)
trees = st.dictionaries(
    st.sampled_from(["client", "visit", "site_variants", *SECTIONS]) | st.text(max_size=8),
    lines | values,
    max_size=5,
)


def check_problems(error: FoldspanError) -> None:
    assert error.problems
    for problem in error.problems:
        assert problem.code in CODES
        assert problem.is_error
        assert problem.where
        assert problem.what
        assert problem.remedy


def read_or_refuse(tree: Mapping[str, Any]) -> None:
    """Read a tree both ways; a visit that is read must also give its accepted values."""
    for unusual in (False, True):
        try:
            visit = Visit.from_dict(tree, accept_unusual=unusual)
        except FoldspanError as error:
            check_problems(error)
        else:
            assert visit.client.age_years >= 0.0
            assert all(site.se > 0.0 for site in visit.accepted.values())


@given(trees)
@example({"client": {"age_years": 10**400}})
@example({"client": {"sex": "female", "birth_date": date(1, 1, 1)}})
@settings(max_examples=150, deadline=None)
def test_arbitrary_trees(tree: dict[str, Any]) -> None:
    read_or_refuse(tree)


@given(st.sampled_from(NAMES), values)
@settings(max_examples=400, deadline=None)
def test_one_arbitrary_value_in_a_sound_visit(name: str, value: object) -> None:
    tree = parse_tree(SOUND, "toml", "sound")
    homes = {"client": CLIENT_KEYS, "visit": VISIT_KEYS, **SECTIONS, "site_variants": SITE_VARIANTS}
    for section in [home for home, known in homes.items() if name in known] or ["girths_cm"]:
        tree.setdefault(section, {})[name] = value
    read_or_refuse(tree)


@given(st.text(st.characters(exclude_categories=["Cs"])), st.sampled_from(["toml", "json"]))
@example("a = " + "9" * 5_000, "toml")
@example("[" * 20_000, "json")
@settings(max_examples=500, deadline=None)
def test_arbitrary_text(text: str, kind: str) -> None:
    try:
        tree = parse_tree(text, kind, "file")
    except FoldspanError as error:
        check_problems(error)
    else:
        read_or_refuse(tree)


@given(
    st.sampled_from(["toml", "json"]),
    st.floats(0.0, 1.0),
    st.integers(0, 12),
    st.text(st.sampled_from(string.printable + "″½Å\x00"), max_size=8),
)
@settings(max_examples=600, deadline=None)
def test_a_sound_file_with_a_slip_of_the_keyboard(
    kind: str, at: float, length: int, typed: str
) -> None:
    """Replace some signs anywhere in a sound file: most results are nearly right, as real slips."""
    text = SOUND if kind == "toml" else SOUND_JSON
    place = round(at * len(text))
    try:
        tree = parse_tree(text[:place] + typed + text[place + length :], kind, "file")
    except FoldspanError as error:
        check_problems(error)
    else:
        read_or_refuse(tree)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("files")


@given(st.binary(max_size=60), st.sampled_from(["toml", "json"]), st.booleans())
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_arbitrary_bytes(folder: Path, raw: bytes, kind: str, after_sound: bool) -> None:
    path = folder / f"visit.{kind}"
    path.write_bytes((SOUND.encode() if after_sound else b"") + raw)
    try:
        tree = read_tree(str(path))
    except FoldspanError as error:
        check_problems(error)
    else:
        read_or_refuse(tree)


@given(texts, st.sampled_from(["kg", "cm", "mm", "years"]))
@settings(max_examples=500, deadline=None)
def test_arbitrary_text_as_a_value(text: str, unit: str) -> None:
    code, value = "", 0.0
    try:
        value = read_value(text, unit)
    except UnreadableValue as error:
        code = error.code
    assert code in {"", *CODES}
    assert isinstance(value, float)


# Three decimals, the last not zero: no message holds such a number by chance, and "%g" keeps it whole.
typed_numbers = st.integers(1, 999_999).filter(lambda number: number % 10).map(lambda n: n / 1000)
places = st.sampled_from(
    [("client", "age_years"), ("mass_height", "weight_kg"), ("mass_height", "height_cm")]
    + [("skinfolds_mm", name) for name in SECTIONS["skinfolds_mm"]]
    + [("girths_cm", name) for name in SECTIONS["girths_cm"]]
    + [("girths_cm", "wast"), ("skinfolds_mm", "suprailiac"), ("client", "sex"), ("visit", "date")]
)
forms = st.sampled_from(
    ["{}", "{} cm", "{} lb", "{} pouns", "-{}", "{} {}", "[{}]", "+{}+", "x{}", "{} in {} in"]
)


@given(typed_numbers, places, forms | st.none())
@example(1.682, ("mass_height", "height_cm"), None)
@example(2.137, ("skinfolds_mm", "thigh"), None)
@settings(max_examples=500, deadline=None)
def test_no_message_repeats_the_number_typed(
    number: float, place: tuple[str, str], form: str | None
) -> None:
    shown = f"{number:.3f}"
    tree = parse_tree(SOUND, "toml", "sound")
    tree[place[0]][place[1]] = number if form is None else form.format(shown, shown)
    try:
        Visit.from_dict(tree)
    except FoldspanError as error:
        said = f"{error!s}{error!r}{error.problems!r}"
        assert shown not in said
        assert repr(number) not in said


@given(typed_numbers, st.sampled_from(["toml", "json"]), st.sampled_from("=,:x]}\"' "))
@settings(max_examples=300, deadline=None)
def test_no_syntax_error_repeats_the_number_typed(number: float, kind: str, slip: str) -> None:
    text = SOUND if kind == "toml" else SOUND_JSON
    broken = text.replace("35", f"{number:.3f}{slip}{number:.3f}", 1)
    with pytest.raises(FoldspanError) as caught:
        parse_tree(broken, kind, "file")
    assert f"{number:.3f}" not in f"{caught.value!s}{caught.value!r}"
