"""Wording of calibrate: what to know before going by a judgement of ranges."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.text.en.reconcile import PRINTED_SENTENCES, REFERENCE_NAMES

CALIBRATION_CAUTIONS = {
    "one_sex": (
        "Everyone in the table is of the same sex: this tells you nothing about the other. [W406]"
    ),
    "given_twice": "{rows} rows appear twice and are counted twice. [W407]",
    "one_value": "Every row has the same value in {columns}: was it really measured? [W408]",
    "without_correction": (
        "{rows} of the rows were evaluated without the local correction: it was fitted to"
        " {reference_method} and covers {sexes} only. [W409]"
    ),
}


def calibration_caution(
    code: str, *, reference_method: str, rows: int, names: Sequence[str]
) -> str:
    """Return one caution; ``names`` are columns with one value, or the sexes that are covered."""
    if code == "as_printed":
        return PRINTED_SENTENCES[reference_method]
    return CALIBRATION_CAUTIONS[code].format(
        rows=rows,
        reference_method=REFERENCE_NAMES.get(reference_method, ""),
        columns=", ".join(names),
        sexes=" and ".join(names),
    )
