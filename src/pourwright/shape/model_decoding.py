"""Models taken apart: the bytes of a file in, corners and triangles out.

Nothing is written here. What a file is called does not matter, only what it holds.
"""

from __future__ import annotations

import io
import logging
import re
import struct
import warnings
import zipfile
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pourwright.errors import BadInput
from pourwright.shape.mesh import FloatArray, IntArray

MOST_BYTES = 200_000_000
"""A model's file may be so long."""

MOST_UNPACKED = 600_000_000
"""And a 3MF, which is packed, so long once it is unpacked. [bytes]"""

MOST_FACES = 1_000_000
"""Triangles that are taken; a scan of more is made coarser before."""

AGAIN = "export it again, or copy the file anew"
KINDS = "STL, OBJ, PLY, 3MF or GLB"


@dataclass(frozen=True, slots=True, eq=False)
class DecodedModel:
    """A model as its file tells it.

    Parameters
    ----------
    vertices : array of float, (n, 3)
        Corners, in the file's own unit.
    faces : array of int, (m, 3)
        Triangles.
    kind : str
        STL, OBJ, PLY, 3MF or GLB.
    unit : str
        The unit that the file states, such as ``"millimeter"``; empty if it states none.
    """

    vertices: FloatArray
    faces: IntArray
    kind: str
    unit: str


def refused(value: str, right: str, hint: str = "") -> BadInput:
    """Return the refusal of a model.

    Parameters
    ----------
    value : str
        What the model is.
    right : str
        What would be right.
    hint : str
        A further sentence.
    """
    return BadInput.one("the model", value, right, hint)


def decode(data: bytes) -> DecodedModel:
    """Take a model apart.

    Parameters
    ----------
    data : bytes
        The file as it came.

    Raises
    ------
    BadInput
        If it is no model that can be read, or too large.
    """
    kind = _kind_of(data)
    unit, vertices, faces = _loaded(data, kind)
    if not len(faces):
        raise refused("without a single triangle", f"export a closed surface as {KINDS}")
    if len(faces) > MOST_FACES:
        raise _too_many(len(faces))
    if not np.isfinite(vertices).all():
        count = int((~np.isfinite(vertices)).any(axis=1).sum())
        raise refused(f"damaged: {count} of its corners lie nowhere", AGAIN)
    if np.abs(vertices).max() > 1e7:
        raise refused(
            "farther than 10 million units from its origin", "move it there, and " + AGAIN
        )
    return DecodedModel(vertices, faces, kind.upper(), unit)


def _too_many(count: int) -> BadInput:
    return refused(
        f"made of {count:,} triangles", f"make it coarser first; {MOST_FACES:,} are taken"
    )


def _loaded(data: bytes, kind: str) -> tuple[str, FloatArray, IntArray]:
    """Return unit, corners and triangles, as the library reads them."""
    import trimesh

    logging.disable()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # told by our own sentences
            scene = trimesh.load_scene(io.BytesIO(data), file_type=kind, process=False)
            mesh = scene.to_mesh()
    except MemoryError as error:
        raise refused(
            "more than can be read", f"make it coarser; {MOST_FACES:,} triangles are taken"
        ) from error
    except Exception as error:  # a foreign file can make its reader stumble in any way
        raise refused(f"damaged, or no {kind.upper()} that can be read", AGAIN) from error
    finally:
        logging.disable(logging.NOTSET)
    vertices = np.ascontiguousarray(mesh.vertices, dtype=np.float64).reshape(-1, 3)
    faces = np.ascontiguousarray(mesh.faces, dtype=np.int64).reshape(-1, 3)
    if faces.size and not (faces.min() >= 0 and faces.max() < len(vertices)):
        raise refused("damaged: triangles name corners that are not there", AGAIN)
    states_unit = kind in ("3mf", "glb")
    return str(scene.units or "") if states_unit else "", vertices, faces


# --- what a file is, by what it holds


