"""Visit files, TOML and JSON: examples with slips of the keyboard and with lines that nobody meant."""

from __future__ import annotations

import datetime
import json
import math
import random
import re
import tomllib
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomli_w

import foldspan
from fhir_checks import check, is_without_numbers
from foldspan import FoldspanError, Visit
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.cli.printed.change import page as change_page
from foldspan.cli.printed.explain import client_page, clinician_lines, trainer_page
from foldspan.cli.printed.reconcile import page as reconcile_page
from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.quantities import BY_NAME
from foldspan.text.catalogue import LANGUAGES
from foldspan.visit.how_taken import HOW_TAKEN_KEYS
from foldspan.visit.keys import CLIENT_KEYS, SECTIONS, SITE_VARIANTS, VISIT_KEYS
from fuzz.cases import (
    EXAMPLES,
    Case,
    check_notes,
    check_problems,
    check_result,
    has_range,
    left_as_they_were,
    may_get_range,
    measured_values,
)
from fuzz.odd import mutated_text, mutated_tree

SETTINGS: dict[str, tuple[Any, ...]] = {
    "reference_method": ("dxa", "density"),
    "conversion": ("siri1961", *(card.key for card in CONVERSIONS)),
    "with_disputed": (False, True),
    "as_printed": (False, True),
    "include_outside": (False, True),
}
WHOLE = 12  # pages are made of one case in so many
FILES = sorted(path for path in EXAMPLES.iterdir() if path.suffix in (".toml", ".json"))
NAMES = tuple(
    sorted(
        {
            *CLIENT_KEYS,
            *VISIT_KEYS,
            *SITE_VARIANTS,
            *BY_NAME,
            *INTAKE_KEYS,
            *HOW_TAKEN_KEYS,
            "suprailiac",
        }
        | {"client", "visit", "intake", "how_taken", "site_variants", "outside_results", *SECTIONS}
        | {name for known in SECTIONS.values() for name in known}
    )
)
# what may stand in a client's file and rules a range out, or numbers on the client's page
STATED: tuple[tuple[str, str, Any], ...] = (
    ("client", "pregnant", True), ("client", "pregnant", "yes"), ("client", "age_years", 16),
    ("client", "age_years", 17.9), ("client", "birth_date", "2012-05-01"),
    ("client", "sex", "both"), ("client", "pregnant", "true"), ("intake", "birth_months_ago", 2),
    ("intake", "eating_concern", True), ("intake", "symptoms", ["fainting"]),
    ("client", "athlete", True), ("intake", "conditions", "dialysis"),
)  # fmt: skip


def with_hundredths(draw: random.Random, text: str) -> str:
    """The readings of a file with two decimals, so that none is a limit that a message may name."""

    def finer(found: re.Match[str]) -> str:
        return f"{found[0]}{draw.randint(1, 9)}"

    return re.sub(r"(?<![\d.\"-])\d{2,3}\.\d(?![\d.])", finer, text)


def drawn(draw: random.Random, number: int) -> Case:
    """One example as a file, mutated as a text or as a tree."""
    path = draw.choice(FILES)
    text = with_hundredths(draw, path.read_text(encoding="utf-8"))
    as_toml, tree = path.suffix == ".toml", None
    if draw.random() < 0.7:
        tree = tomllib.loads(text) if as_toml else json.loads(text)
        if draw.random() < 0.3:
            section, name, value = draw.choice(STATED)
            tree.setdefault(section, {})[name] = value
            tree.get("client", {}).pop("birth_date" if name == "age_years" else "", None)
        as_toml = draw.random() < 0.6
        for _ in range(draw.choice((0, 0, 1, 1, 1, 2))):
            inside = (
                [part for part in tree.values() if isinstance(part, dict)]
                if draw.random() < 0.8
                else []
            )
            mutated_tree(draw, draw.choice(inside) if inside else tree, names=NAMES)
    data = text.encode() if tree is None else written(tree, as_toml=as_toml)
    if (tree is None and draw.random() < 0.9) or draw.random() < 0.05:
        data = mutated_text(draw, data)
    ending = ("toml", "json") if as_toml else ("json", "toml")
    name = f"visit.{ending[0] if draw.random() < 0.98 else ending[1]}"
    return Case(name, data, is_whole=number % WHOLE == 0)


def written(tree: Any, *, as_toml: bool) -> bytes:
    """A tree as a file; what TOML cannot hold goes into JSON, dates as texts."""
    if as_toml:
        try:
            return tomli_w.dumps(tree).encode("utf-8", "surrogatepass")
        except (TypeError, ValueError, AttributeError):
            pass
    return json.dumps(tree, default=str, ensure_ascii=False).encode("utf-8", "surrogatepass")


