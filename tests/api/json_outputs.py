"""Real outputs of every command that prints JSON, on all examples and on visits drawn at random."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

import example_visits
import foldspan
from foldspan.api.cards.tree import tree
from foldspan.api.cards.value import equation_value
from foldspan.api.schemas.notation import shapes_in
from foldspan.api.schemas.published import SHAPES
from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.external.consistency import Sheet, check_sheet
from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.quantities import BY_NAME
from foldspan.results.explanation import sheet_tree
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.visit.keys import SECTIONS
from foldspan.visit.model import Visit

Tree = dict[str, Any]
ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
SIZE = {"mass_height": {"weight_kg": 80.0, "height_cm": 178.0}}
RANDOM = 12


def of_the_examples() -> Iterator[tuple[str, Tree]]:
    """Yield the name of a result and what it is for the examples, often enough to meet every key."""
    first, later, slipped = example("visit"), example("visit_later"), example("visit").to_dict()
    slipped["skinfolds_mm"]["triceps"] = [12.0, 12.0]  # digits of 21 exchanged
    visits = [Visit.from_file(str(path), accept_unusual=True) for path in example_visits.SOUND]
    others = [sized("both", 40), sized("male", 16), Visit.from_dict(slipped)]
    for visit in (*visits, *others):
        explained = foldspan.explain(visit)
        yield "explain", explained.to_dict()
        yield "reconcile", explained.result.to_dict()
        yield "health", explained.result.health.to_dict()
    local = foldspan.learn_correction(people()).correction
    for method in ("dxa", "density"):
        settings: dict[str, Any] = {"reference_method": method, "local": local}
        given = settings if method == "dxa" else {"reference_method": method, "as_printed": True}
        yield "reconcile", foldspan.reconcile(first, **given).to_dict()
        yield "change", foldspan.change(first, later, **given).to_dict()
    for reader in ("client", "trainer", "clinician"):
        yield "report", foldspan.report(first, later, reader=reader).to_dict()
    careful = example("careful_words")
    yield "report", foldspan.report(careful, reader="client").to_dict()
    yield from _changes(first, later)
    yield from _values(first)
    yield "precision", foldspan.precision(str(EXAMPLES / "repeats.csv")).to_dict()
    yield "calibrate", foldspan.calibrate(people()).to_dict()


def _changes(first: Visit, later: Visit) -> Iterator[tuple[str, Tree]]:
    last = later.to_dict()
    last["visit"]["date"] = "2026-08-19"
    undated = sized("female", 50)
    both = [Visit.from_dict(of_sex(visit, "both")) for visit in (first, later)]
    for visits in (
        (first, later, Visit.from_dict(last)),
        (undated, undated),
        both,
        (*both, Visit.from_dict(of_sex(Visit.from_dict(last), "both"))),
    ):
        yield "change", foldspan.change(*visits).to_dict()


def _values(first: Visit) -> Iterator[tuple[str, Tree]]:
    card = equation_by_key("durnin_womersley1974_female_4site")
    older = Visit.from_dict({**first.to_dict(), "client": {"sex": "female", "age_years": 70}})
    for visit in (first, older, sized("male", 16), sized("male", 40)):
        yield "value", equation_value(card, visit).to_dict()


def of_the_catalogue() -> Iterator[tuple[str, Tree]]:
    """Yield every card, and what the check of a sheet says of sheets of all kinds."""
    yield from (("equations", tree(card)) for card in EQUATIONS)
    yield from (("conversion", tree(card)) for card in CONVERSIONS)
    for numbers in (
        (27.0, 21.6, 57.4, 80.0), (27.0, 21.6, None, 80.0), (27.0, None, None, None),
        (27.0, 47.6, 57.4, 80.0), (None, 21.6, 55.0, 80.0), (27.0, 57.4, 21.6, 80.0),
    ):  # fmt: skip
        yield "sheet", sheet_tree(check_sheet(Sheet(*numbers)))


def of_tables(folder: Path) -> Iterator[tuple[str, Tree]]:
    """Yield the summaries of tables."""
    table, before = (str(EXAMPLES / f"clinic_day{end}.csv") for end in ("", "_before"))
    yield "screen", foldspan.screen_table(table, f"{folder}/with.csv", before=before).to_dict()
    screened = foldspan.screen_table(table, f"{folder}/alone.csv")
    yield "screen", screened.to_dict()
    yield "group", foldspan.group_summary(screened).to_dict()


def of_random_visits() -> Iterator[tuple[str, Tree]]:
    """Yield results for visits of which anything may be missing, unusual or told."""
    rng = np.random.default_rng(20261130)
    for _ in range(RANDOM):
        visit = Visit.from_dict(drawn(rng), accept_unusual=True)
        method = str(rng.choice(["dxa", "density"]))
        explained = foldspan.explain(visit, reference_method=method)
        yield "explain", explained.to_dict()
        yield "reconcile", explained.result.to_dict()


def drawn(rng: np.random.Generator) -> Tree:
    """Return a visit drawn at random: few sites or many, any sex and age, much told or nothing."""
    visit: Tree = {
        "client": {
            "code": "K-9",
            "sex": str(rng.choice(["female", "male", "both"], p=[0.45, 0.45, 0.1])),
            "age_years": float(rng.integers(15, 90)),
        },
        "mass_height": {
            "weight_kg": round(float(rng.uniform(45, 130)), 1),
            "height_cm": round(float(rng.uniform(150, 195)), 1),
        },
    }
    share = float(rng.uniform(0, 1))
    for section, names in SECTIONS.items():
        if section == "mass_height":
            continue
        for name in names:
            if rng.uniform() < share:
                visit.setdefault(section, {})[name] = _readings(name, section, rng)
    if rng.uniform() < 0.6:
        visit["intake"] = {
            "eating_concern": bool(rng.uniform() < 0.3),
            "symptoms": _some(SYMPTOMS, rng),
            "conditions": _some(
                [condition for condition in CONDITIONS if condition != "pregnant"], rng
            ),
            "medicines": _some(MEDICINES, rng),
        }
        assert visit["intake"].keys() <= set(INTAKE_KEYS)
    if rng.uniform() < 0.5:
        visit["outside_results"] = [{"method": "dxa", "fat_percent": round(rng.uniform(8, 50), 1)}]
    return visit


def _readings(name: str, section: str, rng: np.random.Generator) -> list[float]:
    unit = "mm" if section == "skinfolds_mm" else "cm"
    quantity = BY_NAME[f"{name}_{unit}"]
    low, high = quantity.plausible(None)
    value = float(rng.uniform(low, low + (high - low) / 2))
    return [
        round(value * float(rng.uniform(0.97, 1.03)), 1) for _ in range(int(rng.integers(1, 4)))
    ]


def _some(words: Any, rng: np.random.Generator) -> list[str]:
    return [str(word) for word in words if rng.uniform() < 0.1]


@cache
def people() -> pd.DataFrame:
    """Forty invented men with a reference each."""
    return pd.DataFrame({
        "sex": "male", "age_years": 40, "weight_kg": np.linspace(65, 95, 40), "height_cm": 178.0,
        "reference_fat_percent": np.linspace(13, 33, 40), "reference_method": "dxa",
    })  # fmt: skip


def example(name: str) -> Visit:
    """Return an example visit by its name."""
    return Visit.from_file(str(EXAMPLES / f"{name}.toml"))


def sized(sex: str, age: float) -> Visit:
    """Return somebody of whom only size is known."""
    return Visit.from_dict(SIZE | {"client": {"sex": sex, "age_years": age}})


def of_sex(visit: Visit, sex: str) -> Tree:
    """Return a visit with another sex."""
    given = visit.to_dict()
    return {**given, "client": {**given["client"], "sex": sex}}


def met(name: str, given: Mapping[str, Any], found: dict[str, set[str]]) -> None:
    """Note every key that a mapping has, and those of the shapes inside it."""
    for written, held in SHAPES[name].items():
        key = written.rstrip("?")
        if key in given:
            found.setdefault(name, set()).add(key)
        for inner in shapes_in(held):
            for mapping in _mappings(given.get(key), held.count("{")):
                met(inner, mapping, found)


def _mappings(value: Any, depth: int) -> Iterator[Mapping[str, Any]]:
    if isinstance(value, list):
        for item in value:
            yield from _mappings(item, depth)
    elif isinstance(value, dict) and depth:
        for item in value.values():
            yield from _mappings(item, depth - 1)
    elif isinstance(value, dict):
        yield value


def strict(tree: Any) -> Any:
    """Return a tree as any reader of JSON gets it; a number that JSON does not have is a fault."""
    return json.loads(json.dumps(tree, allow_nan=False))