def _kind_of(data: bytes) -> str:
    """Return the kind of a file, once its own figures agree with its length."""
    if not data.strip():
        raise refused("an empty file", f"export it again, as {KINDS}")
    if len(data) > MOST_BYTES:
        size = f"{len(data) / 1e6:.0f} MB long"
        raise refused(size, f"make it coarser first; {MOST_BYTES // 10**6} MB are taken")
    for begins, kind, check in _BEGINNINGS:
        if data.startswith(begins):
            check(data)
            return kind
    if _is_text(data) and re.search(rb"^\s*facet\s", data, re.MULTILINE):
        _check_text_stl(data)
        return "stl"
    if _is_text(data) and re.search(rb"^v\s", data, re.MULTILINE):
        _check_obj(data)
        return "obj"
    if len(data) >= 84 and not _is_text(data) and _looks_like_stl(data):
        _check_stl(data)
        return "stl"
    raise refused("of no kind that is known here", f"export it as {KINDS}")


def _is_text(data: bytes) -> bool:
    return b"\0" not in data[:4096]


def _promised(data: bytes) -> int:
    return int(struct.unpack_from("<I", data, 80)[0])


def _looks_like_stl(data: bytes) -> bool:
    """Return whether what would be the first triangle of an STL could be one."""
    if data[:8] == b"\x89PNG\r\n\x1a\n" or data[:3] == b"\xff\xd8\xff" or data[:4] == b"%PDF":
        return False
    if len(data) == 84 + 50 * _promised(data):
        return True
    if len(data) < 134:
        return True
    numbers = np.frombuffer(data[84:132], dtype="<f4")
    with np.errstate(over="ignore"):
        is_plausible = np.isfinite(numbers).all() and (np.abs(numbers) < 1e7).all()
    return bool(is_plausible and np.linalg.norm(numbers[:3].astype(float)) < 1.1)


def _check_stl(data: bytes) -> None:
    promised, there = _promised(data), (len(data) - 84) // 50
    if there < promised:
        raise refused(f"cut short: {there:,} of {promised:,} triangles are there", AGAIN)
    if promised > MOST_FACES:
        raise _too_many(promised)


def _check_text_stl(data: bytes) -> None:
    if not re.search(rb"endsolid[^\n]*\s*$", data[-400:]):
        raise refused("cut short: its last line is missing", AGAIN)
    count = len(re.findall(rb"\bendfacet\b", data))
    if count > MOST_FACES:
        raise _too_many(count)


def _check_obj(data: bytes) -> None:
    count = len(re.findall(rb"^f\s", data, re.MULTILINE))
    if count > MOST_FACES:
        raise _too_many(count)
    if not count:
        raise refused("points without a surface", f"export a closed surface as {KINDS}")


def _check_ply(data: bytes) -> None:
    head, ended, body = data.partition(b"end_header")
    counts = {
        name: int(many) for name, many in re.findall(rb"element\s+(\w+)\s+(\d{1,18})\b", head)
    }
    if not ended or b"vertex" not in counts:
        raise refused("cut short: its list of contents does not end", AGAIN)
    if not counts.get(b"face"):
        raise refused("points without a surface", f"export a closed surface as {KINDS}")
    if counts[b"face"] > MOST_FACES or counts[b"vertex"] > 4 * MOST_FACES:
        raise _too_many(counts[b"face"])
    elements = counts[b"vertex"] + counts[b"face"]
    is_text = re.search(rb"format\s+ascii", head) is not None
    # as text a line each, and in bytes no corner and no triangle has less than six
    if (body.count(b"\n") if is_text else len(body) // 6) < elements:
        raise refused("cut short: it promises more than is there", AGAIN)


def _check_glb(data: bytes) -> None:
    if len(data) < 12 or struct.unpack_from("<I", data, 8)[0] > len(data):
        raise refused("cut short", AGAIN)


def _check_3mf(data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            inside = packed.infolist()
    except (zipfile.BadZipFile, ValueError, OSError) as error:
        raise refused("cut short or damaged: it cannot be unpacked", AGAIN) from error
    if not any(one.filename.lower().endswith(".model") for one in inside):
        raise refused("a packed file without a model in it", f"export it as {KINDS}")
    if sum(one.file_size for one in inside) > MOST_UNPACKED or len(inside) > 1000:
        most = f"{MOST_UNPACKED // 10**6} MB are taken"
        raise refused("more than can be read once it is unpacked", f"make it coarser; {most}")
    if any(one.flag_bits & 1 for one in inside):
        raise refused("locked by a password", "export it without one")


_BEGINNINGS: tuple[tuple[bytes, str, Callable[[bytes], None]], ...] = (
    (b"ply", "ply", _check_ply),
    (b"PK\x03\x04", "3mf", _check_3mf),
    (b"glTF", "glb", _check_glb),
)
