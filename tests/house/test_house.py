"""The house keeps its order: sizes, what is loaded when, and the names users rely on."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from house_rooms import ORDER, PACKAGE, ROOT, House, imports_of, room_of, syntax_of

import foldspan
import long_files
from foldspan.catalogue.card import FAMILIES, REFERENCE_METHODS
from foldspan.estimation.error_model import BLOCKS
from foldspan.estimation.families.combine import verdicts
from foldspan.extras import LIBRARIES
from foldspan.quantities import BY_NAME
from foldspan.tables.columns import REFERENCE, unused_names

TESTS = ROOT / "tests"
LONGEST_FUNCTION = 50
MODULES = House(PACKAGE).modules
# rooms that compute: numpy, and of scipy only what loads fast
KERNEL = {*ORDER[: ORDER.index("visit")], "results", "session"}
KERNEL_LIBRARIES = {"numpy", "scipy.special", "scipy.linalg"}
TABLES = ("pandas", "pyarrow")
SLOW = (*TABLES, "matplotlib", "scipy.stats")
# what takes long to load and no visit needs
NO_VISIT_NEEDS = (*TABLES, "scipy", "numpy.random")
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
    "schema_version reference_method fat_percent fat_mass_kg fat_free_mass_kg local_correction "
    "as_printed verdict misfit methods equations correlation budget findings bands "
    "standards_apart flags health_remarks careful_words answered_none not_asked cautions"
)
RESULT_KEYS = RESULT_NAMES.split()
INNER_KEYS = {
    "fat_percent": ["estimate", "se", "range_80", "range_95"],
    "fat_mass_kg": ["estimate", "se", "range_80", "range_95"],
    "fat_free_mass_kg": ["estimate", "se", "range_80", "range_95"],
    "misfit": ["q", "dof", "p", "inflation"],
    "correlation": ["order", "matrix"],
}
ITEM_KEYS = {
    "methods": ["method", "estimate", "se", "weight", "equations"],
    "equations": [
        *("key", "method", "as_printed", "moved", "levelled", "for_background", "estimate"),
        *("se", "reference_method", "used", "left_out_because", "source"),
    ],
    "findings": ["code", "points", "text"],
    "bands": [
        *(
            "standard",
            "name",
            "measure",
            "reference_method",
            "value",
            "se",
            "probabilities",
            "is_about_even",
        ),
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


@pytest.mark.parametrize(
    "module", [name for name in MODULES if name and room_of(name) in KERNEL], ids=lambda name: name
)
def test_kernel_imports_numpy_and_little_else(module: str) -> None:
    for name in imports_of(MODULES[module]):
        top = name.split(".")[0]
        if top == "foldspan" or top in sys.stdlib_module_names:
            continue
        allowed = any(
            name == library or name.startswith(f"{library}.") for library in KERNEL_LIBRARIES
        )
        assert allowed, name


def test_every_library_used_is_declared() -> None:
    """A library comes with every install, or with an extra that is asked for before it is imported."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    def declared(texts: list[str]) -> set[str]:
        names = {re.split("[>=[]", text)[0].replace("-", "_") for text in texts}
        return {"multipart" if name == "python_multipart" else name for name in names} - {
            "foldspan"
        }

    optional = project["optional-dependencies"]
    for extra, libraries in LIBRARIES.items():
        inner = [name for text in optional[extra] for name in re.findall(r"foldspan\[(.*)\]", text)]
        with_inner = [*optional[extra], *(library for name in inner for part in name.split(",")
                                          for library in optional[part])]  # fmt: skip
        assert declared(with_inner) == set(libraries), extra
    used = {name.split(".")[0] for path in PACKAGE.rglob("*.py") for name in imports_of(path)}
    known = declared(project["dependencies"]) | {
        name for some in LIBRARIES.values() for name in some
    }
    assert used - {"foldspan", *sys.stdlib_module_names} <= known


def files_of_the_house() -> list[Path]:
    return sorted([*PACKAGE.rglob("*.py"), *TESTS.rglob("*.py")])


