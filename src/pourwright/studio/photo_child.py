"""Decode one photo in a process of its own; run by :mod:`pourwright.studio.photos`.

What comes from outside is decoded here and nowhere else: under a limit of memory and of
processor time, so that a file made to hurt ends this process and nothing more.
"""

from __future__ import annotations

import json
import sys
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

MEMORY_MB = 512
"""What the process may map: the largest photo that is taken needs about 460. [MB]"""
PROCESSOR_S = 4
"""How long it may compute: the same photo takes about 2 s. [s]"""
MOST_WRITTEN_MB = 100
"""How long a file it may write. [MB]"""


def main(folder: str) -> None:
    """Decode the photo that comes in, and print what became of it as JSON.

    Parameters
    ----------
    folder : str
        Where the photo and its small picture are left; it goes when they are taken over.
    """
    _limit()
    from pourwright.errors import BadInput, StudioError
    from pourwright.ledger.photo_decoding import take_apart
    from pourwright.ledger.photo_files import put_photo

    told: dict[str, object]
    try:
        photo = put_photo(Path(folder), take_apart(sys.stdin.buffer.read()))
    except BadInput as refused:
        told = {"refused": [[one.path, one.value, one.right] for one in refused.complaints]}
    except StudioError as trouble:
        told = {"trouble": str(trouble)}
    else:
        told = asdict(photo)
    sys.stdout.write(json.dumps(told))


def _limit() -> None:
    """Cap memory, processor time and files, where the system can; none can be raised again."""
    if sys.platform == "win32":
        return
    import resource

    limits = (
        (resource.RLIMIT_AS, MEMORY_MB << 20),
        (resource.RLIMIT_CPU, PROCESSOR_S),
        (resource.RLIMIT_FSIZE, MOST_WRITTEN_MB << 20),
        (resource.RLIMIT_CORE, 0),
    )
    for which, most in limits:
        with suppress(ValueError, OSError):
            resource.setrlimit(which, (most, most))


if __name__ == "__main__":
    main(sys.argv[1])
