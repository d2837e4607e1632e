"""The house keeps its order: floors, sizes, what is loaded when, and the names users rely on."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import json
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import foldspan
from foldspan.agreement import verdicts
from foldspan.catalogue.card import FAMILIES, SCALES
from foldspan.errormodel import BLOCKS
from foldspan.quantities import BY_NAME
from foldspan.table_layout import REFERENCE, unused_names

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "foldspan"
TESTS = ROOT / "tests"
LONGEST_FILE, LONGEST_FUNCTION = 400, 50
FLOORS: tuple[frozenset[str], ...] = tuple(
    frozenset("" if room == "package" else room for room in floor.split())
    for floor in (
        "quantities decimal_comma site_names problems",
        "catalogue protocol standards",
        "ordered_sums readings applicability dual evaluate reference_people survey_errors girth_build"
        " survey_backgrounds default_cards body_pattern intake how_taken tester_precision"
        " told_words",
        "small_matrices correlated_errors errormodel levelling usual_gaps agreement people"
        " waist_bridging fitting"
        " reading_errors reconciliation disagreement calibration local case body_signs on_request"
        " slip_search anatomy pairs what_if next_measurement outside_results result_sheet indices"
        " bands rulers told flags flags_told flags_measured lean_folds two_scales changes footing"
        " session session_known session_plan session_script session_visit session_pages",
        "files output_file slips plain_number visit visit_reader outside_reader table_reader"
        " table_clients table_files referenced_table calibrate_table local_file figures figure_standards"
        " tables wording wording_explain change_talk"
        " wording_client wording_repeats wording_health wording_flags result explanation"
        " joined_flags listed_equations"
        " intake_reader health_check"
        " table_intake table_flags calendar_reader how_taken_reader change_result wording_change"
        " wording_measure wording_precision records kept_visit records_export own_errors book_place"
        " book_file local_reader local_used records_import visit_findings intake_answers flag_grounds"
        " wording_told session_checks session_answers session_page_answers wording_questions"
        " session_heard session_planned session_back session_told session_numbers session_keeper"
        " precision_reader precision_result shown_units"
        " client_reader refused_visit"
        " wording_pages wording_german language client_talk figure_agreement figure_bands figure_rows"
        " wording_notices wording_german_notices client_notices raw_changes"
        " wording_german_changes wording_aloud"
        " figure_trend pages fhir offers"
        " row_marks age_reader table_cells table_dates table_facts table_words table_said table_names"
        " table_layout table_frame table_bands table_answers csv_rows csv_head csv_quotes"
        " csv_blocks csv_lines parquet_table row_visit screen_batch screen_columns screen_referrals"
        " screen_tally screen_gather screen_doors screen_run screen_parts screen_pool"
        " screen_cluster screen_letters screening"
        " wording_screen arrow_alone screen_worker",
        "package who_gets_a_range api api_explain api_health api_change api_precision api_report"
        " api_screen api_letters api_plan cli",
    )
)
# the kernel: numpy, and of scipy only what loads fast
KERNEL_LIBRARIES = {"numpy", "scipy.special", "scipy.linalg"}
SLOW = ("pandas", "matplotlib", "scipy.stats")
VAGUE = {"utils", "util", "helpers", "helper", "common", "manager", "misc", "stuff"}

# the contract, typed out
QUANTITIES = [
    "age_years",
    "weight_kg",
    "height_cm",
    "chest_mm",
    "midaxillary_mm",
    "triceps_mm",
    "biceps_mm",
    "subscapular_mm",
    "abdominal_mm",
    "suprailiac_anterior_mm",
    "suprailiac_midaxillary_mm",
    "supraspinale_mm",
    "thigh_mm",
    "calf_mm",
    "neck_cm",
    "chest_girth_cm",
    "waist_narrowest_cm",
    "waist_midpoint_cm",
    "waist_iliac_cm",
    "abdomen_navel_cm",
    "hip_cm",
    "thigh_upper_girth_cm",
    "thigh_mid_girth_cm",
    "knee_girth_cm",
    "calf_girth_cm",
    "ankle_girth_cm",
    "arm_relaxed_girth_cm",
    "arm_flexed_girth_cm",
    "forearm_girth_cm",
    "wrist_girth_cm",
]
RESULT_NAMES = (
    "schema_version scale fat_percent fat_mass_kg lean_mass_kg local_correction as_printed verdict "
    "misfit families equations correlation budget findings bands standards_apart flags health_remarks "
    "careful_words answered_none not_asked cautions"
)
RESULT_KEYS = RESULT_NAMES.split()
INNER_KEYS = {
    "fat_percent": ["estimate", "se", "likely", "wide"],
    "fat_mass_kg": ["estimate", "se", "likely", "wide"],
    "lean_mass_kg": ["estimate", "se", "likely", "wide"],
    "misfit": ["q", "dof", "p", "inflation"],
    "correlation": ["order", "matrix"],
}
ITEM_KEYS = {
    "families": ["family", "estimate", "se", "weight", "equations"],
    "equations": [
        *("key", "family", "as_printed", "moved", "levelled", "for_background", "estimate"),
        *("se", "scale", "used", "left_out_because", "source"),
    ],
    "findings": ["code", "points", "text"],
    "bands": [
        *("standard", "name", "measure", "scale", "value", "se", "probabilities", "is_coin_toss"),
        *("text", "remarks", "source", "status"),
    ],
}
VISIT: dict[str, Any] = {
    "client": {"code": "K-014", "sex": "female", "age_years": 41},
    "visit": {"tester": "T-02"},
    "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
    "skinfolds_mm": {"triceps": [21.0, 21.5], "suprailiac_anterior": [18.0, 21.0, 18.5]},
    "girths_cm": {"waist_midpoint": [82.4, 82.9], "neck": 33.1},
}


def sources() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    """Dotted name below the package: ``catalogue.card``, ``catalogue``, or "" for the package."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in sources()}


