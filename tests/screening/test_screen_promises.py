"""What docs/screening.md promises of a screened table beside its cells, held from both sides.

Limits of the summary are ours; equations, bands and spans have their sources where they stand.
"""

from __future__ import annotations

import io
import os
import re
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pypdf
import pytest

import foldspan
from foldspan.catalogue import EQUATIONS
from foldspan.estimation.applicability import ANCESTRY_INDICATORS, reads_ancestry
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.pipeline import reconcile_people
from foldspan.quantities import BY_NAME
from foldspan.reference.population import indicators
from foldspan.screening.run import partitioned
from foldspan.screening.run.processes import in_order
from foldspan.screening.summary import Screening
from screen_desk import Run, read_back
from screen_people import TABLE

Rows = list[dict[str, str]]
SIZE = "sex,age_years,weight_kg,height_cm"


def screened(folder: Path, head: str, lines: list[str], **options: Any) -> tuple[Screening, Rows]:
    """Screen a table written out here; return the summary and the rows."""
    table, out = folder / "table.csv", folder / "out.csv"
    table.write_text("\n".join([head, *lines]) + "\n")
    summary = foldspan.screen_table(str(table), str(out), replace=True, **options)
    return summary, read_back(out.read_bytes())


# --- parts ---------------------------------------------------------------------------------------


@pytest.fixture
def parts(tmp_path: Path) -> Path:
    """Three parts, written so that a changed number leaves the size as it was."""
    folder = tmp_path / "parts"
    folder.mkdir()
    for number in range(3):
        write_part(folder / f"part-{number}.parquet", TABLE.slice(6 * number, 6))
    return folder


def write_part(path: Path, table: pa.Table) -> None:
    pq.write_table(table, path, compression="none", use_dictionary=False)


def stamps(folder: Path) -> dict[str, tuple[int, int]]:
    found = {path.name: path.stat() for path in folder.iterdir()}
    return {name: (state.st_mtime_ns, state.st_ino) for name, state in found.items()}


def redone(parts: Path, change: Callable[[], None], **options: Any) -> set[str]:
    """Screen, change something, go on; return the parts that were worked on anew."""
    out = parts.parent / "out"
    foldspan.screen_table(str(parts), str(out))
    before = stamps(out)
    change()
    foldspan.screen_table(str(parts), str(out), resume=True, **options)
    after = stamps(out)
    assert set(after) == set(before)
    fresh = parts.parent / "fresh"
    foldspan.screen_table(str(parts), str(fresh), **options)
    for name in after:
        assert pq.read_table(out / name).equals(pq.read_table(fresh / name)), name
    return {name for name in after if after[name] != before[name]}


def test_resume_leaves_alone_what_is_done(parts: Path) -> None:
    assert redone(parts, lambda: None) == set()


def test_resume_works_on_a_part_that_was_changed(parts: Path) -> None:
    """By its time alone: the new numbers take as many bytes as the old ones."""
    path = parts / "part-1.parquet"

    def change() -> None:
        old, size = path.stat().st_mtime_ns, path.stat().st_size
        table = TABLE.slice(6, 6)
        place = table.column_names.index("age_years")
        older = pa.array([50.0 + row for row in range(6)])
        write_part(path, table.set_column(place, "age_years", older))
        assert path.stat().st_size == size
        os.utime(path, ns=(old, old + 1_000_000_000))

    assert redone(parts, change) == {"part-1.parquet"}


def test_resume_works_on_a_part_of_another_size(parts: Path) -> None:
    """A copy may carry an old time along."""
    path = parts / "part-2.parquet"

    def change() -> None:
        old = path.stat().st_mtime_ns
        write_part(path, TABLE.slice(20, 9))
        os.utime(path, ns=(old, old))

    assert redone(parts, change) == {"part-2.parquet"}


@pytest.mark.parametrize(
    "options",
    [{"reference_method": "density"}, {"conversion": "brozek1963"}, {"with_disputed": True},
     {"names": {"note": "tester"}}],
    ids=["reference_method", "conversion", "disputed", "columns"],
)  # fmt: skip
def test_resume_with_other_options_works_on_all(parts: Path, options: dict[str, Any]) -> None:
    assert redone(parts, lambda: None, **options) == {f"part-{n}.parquet" for n in range(3)}


