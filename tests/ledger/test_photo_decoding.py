"""Photos: what is in them counts, not their name; where they were taken is not kept."""

import hashlib
import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms, PngImagePlugin
from PIL.ExifTags import GPS, IFD, Base

from pourwright.errors import BadInput
from pourwright.ledger import photo_decoding
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.photo_decoding import take_apart
from pourwright.ledger.photo_files import (
    Photo,
    erase_photo,
    photo_path,
    put_photo,
    read_photo,
    small_path,
)


def picture(size=(60, 40), color=(120, 90, 60), mode="RGB") -> Image.Image:
    return Image.new(mode, size, color)


def saved(image: Image.Image, kind="JPEG", **options) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


def keep_photo(folder, data: bytes) -> Photo:
    return put_photo(folder, take_apart(data))


def everything_kept(folder) -> bytes:
    return b"".join(one.read_bytes() for one in folder.rglob("*") if one.is_file())


def kept(folder, data: bytes) -> Image.Image:
    photo = keep_photo(folder, data)
    image = Image.open(io.BytesIO(read_photo(folder, photo.digest)))
    image.load()
    assert (photo.width, photo.height) == image.size
    return image


def with_exif(**more) -> Image.Exif:
    exif = Image.Exif()
    exif[Base.Make] = "SECRET MAKE"
    exif[Base.Artist] = "SECRET OWNER"
    gps = exif.get_ifd(IFD.GPSInfo)
    gps[GPS.GPSLatitudeRef] = "N"
    gps[GPS.GPSLatitude] = (51.0, 2.0, 3.0)
    for tag, value in more.items():
        exif[getattr(Base, tag)] = value
    return exif


def test_a_photo_is_named_by_the_sha_256_of_its_bytes(tmp_path):
    photo = keep_photo(tmp_path, saved(picture()))
    path = photo_path(tmp_path, photo.digest)

    assert path == tmp_path / photo.digest[:2] / f"{photo.digest}.jpg"
    assert hashlib.sha256(path.read_bytes()).hexdigest() == photo.digest
    assert keep_photo(tmp_path, saved(picture())) == photo
    small = small_path(tmp_path, photo.digest)
    assert {one for one in tmp_path.rglob("*") if one.is_file()} == {path, small}


def test_place_owner_and_camera_are_dropped(tmp_path):
    data = saved(picture(), exif=with_exif(), comment=b"SECRET COMMENT")
    assert b"SECRET" in data
    assert Image.open(io.BytesIO(data)).getexif().get_ifd(IFD.GPSInfo)

    image = kept(tmp_path, data)
    stored = everything_kept(tmp_path)
    assert b"SECRET" not in stored
    assert b"Exif" not in stored
    assert dict(image.getexif()) == {}
    assert "comment" not in image.info


def test_texts_in_a_png_are_dropped(tmp_path):
    told = PngImagePlugin.PngInfo()
    told.add_text("Location", "SECRET PLACE", zip=True)
    told.add_itxt("XML:com.adobe.xmp", "<x>SECRET</x>")
    image = kept(tmp_path, saved(picture(), "PNG", pnginfo=told, exif=with_exif()))

    assert image.format == "JPEG"
    assert "Location" not in image.info
    assert b"SECRET" not in everything_kept(tmp_path)


@pytest.mark.parametrize(("orientation", "size"), [(1, (60, 40)), (6, (40, 60)), (3, (60, 40))])
def test_a_photo_stands_upright_without_its_exif(tmp_path, orientation, size):
    """Exif 2.3, tag 274: 6 means that the right side of the stored picture is its bottom."""
    image = kept(tmp_path, saved(picture(), exif=with_exif(Orientation=orientation)))

    assert image.size == size


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize(("mode", "color"), [("RGB", (120, 90, 60)), ("L", 100)])
def test_every_format_that_is_read_keeps_its_colors(tmp_path, kind, mode, color):
    image = kept(tmp_path, saved(picture(color=color, mode=mode), kind))

    right = color if isinstance(color, tuple) else (color,) * 3
    assert image.mode == "RGB"
    assert all(abs(a - b) <= 4 for a, b in zip(image.getpixel((30, 20)), right, strict=True))


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_what_is_transparent_becomes_white(tmp_path, mode):
    clear = picture(color=(0, 0, 0, 0), mode="RGBA").convert(mode)

    assert min(kept(tmp_path, saved(clear, "PNG")).getpixel((30, 20))) > 250


@pytest.mark.parametrize("mode", ["1", "CMYK"])
def test_other_kinds_of_picture_are_kept(tmp_path, mode):
    kind = "PNG" if mode == "1" else "JPEG"

    assert kept(tmp_path, saved(picture().convert(mode), kind)).mode == "RGB"


