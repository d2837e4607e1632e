"""Cautions: what to know before going by a judgement of ranges, as codes with their parameters."""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.text.en.calibrate import calibration_caution


@dataclass(frozen=True, slots=True)
class CalibrationCaution:
    """One thing to know before going by a judgement."""

    code: str
    """``as_printed``, or a key of ``CALIBRATION_CAUTIONS``."""
    reference_method: str = ""
    """The scale of the references, or that a correction was learnt on; "" for other codes."""
    rows: int = 0
    """How many it concerns [rows]; 0 for other codes."""
    names: tuple[str, ...] = ()
    """Columns with one value only, or the sexes that a correction covers."""

    @property
    def text(self) -> str:
        """Its sentence, in English."""
        return calibration_caution(
            self.code, reference_method=self.reference_method, rows=self.rows, names=self.names
        )
