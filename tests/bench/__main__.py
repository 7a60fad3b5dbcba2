"""Measures the budgets and prints ratios: `python -m tests.bench`, or a part: `budgets`, `growth`, `peers`.

A report, not a timed test. Each line is measured beside its yardstick in the same run on the same machine; quote the
ratio, not the seconds.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.bench.budgets import budgets
from tests.bench.growth import growth
from tests.bench.measuring import prepare
from tests.bench.peers import peers

_PARTS = {"budgets": budgets, "growth": growth, "peers": peers}

if __name__ == "__main__":
    wanted = sys.argv[1:] or list(_PARTS)
    unknown = [name for name in wanted if name not in _PARTS]
    if unknown:
        sys.exit(f"There is no part {unknown[0]}. Parts: {', '.join(_PARTS)}.")
    with tempfile.TemporaryDirectory() as folder:
        prepare(Path(folder))
        for name in wanted:
            _PARTS[name](Path(folder))