def test_resume_works_on_what_another_version_made(
    parts: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def change() -> None:
        monkeypatch.setattr(partitioned, "version", lambda _: "0.0.0")

    assert redone(parts, change) == {f"part-{n}.parquet" for n in range(3)}


def test_progress_over_parts_rises_to_the_whole(parts: Path) -> None:
    steps: list[tuple[int, float | None]] = []
    foldspan.screen_table(
        str(parts), str(parts.parent / "out"), progress=lambda *step: steps.append(step)
    )
    sizes = [path.stat().st_size for path in sorted(parts.iterdir())]
    assert [rows for rows, _ in steps] == [6, 12, 18]
    wanted = [sum(sizes[:count]) / sum(sizes) for count in (1, 2, 3)]
    assert [share for _, share in steps] == pytest.approx(wanted)


def test_an_unreadable_part_is_exit_code_3(tmp_path: Path, run: Run) -> None:
    """Every row that could be read has a range, but not every row could be read."""
    parts = tmp_path / "parts"
    parts.mkdir()
    good = pa.table({"sex": ["female"], "age_years": [41], "weight_kg": [71.0], "height_cm": [168]})
    pq.write_table(good, parts / "one.parquet")
    words = ("screen", str(parts), "--workers", "1", "-o")
    assert run(*words, str(tmp_path / "before"))[0] == 0
    (parts / "two.parquet").write_bytes(b"PAR1 cut short")
    for out in ("out", "out.csv"):
        code, _, said = run(*words, str(tmp_path / out))
        assert code == 3
        assert "two.parquet" in said


def test_workers_leave_an_interruption_to_the_one_that_leads() -> None:
    """Ctrl-C reaches all processes of a terminal; only the first may answer it."""
    found = list(in_order(signal.getsignal, [signal.SIGINT] * 4, 2))
    assert found == [signal.SIG_IGN] * 4
    assert signal.getsignal(signal.SIGINT) is not signal.SIG_IGN


# --- the summary ---------------------------------------------------------------------------------


def heights(metres: int, rows: int) -> list[str]:
    return ["female,41,71,1.68" if row < metres else "female,41,71,168" for row in range(rows)]


@pytest.mark.parametrize(
    "metres, rows, words",
    [(2, 4, "--unit height_cm=m"), (3, 4, "--unit height_cm=m"), (2, 5, "Mixed units?"),
     (1, 200, "Mixed units?"), (1, 201, ""), (2, 400, "Mixed units?"), (2, 401, "")],
)  # fmt: skip
def test_half_of_a_column_is_another_unit_and_one_in_200_a_mixture(
    tmp_path: Path, metres: int, rows: int, words: str
) -> None:
    summary, _ = screened(tmp_path, SIZE, heights(metres, rows))
    about = [note for note in summary.quality if "height_cm" in note and "metres" in note]
    assert len(about) == (1 if words else 0)
    assert words in " ".join(about)


@pytest.mark.parametrize(
    "pounds, rows, is_noted",
    [(5, 12, True), (4, 12, False), (4, 4, False), (5, 1000, True), (5, 1001, False)],
)
def test_weights_in_pounds_are_told_from_five_rows_on(
    tmp_path: Path, pounds: int, rows: int, is_noted: bool
) -> None:
    """160 lb at 168 cm is usual, 160 kg hardly is; one or two may well be large bodies."""
    lines = [f"female,41,{160 if row < pounds else 71},168" for row in range(rows)]
    summary, _ = screened(tmp_path, SIZE, lines)
    assert any("pounds" in note for note in summary.quality) == is_noted


@pytest.mark.parametrize(
    "fives, readings, is_noted",
    [(12, 30, True), (11, 30, False), (30, 30, True), (29, 29, False), (20, 50, True)],
)
def test_round_numbers_are_told_from_30_readings_and_4_in_10(
    tmp_path: Path, fives: int, readings: int, is_noted: bool
) -> None:
    lines = [f"female,41,T-9,{20 if row < fives else 21.2}" for row in range(readings)]
    # another tester's readings are not theirs
    lines += ["female,41,T-8,21.2"] * 40
    summary, _ = screened(tmp_path, "sex,age_years,tester,triceps_mm", lines)
    notes = [note for note in summary.quality if "whole multiples of 5" in note]
    assert [("T-9" in line, "T-8" in line) for line in notes] == [(True, False)] * is_noted


def test_what_matters_and_could_not_be_read_is_counted(tmp_path: Path) -> None:
    """All that could ask for a doctor, blood pressure as well; a hip is no such thing."""
    expected = (
        "symptoms", "conditions", "medicines", "eating_concern", "periods_stopped", "pregnant",
        "birth_months_ago", "grip_kg", "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg",
    )  # fmt: skip
    sound = {"sex": "female", "age_years": "41", "weight_kg": "71", "height_cm": "168"}
    sound |= {"earlier_weight_kg": "72", "earlier_weight_months_ago": "7", "loss_wanted": "yes"}
    sound |= dict.fromkeys((*expected, "hip_cm"), "")
    matters = [name for name in sound if name not in ("sex", "hip_cm")]
    people = [sound, sound | {"hip_cm": "wide"}, *(sound | {name: "perhaps"} for name in matters)]
    lines = [",".join(person.values()) for person in people]
    summary, rows = screened(tmp_path, ",".join(sound), [*lines, "female,41"])
    count, kinds = summary.unread
    assert count == len(matters) + 1
    assert summary.unread_rows == tuple(range(3, 3 + count))[: len(summary.unread_rows)]
    assert summary.to_dict()["not_read_in_full"] == count
    assert {kind.partition(" ")[2] for kind in kinds} == {*matters, ""}
    assert [row["problems"].split(": ")[0] for row in rows[:-1]] == ["", "hip_cm", *matters]


# --- rows ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "column, value, code, sexes",
    [("weight_kg", 41, "W103", ["male"]), ("weight_kg", 37, "W103", ["female", "male", ""]),
     ("height_cm", 190, "W103", ["female"]), ("height_cm", 147, "W103", ["male"]),
     ("waist_midpoint_cm", 42, "E102", ["male"]), ("neck_cm", 72, "E102", ["female"]),
     ("neck_cm", 21, "E102", ["male"]), ("forearm_girth_cm", 58, "E102", ["female"]),
     ("triceps_mm", 50, "W103", ["male"]), ("triceps_mm", 4, "W103", ["female"])],
)  # fmt: skip
def test_what_is_possible_and_usual_is_asked_by_sex(
    tmp_path: Path, column: str, value: float, code: str, sexes: list[str]
) -> None:
    head = f"sex,age_years,{column}"
    _, rows = screened(tmp_path, head, [f"{sex},41,{value}" for sex in ("female", "male", "")])
    assert [row["sex"] for row in rows if f"[{code}]" in row["problems"]] == sexes


