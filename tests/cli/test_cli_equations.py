"""``foldspan equations``, and what the program does when it fails itself."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from foldspan.api import reconcile
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import FAMILIES, Conversion, Equation
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.cli import main
from foldspan.cli.printed import equations
from foldspan.quantities import SEXES

EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = str(EXAMPLES / "visit.toml")
WIDTH = 80
SEVEN_SITES = "jackson_pollock1978_male_7site"

Answer = tuple[int, str, str]
Run = Callable[..., Answer]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command line in this process; returns exit code, stdout and stderr."""
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "1")
    monkeypatch.delenv("FOLDSPAN_DEBUG", raising=False)

    def call(*words: str) -> Answer:
        monkeypatch.setattr(sys, "argv", ["foldspan", *words])
        with pytest.raises(SystemExit) as caught:
            main()
        shown = capsys.readouterr()
        assert "Traceback" not in shown.out + shown.err
        return int(caught.value.code or 0), shown.out, shown.err

    return call


def listed(run: Run, *words: str) -> list[dict[str, Any]]:
    code, out, err = run("equations", "--json", *words)
    assert (code, err) == (0, "")
    trees = json.loads(out)
    assert isinstance(trees, list)
    return trees


def keys(trees: list[dict[str, Any]]) -> list[str]:
    return [tree["key"] for tree in trees]


def test_the_whole_catalogue_in_its_order(run: Run) -> None:
    assert keys(listed(run)) == [card.key for card in EQUATIONS]
    code, out, err = run("equations")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert [line.split()[0] for line in lines[1 : 1 + len(EQUATIONS)]] == keys(listed(run))
    assert f"{len(EQUATIONS)} equations." in out


@pytest.mark.parametrize("words", [(), ("--conversions",), ("--method", "girth", "--sex", "male")])
def test_the_list_fits_80_columns(run: Run, words: tuple[str, ...]) -> None:
    assert not [line for line in run("equations", *words)[1].splitlines() if len(line) > WIDTH]


@pytest.mark.parametrize("card", [*EQUATIONS, *CONVERSIONS], ids=lambda card: card.key)
def test_every_card_in_full_fits_80_columns_and_names_its_source(
    card: Equation | Conversion,
) -> None:
    text = equations.full(card)
    assert not [line for line in text.splitlines() if len(line) > WIDTH]
    for row in ("key ", "source ", "coefficients ", "formula "):
        assert any(line.startswith(row) for line in text.splitlines())


def test_filters_split_the_catalogue(run: Run) -> None:
    families = [set(keys(listed(run, "--method", family))) for family in FAMILIES]
    assert all(families)
    assert sum(map(len, families)) == len(set().union(*families)) == len(EQUATIONS)
    women, men = (set(keys(listed(run, "--sex", sex))) for sex in SEXES)
    assert women | men == {card.key for card in EQUATIONS}
    both = {tree["key"] for tree in listed(run) if tree["sex"] == "both"}
    assert women & men == both
    assert set(keys(listed(run, "--method", "girth", "--sex", "female"))) == families[1] & women


def test_for_a_visit_lists_what_it_has_everything_for(run: Run) -> None:
    """Held against the other command: a listed card lacks nothing there and is for that sex."""
    served = set(keys(listed(run, "--for", VISIT)))
    code, out, _ = run("reconcile", VISIT, "--json")
    assert code == 0
    answers = {equation["key"]: equation for equation in json.loads(out)["equations"]}
    lacking = {"missing_input", "wrong_sex"}
    refused = {key for key in served if lacking & set(answers[key]["left_out_because"])}
    assert not refused
    missing = {key for key, answer in answers.items() if lacking & set(answer["left_out_because"])}
    assert not served & missing
    assert len(served) > 30


def test_one_card_in_full(run: Run) -> None:
    code, out, err = run("equations", SEVEN_SITES)
    assert (code, err) == (0, "")
    # printed in Jackson and Pollock 1978 for the sum of seven: 1.112, 0.00043499, 0.00000055,
    # 0.00028826; Br J Nutr 40:497-504
    for digits in ("1.112", "0.00043499", "5.5e-07", "0.00028826", "497-504"):
        assert digits in out
    code, out, err = run("equations", SEVEN_SITES, "--json")
    tree = json.loads(out)
    assert (code, err, tree["key"]) == (0, "", SEVEN_SITES)
    assert set(tree["needs"]) == {
        "age_years",
        *(f"{fold}_mm" for fold in ("chest", "midaxillary", "triceps", "subscapular", "abdominal")),
        "suprailiac_anterior_mm",
        "thigh_mm",
    }


def test_conversions(run: Run) -> None:
    assert keys(listed(run, "--conversions")) == [card.key for card in CONVERSIONS]
    code, out, _ = run("equations", "siri1961")
    assert code == 0
    # Siri 1961: percent fat = 100 (4.95 / density - 4.50)
    assert "100 (4.95 / density - 4.5)" in out


@pytest.mark.parametrize(
    ("key", "offer"),
    [("jackson_pollock1978_male_7sites", SEVEN_SITES), ("siri", "siri1961"), ("zzz", "equations")],
)
def test_a_key_not_known_offers_the_nearest(run: Run, key: str, offer: str) -> None:
    code, out, err = run("equations", key)
    assert (code, out) == (2, "")
    assert "[E501]" in err
    assert offer in err


@pytest.mark.parametrize("words", [("--method", "feet"), ("--sex", "woman"), ("--for", "no.toml")])
def test_filters_not_known_end_in_two(run: Run, words: tuple[str, str]) -> None:
    code, out, _ = run("equations", *words)
    assert (code, out) == (2, "")


@pytest.mark.parametrize("as_json", [(), ("--json",)])
def test_a_conversion_not_known_ends_in_two(run: Run, as_json: tuple[str, ...]) -> None:
    code, out, err = run("reconcile", VISIT, "--conversion", "siri1691", *as_json)
    assert code == 2
    assert "[E501]" in err
    assert (
        [problem["code"] for problem in json.loads(out)["problems"]] == ["E501"]
        if as_json
        else not out
    )


def test_a_fault_of_the_program_shows_no_client_data(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("weight_kg 71.3625")

    monkeypatch.setattr(reconcile, "reconcile", fail)
    code, out, err = run("reconcile", VISIT)
    assert (code, out) == (1, "")
    assert "RuntimeError" in err
    assert "71.36" not in err
    monkeypatch.setenv("FOLDSPAN_DEBUG", "1")
    with pytest.raises(RuntimeError, match="weight_kg"):
        main()