def floor_of(module: str) -> int:
    """The floor of a module, by the first part of its name; above all others if it has none."""
    room = module.split(".")[0]
    return next((floor for floor, rooms in enumerate(FLOORS) if room in rooms), len(FLOORS))


@cache
def syntax_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imports_of(path: Path) -> Iterator[str]:
    """Absolute names of everything imported anywhere in a file, also inside functions."""
    for node in ast.walk(syntax_of(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: imports are absolute here"
            for alias in node.names:
                assert alias.name != "*", f"{path.name}: no star imports"
                yield f"{node.module}.{alias.name}"


def own_modules(path: Path) -> set[str]:
    """Modules of the package that a file imports, the longest part of each name that is one."""
    found = set()
    for name in imports_of(path):
        parts = name.split(".")
        if parts[0] != "foldspan":
            continue
        below = [".".join(parts[1:stop]) for stop in range(len(parts), 0, -1)]
        found.add(next(module for module in below if module in MODULES))
    return found


def test_every_module_has_its_floor() -> None:
    rooms = {module.split(".")[0] for module in MODULES}
    assert rooms == frozenset().union(*FLOORS)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module or "foldspan")
def test_a_room_uses_no_room_above_it(module: str) -> None:
    above = {other for other in own_modules(MODULES[module]) if floor_of(other) > floor_of(module)}
    assert above == set()


def test_no_two_modules_need_each_other() -> None:
    """Cycles on one floor hide what comes first; peel off what needs nothing until nothing is left."""
    needs = {module: own_modules(path) - {module} for module, path in MODULES.items()}
    # the package's own __init__ only names things for whoever reads types; nobody waits for it
    needs = {module: needed - {""} for module, needed in needs.items() if module}
    while free := {module for module, needed in needs.items() if not needed}:
        needs = {module: needed - free for module, needed in needs.items() if module not in free}
    assert needs == {}


@pytest.mark.parametrize(
    "module", [name for name in MODULES if floor_of(name) <= 3], ids=lambda name: name
)
def test_kernel_imports_numpy_and_little_else(module: str) -> None:
    for name in imports_of(MODULES[module]):
        top = name.split(".")[0]
        if top == "foldspan" or top in sys.stdlib_module_names:
            continue
        allowed = any(name == one or name.startswith(f"{one}.") for one in KERNEL_LIBRARIES)
        assert allowed, name


def test_every_library_used_is_declared() -> None:
    """A bare install must bring what any module imports."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {
        text.split(">")[0].split("=")[0].replace("-", "_") for text in project["dependencies"]
    }
    # what only a cluster needs comes with ``foldspan[cluster]``, and is told where it is missing
    cluster = {text.split(">")[0] for text in project["optional-dependencies"]["cluster"]}
    used = {
        name.split(".")[0]
        for path in sources()
        for name in imports_of(path)
        if not (path.stem == "screen_cluster" and name.split(".")[0] in cluster)
    }
    assert used - {"foldspan", *sys.stdlib_module_names} <= declared


def files_of_the_house() -> list[Path]:
    return [*sources(), *sorted(TESTS.rglob("*.py"))]


def test_no_file_is_long() -> None:
    lengths = {
        str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines())
        for path in files_of_the_house()
    }
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def length_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from ``def`` to the end, without the docstring: saying more must not cost room."""
    assert function.end_lineno is not None
    lines = function.end_lineno - function.lineno + 1
    if ast.get_docstring(function) is not None:
        told = function.body[0]
        assert told.end_lineno is not None
        lines -= told.end_lineno - told.lineno + 1
    return lines


def test_no_function_is_long() -> None:
    long = {}
    for path in files_of_the_house():
        for node in ast.walk(syntax_of(path)):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                lines = length_of(node)
                if lines > LONGEST_FUNCTION:
                    long[f"{path.relative_to(ROOT)}:{node.name}"] = lines
    assert long == {}


def test_file_names_say_what_is_inside() -> None:
    for path in files_of_the_house():
        words = set(path.relative_to(ROOT).with_suffix("").parts)
        words |= {part for word in words for part in word.split("_")}
        assert not words & VAGUE, path


def loaded_by(code: str) -> set[str]:
    """Slow libraries that a fresh interpreter has loaded after running ``code``."""
    report = f"import sys\n{code}\nprint(*(name for name in {SLOW!r} if name in sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", report], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.splitlines()[-1].split())


