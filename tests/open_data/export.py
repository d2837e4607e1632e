"""Print an open table as CSV with its references, for ``foldspan calibrate -``.

python tests/open_data/export.py weighed_men | foldspan calibrate -
python tests/open_data/export.py survey_2017 | foldspan calibrate -
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from open_data.open_tables import survey_2017, weighed_men

TABLES = {"weighed_men": (weighed_men, "density"), "survey_2017": (survey_2017, "dxa")}


def main(name: str) -> None:
    """Write the table to standard output."""
    load, reference_method = TABLES[name]
    people = load()
    table = people.table.assign(
        reference_fat_percent=people.truth, reference_method=reference_method
    )
    sys.stdout.write(table.to_csv(index=False))


if __name__ == "__main__":
    main(sys.argv[1])
