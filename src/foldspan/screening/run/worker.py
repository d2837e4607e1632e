"""Worker: what the process loads whose copies the workers are; see ``processes``."""

from __future__ import annotations

from foldspan.screening.run.lazy_pyarrow import forgo_pandas

forgo_pandas()  # before anything makes an array

import scipy.special  # noqa: E402, F401 - the kernel loads it where it is first asked

from foldspan.screening import batch  # noqa: E402

__all__ = ["batch"]