def test_a_background_is_judged_by_its_own_lower_points(tmp_path: Path) -> None:
    """NICE NG246 (2025): 23 and 27.5 in the backgrounds it names; WHO (2000): 25 and 30."""
    lines = [
        f"female,41,{bmi * 1.7**2:.2f},170,{background}"
        for bmi in (24.0, 28.6)
        for background in ("south_asian", "", "white", "chinese", "black_african")
    ]
    _, rows = screened(tmp_path, f"{SIZE},family_background", lines)
    found = [(row["bmi_band"], float(row["bmi_band_chance"])) for row in rows]
    named, others = ("above", "well_above"), ("usual", "above")
    assert [band for band, _ in found] == [
        (others if place in (1, 2) else named)[half] for half in (0, 1) for place in range(5)
    ]
    assert min(chance for _, chance in found) > 0.9


def test_reasons_are_those_of_the_flags_that_refer(tmp_path: Path) -> None:
    """A waist is to be talked about; it is no reason to see a doctor the same day."""
    line = "male,35,76,178,97,chest_pain"
    listed = tmp_path / "refer.csv"
    screened(tmp_path, f"{SIZE},waist_midpoint_cm,symptoms", [line], referrals=str(listed))
    (row,) = read_back(listed.read_bytes())
    assert row["flags"] == "heart_signs; central_fat"
    assert (
        row["reasons"]
        == "Self-reported, at least one of: chest pain, breathless at rest, collapse."
    )
    assert "waist" not in row["what_to_do"].lower()
    assert "NICE" not in row["sources"]
    assert row["borderline"] == ""


# --- letters -------------------------------------------------------------------------------------


def letters_in(folder: Path) -> list[str]:
    found = []
    for path in sorted(folder.iterdir()):
        pages = pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages
        found.append(" ".join(" ".join(page.extract_text() for page in pages).split()))
    return found