def tried(case: Case, folder: Path) -> str:
    """Read a file both ways, and ask everything of a visit that is read."""
    path = folder / case.name
    path.write_bytes(case.data)
    names = "\n".join(_names_in(_tree_of(case)))  # a name that nobody knows has to be said
    values = measured_values(case.data.decode("utf-8", "replace"))
    personal = [value for value in values if value not in names]
    visits = []
    with left_as_they_were(folder):
        for unusual in (False, True):
            try:
                visits.append(Visit.from_file(str(path), accept_unusual=unusual))
            except FoldspanError as error:
                check_problems(error, personal)
        for visit in visits[-1:]:
            check_visit(visit, case)
    return "read" if visits else "refused"


def check_visit(visit: Visit, case: Case) -> None:
    """Ask everything of a visit; ``case`` is where it came from."""
    assert 0.0 <= visit.client.age_years < math.inf
    assert all(0.0 < site.se < math.inf for site in visit.accepted.values())
    result, health = foldspan.reconcile(visit), foldspan.health(visit)
    check_result(result)
    json.dumps(health.to_dict(), allow_nan=False)
    may = may_get_range(visit) and not _is_ruled_out(_tree_of(case))
    assert may or not has_range(result), "a range for somebody who must get none"
    draw = random.Random(zlib.crc32(case.data))  # so that the file alone says how it is asked
    check_settings(visit, draw, may=may)
    check_change(visit, may=may)
    explained = foldspan.explain(visit)
    for page in (
        trainer_page(visit, explained),
        client_page(explained),
        clinician_lines(explained),
    ):
        check_printed(page)
    json.dumps(explained.to_dict(), allow_nan=False)
    check_result(explained.result)
    check_notes(result.problems)
    if not case.is_whole:
        return
    for reader in ("client", "trainer", "clinician"):
        language = draw.choice([*LANGUAGES]) if reader == "client" else ""
        page = foldspan.report(
            visit, reader=reader, language=language, units=draw.choice(("metric", "us")), full=True
        )
        bundle = page.fhir()
        check(bundle)
        json.dumps(page.to_dict(), allow_nan=False)
        html = page.html()
        assert "</html>" in html
        assert "nan" not in re.findall(r"[a-z]+", re.sub(r"<[^>]*>", " ", html.lower()))
        if reader == "client" and health.careful:
            assert page.hides_numbers
            assert is_without_numbers(bundle)


def check_settings(visit: Visit, draw: random.Random, *, may: bool) -> None:
    """Reconcile as somebody may have asked, and print it."""
    settings = {name: draw.choice(choices) for name, choices in SETTINGS.items()}
    try:
        result = foldspan.reconcile(visit, **settings)
    except FoldspanError as error:
        check_problems(error)  # such as a conversion for others
        return
    check_result(result)
    assert may or not has_range(result), "a range for somebody who must get none"
    for units in ("metric", "us"):
        check_printed(reconcile_page(visit, result, units, show_all=True, show_budget=True))


def check_printed(page: str) -> None:
    """A page at the terminal has no number that is none, and no sign that steers the terminal."""
    assert not re.search(r"\b(nan|inf)\b", page)
    assert all(sign == "\n" or sign.isprintable() for sign in page)


def check_change(visit: Visit, *, may: bool) -> None:
    """Compare with the same body three months before, and again, where that can be."""
    before = visit.model_copy(update={"day": datetime.date(2025, 11, 3)})
    try:
        change = foldspan.change(before, visit)
    except FoldspanError as error:
        check_problems(error)
        return
    json.dumps(change.to_dict(), allow_nan=False)
    assert may, "a change of fat for somebody who must get no range"
    for units in ("metric", "us"):
        check_printed(change_page(change, units))


def _tree_of(case: Case) -> Any:
    """The file as it says itself, read a second time; nothing where it is no tree."""
    try:
        text = case.data.decode("utf-8-sig")
        return tomllib.loads(text) if case.name.endswith("toml") else json.loads(text)
    except (ValueError, RecursionError):
        return {}


def _names_in(tree: Any) -> Iterator[str]:
    """Every name of a tree, at every level."""
    if isinstance(tree, dict):
        yield from tree
    for inner in (
        tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ()
    ):
        yield from _names_in(inner)


def _is_ruled_out(tree: Any) -> bool:
    """Whether a file says plainly that a client is pregnant, under 18 or just gave birth."""
    client = tree.get("client") if isinstance(tree, dict) else None
    if not isinstance(client, dict):
        return False
    age, born = client.get("age_years"), client.get("birth_date")
    is_young = isinstance(age, int | float) and not isinstance(age, bool) and age < 18
    is_young |= isinstance(born, datetime.date) and born.year >= 2009
    return client.get("pregnant") in (True, "yes", "true") or is_young