def command(*words: str) -> str:
    return (
        f"from foldspan.cli import main\nsys.argv = {['foldspan', *words]!r}\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code"
    )


@pytest.mark.parametrize(
    "code",
    [
        "import foldspan",
        "import foldspan\nfoldspan.equations()",
        command("--help"),
        command("--version"),
        command("reconcile", "--help"),
    ],
    ids=["import", "equations", "help", "version", "reconcile-help"],
)
def test_start_is_light(code: str) -> None:
    assert loaded_by(code) == set()


def test_the_check_of_a_light_start_can_fail() -> None:
    assert loaded_by("import foldspan.tables") >= {"pandas"}


def test_public_names_are_there() -> None:
    assert {"Visit", "Result", "reconcile", "reconcile_table", "equations"} <= set(foldspan.__all__)
    assert set(dir(foldspan)) >= set(foldspan.__all__)
    for name in foldspan.__all__:
        assert getattr(foldspan, name) is not None
    with pytest.raises(AttributeError, match="nonsense"):
        _ = foldspan.nonsense
    assert callable(foldspan.Visit.from_file)
    assert "scale" in inspect.signature(foldspan.reconcile_table).parameters


def test_public_functions_take_the_words_of_the_contract() -> None:
    """One word a concept: none of the synonyms that a user would have to guess."""
    synonyms = {"gender", "circumference", "perimeter", "patient", "customer", "subject", "bodyfat"}
    for path in sources():
        for node in ast.walk(syntax_of(path)):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                every = [*node.args.args, *node.args.kwonlyargs, *node.args.posonlyargs]
                words = {part for one in every for part in one.arg.split("_")}
                assert not words & synonyms, f"{path.name}:{node.name}"


def test_quantities_of_the_contract_are_known() -> None:
    assert set(QUANTITIES) <= set(BY_NAME)
    assert all(BY_NAME[name].unit in ("years", "kg", "mm", "cm") for name in BY_NAME)
    assert set(REFERENCE) == {"reference_fat_percent", "reference_scale"}


def test_words_of_the_contract() -> None:
    assert FAMILIES == ("skinfold", "girth", "mass_height", "waist_height")
    assert set(SCALES) == {"density", "dxa"}
    import numpy as np

    said = verdicts(np.array([0.0, 3.0, 30.0, 0.0]), np.array([1, 1, 1, 0]))
    assert said.tolist() == ["agree", "strained", "disagree", "single"]


def tree_of(visit: dict[str, Any]) -> dict[str, Any]:
    """The result as another program would read it: through JSON text."""
    result = foldspan.reconcile(foldspan.Visit.from_dict(visit))
    text = json.dumps(result.to_dict(), allow_nan=False)
    return dict(json.loads(text))


def test_json_has_exactly_the_keys_of_the_contract() -> None:
    tree = tree_of(VISIT)
    assert list(tree) == RESULT_KEYS
    assert tree["schema_version"] == 1
    for name, keys in INNER_KEYS.items():
        assert list(tree[name]) == keys, name
    for name, keys in ITEM_KEYS.items():
        assert tree[name]
        assert all(list(item) == keys for item in tree[name]), name
    assert set(tree["budget"]) >= set(BLOCKS)
    order, matrix = tree["correlation"]["order"], tree["correlation"]["matrix"]
    assert order == [one["family"] for one in tree["families"]]
    assert [len(row) for row in matrix] == [len(order)] * len(order)


@pytest.mark.parametrize("client", [{"age_years": 12}, {"pregnant": True}])
def test_json_without_a_range_has_the_same_keys_with_nulls(client: dict[str, Any]) -> None:
    tree = tree_of(VISIT | {"client": VISIT["client"] | client})
    assert list(tree) == [*RESULT_KEYS, "problems"]
    for name in ("fat_percent", "fat_mass_kg", "lean_mass_kg", "misfit"):
        assert list(tree[name]) == INNER_KEYS[name]
        assert set(tree[name].values()) == {None}
    assert tree["verdict"] is None
    assert tree["problems"]


def test_a_result_is_frozen() -> None:
    result = foldspan.reconcile(foldspan.Visit.from_dict(VISIT))
    with pytest.raises(dataclasses.FrozenInstanceError):
        result.verdict = "agree"  # type: ignore[misc]


def test_unknown_measurements_are_named_by_the_table() -> None:

    names = ["sex", "age_years", *QUANTITIES, *REFERENCE, "tricep_mm"]
    assert unused_names(names) == ["tricep_mm"]
