"""Build the documents as a site.

    python docs/site/build.py [FOLDER]

Needs ``pip install -e '.[docs]'``. The site goes to build/site unless another folder is given. Every
warning is an error: a link or anchor that leads nowhere, a page that is not in the navigation, a
reference without a target, a Python example that no test has run.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from check import faults
from public_names import page
from stage import ROOT, SITE, Broken, stage


def build(folder: Path) -> int:
    """Build the site into a folder, and look through what came of it; return an exit status."""
    if folder.exists() and any(folder.iterdir()):
        if not (folder / "objects.inv").exists():
            print(f"{folder}: holds something that is no site; choose another", file=sys.stderr)
            return 1
        shutil.rmtree(folder)
    sources, met = ROOT / "build" / "site-source", ROOT / "build" / "site-read"
    try:
        stage(sources)
        (sources / "reference.md").write_text(page(), encoding="utf-8")
    except (Broken, ValueError) as broken:
        print(broken, file=sys.stderr)
        return 1
    sphinx = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-n", "-E", "-b", "html"]
    sphinx += ["-d", str(met)]
    made = subprocess.run([*sphinx, "-c", SITE, sources, folder], check=False)
    if made.returncode:
        return made.returncode
    found = faults(folder)
    print(*found, sep="\n", file=sys.stderr, end="\n" if found else "")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(build(Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "build" / "site").resolve()))
