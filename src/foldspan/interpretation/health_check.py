"""Health check: what the measures of one adult come to, in rules raised and bands of standards."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldspan.intake.as_arrays import SelfReported
from foldspan.interpretation.bands_to_tell import BandsToTell, bands_to_tell
from foldspan.interpretation.indices import Indices
from foldspan.interpretation.referral import Raised, chances_of, raised_flags
from foldspan.interpretation.referral_measured import bmi_may_be_high


@dataclass(frozen=True, slots=True, repr=False)
class HealthCheck:
    """Measures of one adult, whether a strong build misleads, rules that are raised, bands to tell."""

    indices: Indices
    is_strong: bool
    raised: tuple[Raised, ...]
    shown: BandsToTell


def health_check(indices: Indices, reported: SelfReported, *, is_strong: bool) -> HealthCheck:
    """Return what the measures of one adult come to.

    A strong build (``is_strong``) counts where weight for height may be above the usual band.
    """
    is_strong = is_strong and bool(bmi_may_be_high(indices)[0])
    raised = raised_flags(chances_of(indices, reported, is_strong=np.array([is_strong])))
    shown = bands_to_tell(indices, [flag.rule.code for flag in raised])
    return HealthCheck(indices, is_strong, raised, shown)
