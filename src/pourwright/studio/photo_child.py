"""Decode one photo in a process of its own; run by :mod:`pourwright.studio.photos`.

What comes from outside is decoded here and nowhere else: under a limit of memory and of
processor time, so that a file made to hurt ends this process and nothing more.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from pourwright.process_limits import limit

WHOLE, SMALL = "whole.jpg", "small.jpg"
"""What the two pictures are called in the folder."""
MEMORY_MB = 512
"""What the process may map: the largest photo that is taken needs about 460. [MB]"""
PROCESSOR_S = 4
"""How long it may compute: the same photo takes about 2 s. [s]"""
MOST_WRITTEN_MB = 100
"""How long a file it may write. [MB]"""


def main(folder: str) -> None:
    """Decode the photo that comes in, and print what became of it as JSON."""
    _limit()
    from pourwright.errors import BadInput
    from pourwright.ledger.photo_decoding import take_apart

    told: dict[str, object]
    try:
        photo = take_apart(sys.stdin.buffer.read())
        (Path(folder) / WHOLE).write_bytes(photo.whole)
        (Path(folder) / SMALL).write_bytes(photo.small)
    except BadInput as refused:
        told = {"refused": [[one.path, one.value, one.right] for one in refused.complaints]}
    except OSError as trouble:
        told = {"trouble": f"The photo cannot be taken in: {trouble.strerror}."}
    else:
        told = {"width": photo.width, "height": photo.height}
    sys.stdout.write(json.dumps(told))


def _limit() -> None:
    limit(
        RLIMIT_AS=MEMORY_MB << 20,
        RLIMIT_CPU=PROCESSOR_S,
        RLIMIT_FSIZE=MOST_WRITTEN_MB << 20,
        RLIMIT_CORE=0,
    )


if __name__ == "__main__":
    main(sys.argv[1])
