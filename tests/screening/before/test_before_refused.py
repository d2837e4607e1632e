"""Earlier tables that cannot be used: each is refused by its name, with what to do."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import foldspan
from screen_desk import Run
from screen_people import NOW, THEN, write_rows

HEAD = "code,sex,age_years,weight_kg,height_cm"
# what the earlier file holds → code of the error, and what is said of where and what to do
REFUSED: dict[str, tuple[str, str, str]] = {
    "": ("E306", "old.csv", "empty"),
    f"{HEAD}\n": ("E306", "old.csv", "no rows"),
    f"{HEAD[5:]}\nfemale,41,71,168\n": ("E401", "old.csv: column code", "--before-map"),
    "code,weight_kg\nK-01,71\n": ("E401", "old.csv: column sex", "--before-map"),
    "code,sex,age_years\nK-01,female,41\n": ("E120", "old.csv: table", "weight_kg"),
    f"{HEAD},Taille\nK-01,Mujer,41,71,168,80\nK-02,M,41,71,168,80\n": ("E412", "old.csv", "words"),
    f"{HEAD},BP\nK-01,female,41,71,168,120\n": ("E402", "old.csv: column BP", "--before-map BP"),
    f"{HEAD},triceps\nK-01,female,41,71,168,20\n": (
        "E409",
        "old.csv: column triceps",
        "triceps_mm",
    ),
}


@pytest.mark.parametrize("text", REFUSED)
def test_an_earlier_table_that_cannot_be_used_is_named(tmp_path: Path, run: Run, text: str) -> None:
    code, where, advice = REFUSED[text]
    old, out = tmp_path / "old.csv", tmp_path / "out.csv"
    old.write_text(text, encoding="utf-8")
    new = write_rows(tmp_path / "new.csv", [NOW])
    exit_code, shown, said = run("screen", new, "-o", str(out), "--before", str(old))
    words = " ".join(said.split())
    assert (exit_code, shown) == (2, "")
    assert f"[{code}]" in words
    assert where in words
    assert advice in words
    assert not out.exists()


def stopped(new: str, out: Path, old: object, **options: object) -> str:
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.screen_table(new, out, before=old, **options)  # type: ignore[arg-type]
    assert not out.exists()
    return str(caught.value)


def test_the_same_table_twice_is_no_comparison(tmp_path: Path) -> None:
    new, out = write_rows(tmp_path / "new.csv", [NOW]), tmp_path / "out.csv"
    (tmp_path / "link.csv").symlink_to(new)
    for old in (new, str(tmp_path / "link.csv"), f"{tmp_path}/../{tmp_path.name}/new.csv"):
        assert "is the same table" in stopped(new, out, old)
    # a copy is another file: everything is there, and nothing changed
    shutil.copy(new, tmp_path / "copy.csv")
    change = foldspan.screen_table(new, out, before=tmp_path / "copy.csv").change
    assert change is not None
    assert change.fat["too_soon"] == 1
    assert change.flagged == 0


def test_a_new_table_without_codes_cannot_be_compared(tmp_path: Path) -> None:
    old, out = write_rows(tmp_path / "old.csv", [THEN]), tmp_path / "out.csv"
    nameless = {name: value for name, value in NOW.items() if name != "code"}
    said = stopped(write_rows(tmp_path / "new.csv", [nameless]), out, old)
    assert "column code: missing" in said
    assert "--map THEIRS=code" in said
    assert "old.csv" not in said


def test_a_new_table_with_a_column_of_the_result_is_refused(tmp_path: Path) -> None:
    """Only where there is an earlier table: without one it is a column like any other."""
    old, out = write_rows(tmp_path / "old.csv", [THEN]), tmp_path / "out.csv"
    new = write_rows(tmp_path / "new.csv", [NOW | {"not_compared": "x"}])
    assert "[E403]" in stopped(new, out, old)
    assert foldspan.screen_table(new, out).rows == 1


def test_what_cannot_be_read_twice_or_elsewhere_is_refused(tmp_path: Path, run: Run) -> None:
    old, out = write_rows(tmp_path / "old.csv", [THEN]), tmp_path / "out.csv"
    assert "standard input" in stopped("-", out, old)
    (tmp_path / "parts").mkdir()
    assert "there is no such file" in stopped(
        write_rows(tmp_path / "n.csv", [NOW]), out, "nowhere.csv"
    )
    code, _, said = run("screen", str(tmp_path / "n.csv"), "-o", str(out), "--before-map", "a=code")
    assert code == 2
    assert "--before-map: used without --before" in " ".join(said.split())


@pytest.mark.parametrize("what", ["--out", "--referrals", "--letters", "--group-summary"])
def test_the_earlier_table_is_never_written_over(tmp_path: Path, run: Run, what: str) -> None:
    old, new = write_rows(tmp_path / "old.csv", [THEN]), write_rows(tmp_path / "new.csv", [NOW])
    kept = Path(old).read_bytes()
    to = {"--out": str(tmp_path / "out.csv")} | {what: old}
    words = [word for pair in to.items() for word in pair]
    code, _, said = run("screen", new, "--before", old, *words, "--force")
    assert code == 2, said
    assert Path(old).read_bytes() == kept


def test_other_machines_cannot_see_an_earlier_table(tmp_path: Path) -> None:
    import pyarrow.csv as arrow_csv
    import pyarrow.parquet as pq

    (tmp_path / "parts").mkdir()
    pq.write_table(
        arrow_csv.read_csv(write_rows(tmp_path / "n.csv", [NOW])), tmp_path / "parts/0.parquet"
    )
    old = write_rows(tmp_path / "old.csv", [THEN])
    said = stopped(str(tmp_path / "parts"), tmp_path / "out", old, scheduler="tcp://127.0.0.1:1")
    assert "works on one machine only" in said
