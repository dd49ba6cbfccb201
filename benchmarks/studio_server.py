"""A studio as it is served, on a free port.

python -m benchmarks.studio_server FOLDER DAY
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from pourwright.web.serve import serve


def main() -> None:
    """Serve a folder's studio; its address stands in the first line that is said."""
    folder, day = sys.argv[1:]
    serve(
        Path(folder), port=0, lan=False, names=(), today=date.fromisoformat(day), browse=False,
        say=lambda line: print(line, flush=True),
    )  # fmt: skip


if __name__ == "__main__":
    main()
