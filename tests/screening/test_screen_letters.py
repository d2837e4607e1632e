"""Letters of a screened table: everybody who is referred gets one, but not for a weight in pounds."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pypdf
import pytest
from typer.testing import CliRunner

import foldspan
from foldspan.cli import app
from foldspan.screening.summary import Screening

POUND = 0.45359237  # kg, exact (international agreement 1959)
# body mass indices of usual people [kg/m²], invented
USUAL = (19.6, 22.4, 23.1, 24.8, 25.5, 26.7, 27.9, 29.3, 31.2, 33.5)


def screened(
    folder: Path, head: str, lines: list[str], **options: Any
) -> tuple[Screening, list[str]]:
    table, letters = folder / "in.csv", folder / "letters"
    table.write_text("\n".join([head, *lines, ""]))
    done = foldspan.screen_table(
        str(table), str(folder / "out.csv"), letters=str(letters), replace=True, **options
    )
    return done, sorted(path.name for path in letters.iterdir())


def text_of(path: Path) -> str:
    pages = pypdf.PdfReader(path).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.mark.parametrize(
    ("line", "said", "soon"),
    [
        ("U-1,,41,71,168,chest pain,", "chest pain or tightness", "immediately"),
        ("U-2,female,41,71,168,,185", "185 mmHg", "the same day (urgent)"),
        ("U-3,divers,41,42,170,,", "BMI below 16", "the same day (urgent)"),
        ("U-4,female,,,,chest pain,", "chest pain or tightness", "immediately"),
        ("U-5,female,41,44,170,,185", "185 mmHg", "the same day (urgent)"),
        ("U-6,female,41,71,168,chest pain; hiccups,", "chest pain", "immediately"),
    ],
)
def test_everybody_urgent_gets_a_letter(tmp_path: Path, line: str, said: str, soon: str) -> None:
    head = "code,sex,age_years,weight_kg,height_cm,symptoms,blood_pressure_upper_mmhg"
    _, names = screened(tmp_path, head, [line])
    assert names == [f"row000001_{line[:3]}.pdf"]
    text = text_of(tmp_path / "letters" / names[0])
    assert said.lower() in text.lower()
    assert "gives no body-fat range" in text
    assert line[:3] in text
    assert f"Please review the client {soon}." in text
    # before: a letter without a range began with "We estimated this client's body fat"
    assert "We screened this client but give no body-fat range." in text
    assert "We estimated" not in text


def pounds(count: int, of: int = 20) -> list[str]:
    """Rows of which the first so many have their weight in pounds."""
    found = []
    for place in range(of):
        kilograms = USUAL[place % len(USUAL)] * 1.7**2
        weight = kilograms / POUND if place < count else kilograms
        found.append(f"P-{place:02},female,41,{weight:.1f},170,")
    return found


HEAD = "code,sex,age_years,weight_kg,height_cm,symptoms"


def test_pounds_for_everybody_are_said_first_and_no_letter_is_written(tmp_path: Path) -> None:
    done, names = screened(tmp_path, HEAD, pounds(20))
    assert names == []
    (first,) = done.look_first
    assert "--unit weight_kg=lb" in first
    assert "--accept-unusual" in done.held_back
    assert done.to_dict()["look_first"] == [first]
    in_pounds, written = screened(tmp_path, HEAD, pounds(20), units={"weight_kg": "lb"})
    assert (in_pounds.look_first, in_pounds.held_back, in_pounds.referred) == ((), "", 0)
    assert written == []


def test_the_summary_begins_with_the_unit(tmp_path: Path) -> None:
    (tmp_path / "in.csv").write_text("\n".join([HEAD, *pounds(20), ""]))
    command = ["screen", str(tmp_path / "in.csv"), "-o", str(tmp_path / "out.csv"), "--quiet"]
    shown = CliRunner().invoke(app, [*command, "--letters", str(tmp_path / "letters")])
    assert shown.stdout.startswith("Check this first\n  - weight_kg: ")
    assert not list((tmp_path / "letters").iterdir())
    again = CliRunner().invoke(
        app, [*command, "--force", "--accept-unusual", "--letters", str(tmp_path / "letters")]
    )
    assert again.exit_code == 0
    assert len(list((tmp_path / "letters").iterdir())) > 15


def test_kilograms_for_everybody_in_a_column_of_pounds(tmp_path: Path) -> None:
    lines = [f"K-{n},female,41,{bmi * 1.7**2:.1f},170," for n, bmi in enumerate(USUAL * 2)]
    done, names = screened(tmp_path, HEAD.replace("weight_kg", "weight_lb"), lines)
    assert any("--unit weight_lb=kg" in hint for hint in done.look_first)
    assert names == []


def test_a_few_in_pounds_wait_and_the_others_do_not(tmp_path: Path) -> None:
    large = "L-1,female,41,152,170,"  # 52.6: could be pounds, and is held back with them
    in_pounds = f"T-1,female,41,{25 * 1.7**2 / POUND:.1f},170,chest pain"
    done, names = screened(
        tmp_path, HEAD, [*pounds(3), in_pounds, large, "C-1,female,41,70,170,fainting"]
    )
    assert done.look_first == ()
    assert names == ["row000021_T-1.pdf", "row000023_C-1.pdf"]
    assert done.held_back.startswith("Letters for 4 rows were held back")
    _, every = screened(tmp_path, HEAD, [*pounds(3), in_pounds, large], accept_unusual=True)
    assert len(every) == 6  # of the run before and of this one


def test_many_large_bodies_with_a_waist_that_speaks_for_them_are_no_pounds(tmp_path: Path) -> None:
    head = HEAD.replace("symptoms", "waist_midpoint_cm")
    lines = [f"O-{n},female,45,{bmi * 1.65**2:.1f},165,{60 + 1.4 * bmi:.0f}"
             for n, bmi in enumerate([41, 42, 44, 45, 47, 48] * 2)]  # fmt: skip
    done, names = screened(tmp_path, head, lines)
    assert done.look_first == ()
    assert len(names) == 12


@pytest.mark.parametrize("word", ["lb", "pounds"])
def test_a_cell_with_its_own_unit_is_not_told_of_another(tmp_path: Path, word: str) -> None:
    """28.3 kg would be a usual weight in stone, but the cell says pounds."""
    lines = [f"W-{n},female,41,{62.3 + n / 10:.1f} {word},{165 + n},," for n in range(20)]
    done, names = screened(tmp_path, HEAD + ",neck_cm", lines)
    assert done.look_first == ()
    assert not [note for note in done.quality if "looks like" in note]
    assert "stone" not in (tmp_path / "out.csv").read_text()
    assert len(names) == done.referred > 10


def test_kilograms_in_the_cells_of_a_column_of_pounds_hold_no_letter_back(tmp_path: Path) -> None:
    lines = [f"K-{n},female,41,{40 + n / 10:.1f} kg,170," for n in range(12)]
    done, names = screened(tmp_path, HEAD.replace("weight_kg", "weight_lb"), lines)
    assert (done.look_first, done.held_back, len(names)) == ((), "", 12)


def test_each_row_counts_once_in_the_share_of_a_unit(tmp_path: Path) -> None:
    """Two readings each, one outside what is usual and one outside what is possible, both in stone."""
    head = HEAD.replace("weight_kg", "weight_kg_1,weight_kg_2")
    lines = [f"S-{n},female,41,24.8,25.2,170," for n in range(20)]
    done, _ = screened(tmp_path, head, lines)
    (first,) = done.look_first
    assert "100% of its rows" in first
    # bodies of which weight and height cannot both be right have a weight all the same
    lines = [f"T-{n},female,41,25.6,{'178' if n % 2 else '160'}," for n in range(20)]
    (first,) = screened(tmp_path, HEAD, lines)[0].look_first
    assert "100% of its rows" in first


# --- words of the caller -----------------------------------------------------------------------------


def test_a_map_file_says_what_words_mean(tmp_path: Path) -> None:
    """Columns, units and words in one file, through the command."""
    (tmp_path / "in.csv").write_text(
        "Geschlecht;Alter;Gewicht;Groesse;Vorerkrankungen\n2;41;71,3;1,68;Hexenschuss\n"
        "1;37;80,5;1,81;kA\n9;37;80,5;1,81;\n"
    )
    (tmp_path / "names.toml").write_text(
        '[columns]\nGeschlecht = "sex"\nAlter = "age_years"\nGewicht = "weight_kg"\n'
        'Groesse = "height_m"\nVorerkrankungen = "conditions"\n'
        '[words]\n2 = "female"\nHexenschuss = "none"\n[words.sex]\n1 = "male"\n'
        '[words.conditions]\nkA = "none"\n'
    )
    command = ["screen", str(tmp_path / "in.csv"), "-o", str(tmp_path / "out.csv"), "--json"]
    shown = CliRunner().invoke(app, [*command, "--map-file", str(tmp_path / "names.toml")])
    assert shown.exit_code == 3, shown.output
    rows = (tmp_path / "out.csv").read_text().splitlines()[1:]
    assert [("E113" in row) for row in rows] == [False, False, True]


@pytest.mark.parametrize(
    "words",
    [{"weiblich": "femal"}, {"sex": {"2": "woman"}}, {"shoe_size": {"2": "female"}}, {"2": 7}],
)
def test_a_word_that_no_column_knows_is_told(words: dict[str, Any]) -> None:
    import pandas as pd

    frame = pd.DataFrame([{"sex": "f", "age_years": 41, "weight_kg": 71, "height_cm": 168}])
    with pytest.raises(foldspan.FoldspanError, match=r"\[E(501|121)\]"):
        foldspan.reconcile_table(frame, words=words)


def test_words_mean_what_the_caller_says_only_where_that_word_is_known() -> None:
    """2 = female says nothing of a 2 in the column about a pregnancy, which stays unread."""
    import pandas as pd

    body = {"age_years": 41, "weight_kg": 71, "height_cm": 168}
    frame = pd.DataFrame([body | {"sex": 2, "pregnant": 0}, body | {"sex": 2, "pregnant": 2}])
    answer = foldspan.reconcile_table(frame, words={"2": "female"})
    assert answer["problems"].tolist() == ["", "E113 pregnant"]
    answer = foldspan.reconcile_table(frame, words={"2": "female", "pregnant": {"2": "no"}})
    assert answer["problems"].tolist() == ["", ""]


@pytest.mark.parametrize(
    ("sex", "cells", "said", "unsaid"),
    [
        (
            "",
            "chest pain,,",
            ["Self-reported: chest pain or tightness."],
            ["collapse", "breathless"],
        ),
        (
            "divers",
            "swelling,152,",
            ["systolic: 152 mmHg", "swelling of both legs"],
            ["missing from limbs"],
        ),
        (
            "",
            "falls; weak,,",
            ["Self-reported: weaker than before; a fall in the last year."],
            ["slow"],
        ),
        ("", "eating_little,,8", ["BMI 18.0"], ["eating disorder"]),
    ],
)
def test_a_letter_of_a_row_says_what_was_told_and_not_the_list_of_its_rule(
    tmp_path: Path, sex: str, cells: str, said: list[str], unsaid: list[str]
) -> None:
    head = "code,sex,age_years,weight_kg,height_cm,symptoms,blood_pressure_upper_mmhg,grip_kg"
    _, names = screened(tmp_path, head, [f"U-1,{sex},71,52,170,{cells}"])
    text = text_of(tmp_path / "letters" / names[0])
    for words in said:
        assert words.lower() in text.lower()
    for words in unsaid:
        assert words not in text


@pytest.mark.parametrize(
    ("line", "why", "doubts"),
    [
        ("R-1,,chest pain,dialysis,",
         ["Oedema, fluid in the abdomen or dialysis changes weight"], ["Sex: missing"]),
        ("R-2,both,chest pain,limb loss,",
         ["Both sets of equations chosen.", "With all or part of a limb missing, weight"], []),
        ("R-3,,chest pain,,martian", [], ["Sex: missing"]),
    ],
)  # fmt: skip
def test_why_there_is_no_range_is_no_doubt_about_the_measurements(
    tmp_path: Path, line: str, why: list[str], doubts: list[str]
) -> None:
    """What was told for certain, dialysis among it, stands under its own heading. Before: "In doubt"."""
    head = "code,sex,symptoms,conditions,family_background,age_years,weight_kg,height_cm"
    _, (name,) = screened(tmp_path, head, [f"{line},41,71,168"])
    text = text_of(tmp_path / "letters" / name)
    _, heading, rest = text.partition("No range for this visit")
    assert bool(heading) is bool(why)
    reasons, in_doubt, rest_of_letter = (rest or text).partition("Values in doubt")
    assert all(reason in reasons for reason in why)
    assert bool(in_doubt) is bool(doubts)
    rest_of_letter = rest_of_letter.partition("Not known")[0]
    assert [part.strip() for part in rest_of_letter.split("•")[1:]] == doubts


@pytest.mark.parametrize("more", ["", "swelling"])
def test_a_letter_is_as_urgent_as_a_weight_that_is_not_used(tmp_path: Path, more: str) -> None:
    """24 kg at 165 cm: before, swelling beside it made the letter say two weeks, without the weight."""
    head = "code,sex,age_years,weight_kg,height_cm,symptoms"
    _, (name,) = screened(tmp_path, head, [f"L-1,male,40,24,165,{more}"])
    text = text_of(tmp_path / "letters" / name)
    assert "BMI 8.8 if weight and height are correct" in text
    assert "Please review the client the same day (urgent)." in text
