"""Work out the numbers inside docs/method.md anew: ``python tests/house/renew_method.py``.

How often usual bodies are called strained, by scale, how often methods are said to disagree, and how
many equations the survey could try.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from estimation import test_disagree
from estimation.test_usual_gaps import SETS, strained_rates
from foldspan.quantities import SEXES
from foldspan.reference.equation_errors import SURVEY_ERRORS
from open_data.calibration_page import METHOD, PAGE, renewed

PEOPLE = {"female": "women", "male": "men"}
TRIED = re.compile(r"(?<=<!-- tried -->)\d+(?=<!-- end -->)")


def strained(reference_method: str) -> str:
    """The table of one scale, as it stands on the page."""
    lines = [
        "| measured | people | all | under 22 | 22-25 | 25-30 | 30-35 | 35+ |",
        "|---" * 8 + "|",
    ]
    for measured in SETS:
        for sex in SEXES:
            rates = " | ".join(
                f"{rate:.0f}" for rate in strained_rates(sex, measured, reference_method)
            )
            lines.append(f"| {measured} | {PEOPLE[sex]} | {rates} |")
    return "\n".join(lines)


def main() -> None:
    """Write the tables, and the number of equations on every page that says it."""
    blocks = {
        f"strained:{reference_method}": strained(reference_method)
        for reference_method in ("dxa", "density")
    } | {"disagree": test_disagree.table()}
    METHOD.write_text(renewed(METHOD.read_text(encoding="utf-8"), blocks), encoding="utf-8")
    for path in (METHOD, PAGE):
        text = TRIED.sub(str(len(SURVEY_ERRORS)), path.read_text(encoding="utf-8"))
        path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