def test_a_letter_knows_what_the_row_told(tmp_path: Path) -> None:
    head = f"{SIZE},family_background,pregnant,symptoms,earlier_weight_kg,earlier_weight_months_ago,loss_wanted"  # noqa: E501
    lines = [
        "female,41,60,168,south_asian,,chest_pain,,,",
        "female,31,70,168,,yes,chest_pain,,,",
        "female,41,60,168,,,,66,5,no",
    ]
    screened(tmp_path, head, lines, letters=str(tmp_path / "letters"))
    asian, pregnant, lighter = letters_in(tmp_path / "letters")
    assert "Family background: South Asian." in asian
    assert "South Asian" not in lighter
    assert "do not work in pregnancy" in pregnant
    assert "do not work in pregnancy" not in asian + lighter
    # before: all three letters began as if fat had been estimated
    assert "We estimated this client" in asian
    assert "We estimated this client" in lighter
    assert "We screened this client but give no body-fat range." in pregnant
    assert "We estimated" not in pregnant
    assert "66.0 kg about 5 months earlier, 60.0 kg now: 9.1% less" in lighter


def test_what_became_of_the_letters_is_counted(tmp_path: Path) -> None:
    """One refers no longer as its limbs are strong; a row that tells little has a letter of its own."""
    girths = "waist_midpoint_cm,arm_relaxed_girth_cm,triceps_mm,calf_girth_cm,calf_mm"
    lines = [
        "L-1,male,41,80,178,,,,,,chest_pain,",
        "L-2,male,30,106,182,86,45,5,47,4,,high_blood_pressure",
        "L-3,male,41,,,,,,,,chest_pain,",
        "L-4,male,41,80,178,,,,,,,",
        "L-5,male,41,82,178,,,,,,fainting,",
    ]
    head = f"code,{SIZE},{girths},symptoms,conditions"
    summary, rows = screened(tmp_path, head, lines, letters=str(tmp_path / "letters"))
    assert rows[1]["worst_flag_level"] == "refer_soon"
    assert len(letters_in(tmp_path / "letters")) == 4
    notes = [note for note in summary.notes if "letter" in note.lower()]
    assert len(notes) == 2
    assert re.match(r"Letters written for 4 rows\b", notes[0])
    assert re.match(r"For 1 row the letter does not refer after all\b", notes[1])


# --- equations -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "sex, weight, waist, is_used",
    [("male", 92.0, 100.0, True), ("male", 92.0, 80.0, False), ("male", 92.0, 90.0, False),
     ("male", 82.0, 112.0, True), ("male", 80.0, 112.0, False), ("female", 84.0, 90.0, True),
     ("female", 78.0, 90.0, False)],
)  # fmt: skip
def test_an_equation_for_obesity_is_used_in_obesity_only(
    sex: str, weight: float, waist: float, is_used: bool
) -> None:
    """Weltman (1987, 1988) built theirs above 30 % fat; a strong build passes 30 kg/m² without it."""
    (card,) = [
        equation for equation in EQUATIONS if equation.audience == "obese" and equation.sex == sex
    ]
    girths = {"abdomen_navel": waist, "waist_narrowest": waist}
    tree = {"client": {"sex": sex, "age_years": 40}, "girths_cm": girths, "visit": {}}
    tree["mass_height"] = {"weight_kg": weight, "height_cm": 165.0}
    result = foldspan.reconcile(foldspan.Visit.from_dict(tree, accept_unusual=True))
    (said,) = [equation for equation in result.equations if equation.key == card.key]
    # 30 % is theirs, under water: what the print says, not what it is moved to
    assert said.as_printed is not None
    is_obese = weight / 1.65**2 >= 30.0 and said.as_printed >= 30.0
    assert is_obese == is_used
    assert said.used == is_used
    assert ("obesity_only" in said.left_out_because) != is_used


@pytest.mark.parametrize("sex", ["female", "male"])
def test_an_ancestry_term_is_vaguer_where_nothing_is_stated(sex: Any) -> None:
    """A standard deviation of one point (ours: the terms in print are worth 0.3 to 2.5)."""
    cards = cards_for(sex)
    whole = {
        name: np.full(2, (sum(quantity.plausible(sex)) / 2)) for name, quantity in BY_NAME.items()
    }
    whole |= {
        "age_years": np.full(2, 41.0),
        "weight_kg": np.full(2, 76.0),
        "height_cm": np.full(2, 171.0),
    }
    marks = dict(indicators(sex, 2)) | {"is_athlete": np.zeros(2)}
    people = People(sex, whole | marks, {}, np.array(["", "white"]))
    limits = reconcile_people(cards, people, every=True).block_sds["limits"] ** 2
    added = limits[:, 0] - limits[:, 1]
    with_term = np.array([reads_ancestry(card) for card in cards])
    assert 0 < with_term.sum() < len(cards)
    assert set(ANCESTRY_INDICATORS.values()) <= set(marks)
    assert added[with_term] == pytest.approx(1.0)
    assert added[~with_term] == pytest.approx(0.0)
