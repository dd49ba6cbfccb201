"""Decode one model in a process of its own; run by :mod:`pourwright.shape.model_file`.

What comes from outside is decoded here and nowhere else: under a limit of memory and of
processor time, so that a file made to hurt ends this process and nothing more.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from pourwright.process_limits import limit

VERTICES, FACES = "vertices.npy", "faces.npy"
"""What is left in the folder."""
MEMORY_MB = 4000
"""What the process may map: a million triangles as 3MF need some 1500, the libraries 500. [MB]"""
PROCESSOR_S = 60
"""How long it may compute: the same file takes about 8 s. [s]"""
MOST_WRITTEN_MB = 200
"""How long a file it may write. [MB]"""


def main(folder: str) -> None:
    """Decode the model that comes in, and print what became of it as JSON.

    Parameters
    ----------
    folder : str
        Where corners and triangles are left; it goes when they are taken over.
    """
    limit(
        RLIMIT_AS=MEMORY_MB << 20,
        RLIMIT_CPU=PROCESSOR_S,
        RLIMIT_FSIZE=MOST_WRITTEN_MB << 20,
        RLIMIT_CORE=0,
    )
    import numpy as np

    from pourwright.errors import BadInput
    from pourwright.shape.model_decoding import decode

    told: dict[str, object]
    try:
        model = decode(sys.stdin.buffer.read())
        np.save(Path(folder) / VERTICES, model.vertices, allow_pickle=False)
        np.save(Path(folder) / FACES, model.faces, allow_pickle=False)
    except BadInput as refusal:
        told = {"refused": [[one.value, one.right, one.hint] for one in refusal.complaints]}
    except OSError as trouble:
        told = {"trouble": f"The model cannot be taken in: {trouble.strerror}."}
    else:
        told = {"kind": model.kind, "unit": model.unit}
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(sys.argv[1])
