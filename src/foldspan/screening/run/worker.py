"""Worker: what the process loads whose copies the workers are; see ``processes``."""

from __future__ import annotations

from foldspan.screening.run.lazy_pyarrow import forgo_pandas

forgo_pandas()  # before anything makes an array

from foldspan.screening import batch  # noqa: E402

__all__ = ["batch"]
