"""Reading local corrections, and finding the one that a site has chosen for itself.

A site that learnt a correction names it once, in its settings file, and it is used by every command:
the same visit gets the same range wherever it is asked about.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import numpy as np

from foldspan.catalogue.card import FAMILIES, REFERENCE_METHODS
from foldspan.estimation.local_correction import LocalCorrection, SiteOffsets
from foldspan.files.input import read_tree
from foldspan.practice.settings import SWITCHED_OFF, chosen_correction, settings_file
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import SEXES

SCHEMA_VERSION = 2
MOST_POINTS = 100.0
# version → what it calls the reference method, and the method groups of a sex
KEYS_OF_VERSION = {1: ("scale", "families"), 2: ("reference_method", "methods")}


def site_correction(given: str = "") -> LocalCorrection | None:
    """Return the correction that is named, or the one set in the settings file.

    Parameters
    ----------
    given : str
        Path of a correction file, ``none`` for no correction, "" for the one in the settings file.

    Raises
    ------
    FoldspanError
        As ``read``; also about the settings file: E301 if the file named does not exist, E115 and
        E121 for a line in it that is unknown or not text.
    """
    if given == SWITCHED_OFF:
        return None
    path = given or chosen_correction()
    return read(path) if path else None


def files_read(given: str = "") -> tuple[str, ...]:
    """Return the files that ``site_correction`` reads, none of which may be written over."""
    if given == SWITCHED_OFF:
        return ()
    return (given,) if given else (settings_file(), chosen_correction())


def read(path: str) -> LocalCorrection:
    """Read a correction.

    Raises
    ------
    FoldspanError
        E301 to E307 as for a visit file, E601 if it is not one that ``write`` wrote.
    """
    tree = read_tree(path)
    try:
        method, groups = KEYS_OF_VERSION[tree["schema_version"]]
        if tree[method] not in REFERENCE_METHODS:
            raise ValueError
        by_sex = {sex: _offsets(tree[sex], groups) for sex in SEXES if sex in tree}
        if not by_sex:
            raise ValueError
        made = tree.get("made", "")
        day = made.isoformat() if isinstance(made, date) else ""
        return LocalCorrection(tree[method], int(tree["people"]), by_sex, day)
    except (KeyError, TypeError, ValueError, OverflowError, np.linalg.LinAlgError):
        remedy = "Create it again with foldspan calibrate TABLE --fit FILE."
        raise FoldspanError(
            [Problem("E601", path, "not a local correction of this version", remedy)]
        ) from None


def _offsets(tree: Mapping[str, Any], groups: str) -> SiteOffsets:
    families = tuple(str(name) for name in tree[groups])
    size = len(families)
    offset, spread = np.array(tree["offset"], float), np.array(tree["spread"], float)
    uncertainty = np.array(tree["uncertainty"], float)
    if not set(families) <= set(FAMILIES) or len(set(families)) < size or size == 0:
        raise ValueError
    if not all(np.isfinite(number).all() for number in (offset, spread, uncertainty)):
        raise ValueError
    if uncertainty.shape != (size, size) or not np.allclose(uncertainty, uncertainty.T):
        raise ValueError
    if offset.shape != (size,) or spread.shape != (size,) or not (spread > 0).all():
        raise ValueError
    # no site reads off by more than all fat there is: a slip of the keyboard, and no number beyond it
    if max(np.abs(offset).max(), spread.max(), np.sqrt(np.abs(uncertainty).max())) > MOST_POINTS:
        raise ValueError
    np.linalg.cholesky(uncertainty + 1e-6 * np.eye(size))
    return SiteOffsets(
        int(tree["n"]),
        families,
        tuple(offset.tolist()),
        tuple(map(tuple, uncertainty.tolist())),
        tuple(spread.tolist()),
    )
