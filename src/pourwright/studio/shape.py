"""The shape that an edition's brief names: what it tells, its pictures, and what is missing or stale."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from datetime import date
from hashlib import file_digest, sha256
from pathlib import Path

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.shape_file import read_shape
from pourwright.shape.records import MOST_VIEWED, Shape, Written

THREE_SIDES, OPENED, MODEL = "three-sides.png", "opened.png", "model.bin"
"""What the pictures are called in an address, whatever their files are."""

MOST_BYTES = 5_000_000
"""A picture or a model with more is none that the command wrote."""
MOST_MODEL_BYTES = 200_000_000
_PNG = b"\x89PNG\r\n\x1a\n"


@dataclass(frozen=True, slots=True)
class ShapeHere:
    """What the page of a shape tells.

    Parameters
    ----------
    shape : Shape or None
        What the command told; None where the brief names none, or none that can be read.
    pictures : dict of str to bytes
        Those that are there as they were written, by what they are called in an address.
    faults : tuple of str
        What is missing or stale, each a sentence.
    command : str
        What makes the mold, or makes it again, in the studio's folder; empty without a brief.
    line : str
        What the brief says of it, or would say.
    """

    shape: Shape | None
    pictures: dict[str, bytes]
    faults: tuple[str, ...]
    command: str
    line: str


def shape_here(folder: Path, edition: str, today: date) -> ShapeHere:
    """Return the shape of an edition.

    Parameters
    ----------
    folder : Path
        The studio's.
    edition : str
        The edition's id.
    today : date
        The day it is.
    """
    here = brief_here(folder, edition, today)
    if here is None:
        none = "No brief of this edition lies in the studio's folder, so no shape is named."
        return ShapeHere(None, {}, (none,), "", "")
    beside = here.path.parent
    made = f"{edition}-mold"
    none_yet = ShapeHere(
        None,
        {},
        (here.fault,) if here.brief is None else (),
        _command(f"{edition}.stl", _seen_from(folder, beside / made)),
        f'shape = "{made}/{edition}-shape.json"',
    )
    name = here.brief.mold.shape if here.brief else None
    if name is None:
        return none_yet
    file = _shape_file(here)
    if file is None:
        out = f'The shape "{name}" leads out of the folder of {here.path.name}; move it beside the brief, so that its page may show it.'
        return ShapeHere(None, {}, (out,), none_yet.command, none_yet.line)
    shape = read_shape(file)
    if shape is None:
        gone = f'The shape "{name}" cannot be read any more.'
        return ShapeHere(None, {}, (gone,), none_yet.command, f'shape = "{name}"')
    pictures, faults = _pictures(shape, file)
    model = _model_beside(shape, file)
    if model is not None and _is_other(model, shape.look.sha256):
        faults.insert(0, f"{model.name} is no longer the model that this mold was made of.")
    told = shape.look.file if model is None else _seen_from(folder, model)
    command = _command(told, _seen_from(folder, file.parent))
    return ShapeHere(shape, pictures, tuple(faults), command, f'shape = "{name}"')


def shape_picture(folder: Path, edition: str, today: date, name: str) -> bytes | None:
    """Return a picture of an edition's shape, None if it is not there as it was written.

    Parameters
    ----------
    folder, edition, today
        As for :func:`shape_here`.
    name : str
        What it is called in an address.
    """
    here = brief_here(folder, edition, today)
    file = _shape_file(here) if here else None
    shape = read_shape(file) if file else None
    return _pictures(shape, file)[0].get(name) if shape and file else None


def _shape_file(here: BriefHere) -> Path | None:
    """Return the file that a brief names, None if it names none or one outside its own folder."""
    name = here.brief.mold.shape if here.brief else None
    if name is None:
        return None
    beside = here.path.parent.resolve()
    file = (beside / name).resolve()
    return file if file.is_relative_to(beside) else None


def _command(model: str, mold: str) -> str:
    return f"pourwright shape {shlex.quote(model)} --mold {shlex.quote(mold)}"


def _seen_from(folder: Path, path: Path) -> str:
    """Return a path as it is typed in the studio's folder."""
    whole, root = path.resolve(), folder.resolve()
    return (whole.relative_to(root) if whole.is_relative_to(root) else whole).as_posix()


def _pictures(shape: Shape, file: Path) -> tuple[dict[str, bytes], list[str]]:
    """Return the pictures that are there as they were written, and what is wrong with the others."""
    view = shape.view
    if view is None or shape.mold is None:
        return {}, [f"{file.name} was written without the model that turns here."]
    found, faults = {}, []
    for name, written in (
        (THREE_SIDES, view.three_sides),
        (OPENED, view.opened),
        (MODEL, view.model),
    ):
        data = _as_written(file.parent, written)
        if data is None:
            faults.append(
                f"{written.name} is missing beside {file.name}, or is no longer what was written with it."
            )
        elif name == MODEL and not _is_model(data, view.bodies, len(shape.mold.parts)):
            faults.append(f"{written.name} cannot be drawn: it is not what {file.name} says.")
        elif name == MODEL or data.startswith(_PNG):
            found[name] = data
    return found, faults


def _as_written(folder: Path, written: Written) -> bytes | None:
    """Return a file's bytes if they are those that were written; its name may lead nowhere else."""
    path = folder / written.name
    if Path(written.name).name != written.name or path.resolve().parent != folder:
        return None
    try:
        if not path.is_file() or path.stat().st_size > MOST_BYTES:
            return None
        data = path.read_bytes()
    except OSError:
        return None
    return data if sha256(data).hexdigest() == written.sha256 else None


def _is_model(data: bytes, bodies: tuple[tuple[int, int], ...], parts: int) -> bool:
    """Whether a model has the length of its bodies, and no more triangles than are drawn."""
    are_counts = all(corners >= 0 and triangles >= 0 for corners, triangles in bodies)
    length = sum(12 * corners + 16 * triangles for corners, triangles in bodies)
    triangles = sum(triangles for _, triangles in bodies)
    is_whole = len(bodies) == 1 + parts and length == len(data)
    return are_counts and is_whole and triangles <= MOST_VIEWED


def _model_beside(shape: Shape, file: Path) -> Path | None:
    """Return the model that a mold was made of, if it lies in the mold's folder or above it."""
    name = shape.look.file
    if Path(name).name != name:
        return None
    places = (file.parent.parent / name, file.parent / name)
    return next((one for one in places if one.is_file()), None)


def _is_other(path: Path, digest: str) -> bool:
    if path.stat().st_size > MOST_MODEL_BYTES:
        return True
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest() != digest
