"""Files that mean harm, sent where a photo is awaited; each is made when it is asked for."""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from functools import partial
from pathlib import Path

from PIL import Image, ImageCms

from pourwright.ledger.photo_files import Photo, put_photo
from pourwright.studio.photos import PHOTOS, decoded_photo
from tests.ledger.test_photo_decoding import HOSTILE as AT_THE_LEDGER
from tests.ledger.test_photo_decoding import png_that_claims, saved

NOISE = Image.effect_noise((300, 200), 70).convert("RGB")
GOOD = saved(NOISE)
SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def take_photo(folder: Path, data: bytes) -> Photo:
    """Decode a photo and keep its file; no entry names it."""
    return put_photo(folder / PHOTOS, decoded_photo(data))


def chunk(kind: bytes, data: bytes) -> bytes:
    """Return a chunk of a PNG (PNG specification, 5.3)."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width, height, *chunks, depth=8, color=2, rows=b"") -> bytes:
    header = struct.pack(">IIBBBBB", width, height, depth, color, 0, 0, 0)
    middle = b"".join(chunk(kind, data) for kind, data in chunks)
    image = chunk(b"IDAT", zlib.compress(rows))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + middle + image + chunk(b"IEND", b"")


def riff(kind: bytes, data: bytes, length=None) -> bytes:
    """Return a WebP (RIFF, RFC 9649) that may lie about how long it is."""
    inner = b"WEBP" + kind + struct.pack("<I", len(data)) + data
    return b"RIFF" + struct.pack("<I", len(inner) if length is None else length) + inner


def tiff_exif(offset: int, count: int) -> bytes:
    entry = struct.pack("<HHII", 0x010F, 2, count, offset)
    return b"Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00" + entry + b"\x00\x00\x00\x00"


def with_segment(jpeg: bytes, marker: int, data: bytes) -> bytes:
    return jpeg[:2] + bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data + jpeg[2:]


def zipped(name: str, size: int) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, bytes(size))
    return buffer.getvalue()


def animated(kind: str, frames: int) -> bytes:
    first, *rest = (Image.new("L", (8, 8), n % 256) for n in range(frames))
    return saved(first, kind, save_all=True, append_images=rest)


def many_scans(more: int) -> bytes:
    """Return a JPEG of 24 megapixels that refines its last scan again and again (ITU-T T.81, G.1)."""
    whole = saved(Image.new("RGB", (6000, 4000), (9, 80, 40)), progressive=True, quality=50)
    last = whole.rfind(b"\xff\xda")
    before = whole.rfind(b"\xff\xda", 0, last)
    table = whole.rfind(b"\xff\xc4", before, last)
    scan = whole[table if table > 0 else last : -2]
    return whole[:-2] + scan * more + whole[-2:]


def bomb() -> bytes:
    """Return 60 MB that are packed into a few kB."""
    return zlib.compress(bytes(60_000_000), 9)


ROW = b"\x00" + b"\x55" * 300
BAD: dict[str, Callable[[], bytes]] = {
    **{name: partial(bytes, data) for name, (data, _) in AT_THE_LEDGER.items()},
    "65535 by 65535": lambda: png_that_claims(65_535, 65_535),
    "two thousand million wide": lambda: png_that_claims(2**31 - 1, 1),
    "negative size": lambda: png_that_claims(2**32 - 1, 2**32 - 1),
    "a chunk that claims 2 GB": lambda: b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 2**31 - 1) + b"IHDR" + b"\0" * 40,
    "no header chunk": lambda: b"\x89PNG\r\n\x1a\n" + chunk(b"IEND", b""),
    "webp cut off": lambda: saved(NOISE, "WEBP")[:200],
    "webp that lies": lambda: riff(b"VP8X", bytes(10), length=2**32 - 1),
    "webp of 16384 by 16384": lambda: riff(b"VP8X", b"\x00\0\0\0" + b"\xff\x3f\x00" + b"\xff\x3f\x00"),
    "an archive called a photo": lambda: zipped("a.jpg", 50_000_000),
    "a program": lambda: b"\x7fELF" + bytes(5000),
    "a script": lambda: b"#!/bin/sh\nrm -rf /\n",
    "a page called a photo": lambda: b"<!doctype html><script>alert(1)</script>" * 50,
    "a drawing that asks for files": lambda: b"<?xml version='1.0'?><!DOCTYPE s [<!ENTITY a SYSTEM 'file:///etc/passwd'>]><svg>&a;</svg>",
    "an icon": lambda: saved(NOISE, "ICO"),
    "a bitmap": lambda: saved(NOISE, "BMP"),
    "jpeg with a huge size": lambda: GOOD.replace(struct.pack(">HH", 200, 300), struct.pack(">HH", 65_535, 65_535), 1),
    "jpeg header alone": lambda: GOOD[:2] + GOOD[-2:],
    "zeros": lambda: bytes(100_000),
    "a thousand scans": lambda: many_scans(1000),
    "a film": lambda: struct.pack(">I", 24) + b"ftypheic" + bytes(12) + b"mdat" * 500,
}  # fmt: skip
"""What is no photo, or too much of one."""

FINE: dict[str, Callable[[], bytes]] = {
    "a page behind it": lambda: GOOD + b"<script>alert(1)</script>SECRET",
    "an archive behind it": lambda: GOOD + zipped("SECRET.txt", 10_000),
    "exif that points far away": lambda: with_segment(GOOD, 0xE1, tiff_exif(2**31, 2**30)),
    "exif that goes round": lambda: with_segment(GOOD, 0xE1, tiff_exif(8, 8)),
    "a comment of 60 kB": lambda: with_segment(GOOD, 0xFE, b"SECRET" * 10_000),
    "a text that unpacks to 60 MB": lambda: png(100, 100, (b"zTXt", b"SECRET\0\0" + bomb()), rows=ROW * 100),
    "a profile that unpacks to 60 MB": lambda: png(100, 100, (b"iCCP", b"SECRET\0\0" + bomb()), rows=ROW * 100),
    "rows that unpack to 60 MB": lambda: png(100, 100, rows=bytes(60_000_000)),
    "sixteen bits": lambda: png(10, 10, depth=16, rows=(b"\0" + b"\x12\x34" * 30) * 10),
    "gray with alpha": lambda: saved(NOISE.convert("LA"), "PNG"),
    "a palette": lambda: saved(NOISE.convert("P"), "PNG"),
    "four inks": lambda: saved(NOISE.convert("CMYK")),
    "a thousand frames": lambda: animated("PNG", 1000),
    "three hundred frames": lambda: animated("WEBP", 300),
    "of one pixel": lambda: saved(Image.new("RGB", (1, 1))),
    "very narrow": lambda: saved(Image.new("RGB", (60_000, 1))),
}  # fmt: skip
"""Odd pictures, which may be kept if nothing is left of what is odd."""
