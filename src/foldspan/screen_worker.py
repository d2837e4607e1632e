"""Screen worker: what the process loads whose copies the workers are; see ``screen_pool``."""

from __future__ import annotations

from foldspan.arrow_alone import forgo_pandas

forgo_pandas()  # before anything makes an array

from foldspan import screen_batch  # noqa: E402

__all__ = ["screen_batch"]
