"""A model's file: read, and decoded by a process of its own."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from pourwright.errors import BadInput, NotDoable
from pourwright.shape.mesh import FloatArray, IntArray
from pourwright.shape.model_child import FACES, VERTICES
from pourwright.shape.model_decoding import MOST_BYTES, MOST_FACES, refused

LONGEST_S = 120
"""How long the decoding of one may last before it is ended. [s]"""
_CHILD = "pourwright.shape.model_child"


@dataclass(frozen=True, slots=True, eq=False)
class ModelFile:
    """A model as its file tells it, and the file.

    Parameters
    ----------
    name : str
        The file's name without its folder.
    sha256 : str
        Of its bytes.
    kind : str
        STL, OBJ, PLY, 3MF or GLB.
    unit : str
        The unit that it states; empty if it states none.
    vertices : array of float, (n, 3)
        Corners, in that unit.
    faces : array of int, (m, 3)
        Triangles.
    """

    name: str
    sha256: str
    kind: str
    unit: str
    vertices: FloatArray
    faces: IntArray


def read_model(path: Path) -> ModelFile:
    """Read a model's file.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    BadInput
        If it cannot be read, is no model, is too large, or is made to hurt.
    """
    data = _bytes_of(path)
    with TemporaryDirectory(prefix="model-") as made:
        try:
            told = _decoded_apart(data, Path(made))
        except BadInput as refusal:
            raise BadInput(one.at(one.path, path.name) for one in refusal.complaints) from None
        vertices, faces = (
            np.load(Path(made) / one, allow_pickle=False) for one in (VERTICES, FACES)
        )
    digest = hashlib.sha256(data).hexdigest()
    return ModelFile(path.name, digest, str(told["kind"]), str(told["unit"]), vertices, faces)


def _bytes_of(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if size <= MOST_BYTES:
            return path.read_bytes()
    except OSError as error:
        why = f"not readable ({error.strerror})"
        raise BadInput.one("the model", why, "name a file that is there", file=path.name) from error
    right = f"make it coarser first; {MOST_BYTES // 10**6} MB are taken"
    raise BadInput.one("the model", f"{size / 1e6:.0f} MB long", right, file=path.name)


def _decoded_apart(data: bytes, made: Path) -> dict[str, Any]:
    """Have a model decoded by the process that is made for it, and return what it says of it."""
    # one thread: each maps memory of its own, and nothing here would be quicker
    alone = os.environ | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    try:
        # -P: a file of the folder it is called from is never taken for a module
        done = subprocess.run(  # noqa: S603 - our own module, and a path that is no option
            [sys.executable, "-P", "-m", _CHILD, str(made)],
            input=data,
            capture_output=True,
            timeout=LONGEST_S,
            check=False,
            env=alone,
        )
    except subprocess.TimeoutExpired:
        raise refused(f"not read within {LONGEST_S} s", "make it coarser") from None
    told = _told(done.stdout)
    if "trouble" in told:
        raise NotDoable(told["trouble"])
    if "refused" in told:
        raise BadInput(refused(*one).complaints[0] for one in told["refused"])
    if "kind" not in told:  # it ran into its limits and was ended
        right = f"make it coarser; {MOST_FACES:,} triangles are taken"
        raise refused("more than can be read", right)
    return told


def _told(printed: bytes) -> dict[str, Any]:
    try:
        told = json.loads(printed)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}
