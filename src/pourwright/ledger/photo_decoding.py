"""Photos taken apart: decoded and encoded anew, without where they were taken.

Nothing a camera wrote beside the picture is left: place, time, owner, preview. Nothing is
written here; photo_files.py puts what comes of it into its place.
"""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from pourwright.errors import BadInput
from pourwright.ledger.photo_files import SMALLER, Decoded

MOST_PIXELS = 50_000_000
"""A photo may have so many."""

MOST_BYTES = 60_000_000
"""And be so long as a file."""

MOST_WEBP_PIXELS = 24_000_000
"""A WebP may have so many: its decoder holds four pictures at once."""

KEPT_PIXELS = 24_000_000
"""A photo of more is kept at half its width and height, which no screen here shows whole."""

FORMATS = ("JPEG", "PNG", "WEBP")
"""What is read, whatever a file is called."""

QUALITY = 88
SMALL_PX = 480
"""The longer side of the small picture beside each. [pixels]"""


def take_apart(data: bytes) -> Decoded:
    """Take a photo apart; what it is called does not matter, only what it holds.

    Parameters
    ----------
    data : bytes
        The file as it came.

    Returns
    -------
    Decoded
        Encoded anew, with a small picture for lists; nothing is written.

    Raises
    ------
    BadInput
        If it is no photo that can be read, or too large.
    """
    if len(data) > MOST_BYTES:
        raise _refused(f"{len(data) / 1e6:.0f} MB", f"it may have {MOST_BYTES // 10**6} MB")
    picture = _decoded(data)
    width, height = picture.size
    whole = _encoded(picture, optimize=True)
    picture.thumbnail((SMALL_PX, SMALL_PX))
    return Decoded(whole, _encoded(picture), width, height)


def _encoded(picture: Image.Image, *, optimize: bool = False) -> bytes:
    """Return a picture as a JPEG."""
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=QUALITY, optimize=optimize)
    return buffer.getvalue()


def _decoded(data: bytes) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a camera's odd metadata, which is dropped anyway
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                _look_at_size(opened)
                return _plain(_loaded(opened))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise _refused("very large", f"it may have {MOST_PIXELS // 10**6} megapixels") from error
    except UnidentifiedImageError as error:
        raise _no_picture(data) from error
    except BadInput:
        raise
    except MemoryError as error:
        raise _refused("more than can be read", SMALLER) from error
    except (OSError, ValueError, SyntaxError, ArithmeticError) as error:
        raise _refused("damaged", "send it again, or take it anew") from error


def _look_at_size(opened: Image.Image) -> None:
    """Refuse a picture by what its header says, before any of it is decoded."""
    is_webp = opened.format == "WEBP"
    most, kind = (MOST_WEBP_PIXELS, " as WebP") if is_webp else (MOST_PIXELS, "")
    width, height = opened.size
    if width * height > most:
        right = f"it may have {most // 10**6} megapixels{kind}"
        raise _refused(f"{width} by {height} pixels", right)


def _no_picture(data: bytes) -> BadInput:
    if data[4:8] == b"ftyp":  # ISO 14496-12: what phones keep unless they are told otherwise
        right = "set the phone's camera to JPEG, or take the photo from the studio's page"
        return _refused("HEIC, AVIF or a film, which is not read", right)
    return _refused("not a picture", "send a photo as JPEG, PNG or WebP")


def _loaded(opened: Image.Image) -> Image.Image:
    """Return a picture decoded, at half its width and height if it is very large."""
    width, height = opened.size
    is_large = width * height > KEPT_PIXELS
    if is_large:  # a JPEG is halved while it is decoded, which saves most of the memory
        opened.draft(None, (width // 2, height // 2))
    opened.load()
    eight = _in_eight_bits(opened)
    if not is_large or opened.size != (width, height):
        return eight
    if eight.mode in ("1", "P"):
        eight = eight.convert("RGBA" if eight.has_transparency_data else "RGB")
    return eight.reduce(2)


def _in_eight_bits(opened: Image.Image) -> Image.Image:
    if not opened.mode.startswith("I"):
        return opened
    # sixteen bits of gray, which convert() would clip to white
    return opened.convert("I").point(lambda value: value * (1 / 256)).convert("L")


def _plain(opened: Image.Image) -> Image.Image:
    """Return the picture upright, in sRGB, on white, and nothing beside it."""
    ImageOps.exif_transpose(opened, in_place=True)
    colors = _in_srgb(opened)
    if colors.has_transparency_data:
        layer = colors.convert("RGBA")
        colors = Image.new("RGB", layer.size, "white")
        colors.paste(layer, mask=layer.getchannel("A"))
    bare = Image.new("RGB", colors.size)
    bare.paste(colors if colors.mode == "RGB" else colors.convert("RGB"))
    return bare


def _in_srgb(picture: Image.Image) -> Image.Image:
    profile = picture.info.get("icc_profile")
    if not profile or picture.mode != "RGB":
        return picture
    try:
        theirs = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        ours = ImageCms.createProfile("sRGB")
        return ImageCms.profileToProfile(picture, theirs, ours) or picture
    except (ImageCms.PyCMSError, OSError):  # a broken profile: the colors as they are
        return picture


def _refused(value: str, right: str) -> BadInput:
    return BadInput.one("photo", value, right)