def test_sixteen_bits_of_gray_keep_their_gray(tmp_path):
    """PNG specification, 13.12: a sample of 16 bits is scaled to one of 8 by its high byte."""
    middle = saved(Image.new("I;16", (60, 40), 0x6400), "PNG")

    assert all(abs(one - 0x64) <= 3 for one in kept(tmp_path, middle).getpixel((30, 20)))


@pytest.mark.parametrize(
    "profile", [b"no profile", ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()]
)
def test_a_color_profile_is_used_and_dropped(tmp_path, profile):
    image = kept(tmp_path, saved(picture(), icc_profile=profile))

    assert "icc_profile" not in image.info


# --- refused


def png_that_claims(width: int, height: int) -> bytes:
    """Return a PNG of a few bytes that says it is of any size (PNG specification, 11.2.1)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b""))
        + chunk(b"IEND", b"")
    )


JPEG = saved(Image.effect_noise((200, 200), 60).convert("RGB"))
HOSTILE = {
    "nothing": (b"", "JPEG, PNG or WebP"),
    "as a phone keeps it": (b"\0\0\0\x18ftypheic" + bytes(99), "set the phone's camera to JPEG"),
    "text": (b"hello" * 100, "JPEG, PNG or WebP"),
    "a page": (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "JPEG, PNG"),
    "gif": (saved(picture(), "GIF"), "JPEG, PNG or WebP"),
    "tiff": (saved(picture(), "TIFF"), "JPEG, PNG or WebP"),
    "a document": (saved(picture(), "PDF"), "JPEG, PNG or WebP"),
    "postscript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "JPEG, PNG or WebP"),
    "cut off": (JPEG[: len(JPEG) // 2], "take it anew"),
    "only a beginning": (JPEG[:30], "photo is"),
    "51 megapixels": (png_that_claims(5100, 10_000), "50 megapixels"),
    "a bomb": (png_that_claims(60_000, 60_000), "50 megapixels"),
    "between the limits": (png_that_claims(10_000, 10_000), "50 megapixels"),
    "no pixels behind it": (png_that_claims(400, 400), "take it anew"),
    "of no size": (png_that_claims(0, 0), "photo is"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_photo_is_refused_with_a_sentence_and_nothing_is_written(tmp_path, name):
    data, said = HOSTILE[name]

    with pytest.raises(BadInput, match=said):
        keep_photo(tmp_path, data)
    assert list(tmp_path.iterdir()) == []


def test_a_flipped_byte_anywhere_is_refused_or_is_a_picture(tmp_path):
    for at in range(0, len(JPEG), max(1, len(JPEG) // 300)):
        spoiled = bytearray(JPEG)
        spoiled[at] ^= 0xFF
        try:
            keep_photo(tmp_path, bytes(spoiled))
        except BadInput:
            continue


def test_a_photo_of_just_fifty_megapixels_is_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(photo_decoding, "MOST_PIXELS", 2400)
    keep_photo(tmp_path, saved(picture((60, 40))))
    with pytest.raises(BadInput, match="61 by 40 pixels"):
        keep_photo(tmp_path, saved(picture((61, 40))))


def test_a_file_too_long_is_not_even_looked_at(tmp_path):
    with pytest.raises(BadInput, match="61 MB; it may have 60 MB"):
        keep_photo(tmp_path, bytes(61_000_000))


@pytest.mark.parametrize(
    "name", ["../../book", "", "A" * 64, "a" * 63, "a" * 64 + "/", "a" * 64 + "\n"]
)
def test_a_name_from_outside_never_becomes_a_path(tmp_path, name):
    for use in (photo_path, read_photo, erase_photo):
        with pytest.raises(BadInput, match="64 digits"):
            use(tmp_path, name)


# --- erased


def test_an_erased_photo_is_gone_and_the_others_stay(tmp_path):
    one, two = (keep_photo(tmp_path, saved(picture(color=(c, 0, 0)))) for c in (10, 200))

    assert erase_photo(tmp_path, one.digest)
    assert not erase_photo(tmp_path, one.digest)
    assert read_photo(tmp_path, one.digest) is None
    assert read_photo(tmp_path, two.digest) is not None


def test_a_photo_that_was_changed_is_not_shown(tmp_path):
    photo = keep_photo(tmp_path, saved(picture()))
    photo_path(tmp_path, photo.digest).write_bytes(saved(picture(color=(1, 2, 3))))

    with pytest.raises(BadInput, match="its file was changed"):
        read_photo(tmp_path, photo.digest)


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "photos").write_text("a file where the folder should be")

    with pytest.raises(BookTrouble, match="The book is as it was"):
        keep_photo(tmp_path / "photos", saved(picture()))