def length_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from ``def`` to the end, without the docstring: saying more must not cost room."""
    assert function.end_lineno is not None
    lines = function.end_lineno - function.lineno + 1
    if ast.get_docstring(function) is not None:
        docstring = function.body[0]
        assert docstring.end_lineno is not None
        lines -= docstring.end_lineno - docstring.lineno + 1
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


def test_files_that_are_begun_first_are_there() -> None:
    assert [name for name in long_files.FIRST if not (long_files.TESTS / name).is_file()] == []
    assert len(set(long_files.FIRST)) == len(long_files.FIRST)


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
    assert loaded_by("import foldspan.tables.pandas_input") >= {"pandas"}


READERS = ("explain", "client", "trainer", "clinician")


@pytest.fixture(scope="module")
def loaded_for(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[str]]:
    """Slow libraries that are loaded when a page is made; one fresh interpreter makes all of them.

    Whatever one loads is still loaded at the next.
    """
    visit, folder = str(ROOT / "examples" / "visit.toml"), tmp_path_factory.mktemp("pages")
    code = [f"import sys\nSLOW = {NO_VISIT_NEEDS!r}"]
    for reader in READERS:
        page = ("report", visit, "--for", reader, "--out", str(folder / f"{reader}.html"))
        code.append(command(*(("explain", visit) if reader == "explain" else page)))
        loaded = "'\\nloaded', *(name for name in SLOW if name in sys.modules)"
        code.append(f"print({loaded})")
    words = [sys.executable, "-c", "\n".join(code)]
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60)
    lines = [line.split() for line in done.stdout.splitlines() if line.startswith("loaded")]
    assert all((folder / f"{reader}.html").exists() for reader in READERS[1:])
    return {reader: set(line[1:]) for reader, line in zip(READERS, lines, strict=True)}


@pytest.mark.parametrize("reader", READERS)
def test_one_visit_loads_little(loaded_for: dict[str, set[str]], reader: str) -> None:
    """A page or an explanation of one visit reads no table."""
    assert loaded_for[reader] == set()


def test_public_names_are_there() -> None:
    assert {"Visit", "Result", "reconcile", "reconcile_table", "equations"} <= set(foldspan.__all__)
    assert set(dir(foldspan)) >= set(foldspan.__all__)
    for name in foldspan.__all__:
        assert getattr(foldspan, name) is not None
    with pytest.raises(AttributeError, match="nonsense"):
        _ = foldspan.nonsense
    assert callable(foldspan.Visit.from_file)
    assert "reference_method" in inspect.signature(foldspan.reconcile_table).parameters


def test_public_functions_take_the_words_of_the_contract() -> None:
    """One word a concept: none of the synonyms that a user would have to guess."""
    synonyms = {"gender", "circumference", "perimeter", "patient", "customer", "subject", "bodyfat"}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(syntax_of(path)):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                every = [*node.args.args, *node.args.kwonlyargs, *node.args.posonlyargs]
                words = {part for argument in every for part in argument.arg.split("_")}
                assert not words & synonyms, f"{path.name}:{node.name}"


def test_quantities_of_the_contract_are_known() -> None:
    assert set(QUANTITIES) <= set(BY_NAME)
    assert all(BY_NAME[name].unit in ("years", "kg", "mm", "cm") for name in BY_NAME)
    assert set(REFERENCE) == {"reference_fat_percent", "reference_method"}


def test_words_of_the_contract() -> None:
    assert FAMILIES == ("skinfold", "girth", "mass_height", "waist_height")
    assert set(REFERENCE_METHODS) == {"density", "dxa"}
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
    assert tree["schema_version"] == 2
    for name, keys in INNER_KEYS.items():
        assert list(tree[name]) == keys, name
    for name, keys in ITEM_KEYS.items():
        assert tree[name]
        assert all(list(item) == keys for item in tree[name]), name
    assert set(tree["budget"]) >= set(BLOCKS)
    order, matrix = tree["correlation"]["order"], tree["correlation"]["matrix"]
    assert order == [method["method"] for method in tree["methods"]]
    assert [len(row) for row in matrix] == [len(order)] * len(order)


@pytest.mark.parametrize("client", [{"age_years": 12}, {"pregnant": True}])
def test_json_without_a_range_has_the_same_keys_with_nulls(client: dict[str, Any]) -> None:
    tree = tree_of(VISIT | {"client": VISIT["client"] | client})
    assert list(tree) == [*RESULT_KEYS, "problems"]
    for name in ("fat_percent", "fat_mass_kg", "fat_free_mass_kg", "misfit"):
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
