"""Library worker: what the process loads whose copies the workers of a calling program are.

See ``processes``. Unlike those of the command they know pandas: pyarrow looks for it once, when it makes
its first array, which is done here for all of them.
"""

from __future__ import annotations

import pyarrow as pa

from foldspan.screening import batch

pa.scalar(0)

__all__ = ["batch"]
