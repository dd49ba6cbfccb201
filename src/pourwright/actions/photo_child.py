"""Decode and keep one photo in a process of its own; run by :mod:`pourwright.actions.photos`.

What comes from outside is decoded here and nowhere else: under a limit of memory and of
processor time, so that a file made to hurt ends this process and nothing more.
"""

from __future__ import annotations

import json
import sys
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

MEMORY_MB = 1024
"""What the process may map: fifty megapixels take about 360 as JPEG or PNG, 790 as WebP. [MB]"""
PROCESSOR_S = 15
"""How long it may compute: the same photo takes about 2 s. [s]"""


def main(folder: str) -> None:
    """Keep the photo that comes in, and print what became of it as JSON.

    Parameters
    ----------
    folder : str
        The book's folder for photos.
    """
    _limit()
    from pourwright.errors import BadInput, StudioError
    from pourwright.ledger.files import keep_photo, keep_small

    told: dict[str, object]
    try:
        photo = keep_photo(Path(folder), sys.stdin.buffer.read())
        keep_small(Path(folder), photo.digest)
    except BadInput as refused:
        told = {"refused": [[one.path, one.value, one.right] for one in refused.complaints]}
    except StudioError as trouble:
        told = {"trouble": str(trouble)}
    else:
        told = asdict(photo)
    sys.stdout.write(json.dumps(told))


def _limit() -> None:
    """Cap memory and processor time, where the system can."""
    if sys.platform == "win32":
        return
    import resource

    most = MEMORY_MB * 1024 * 1024
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR_S, PROCESSOR_S))


if __name__ == "__main__":
    main(sys.argv[1])
