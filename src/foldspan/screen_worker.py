"""Screen worker: what the process loads whose copies the workers are; see ``screen_pool``."""

from __future__ import annotations

from foldspan.arrow_alone import forgo_pandas

forgo_pandas()  # before anything makes an array

import scipy.special  # noqa: E402, F401 - the kernel loads it where it is first asked

from foldspan import screen_batch  # noqa: E402

__all__ = ["screen_batch"]
