"""Photos from outside: what hurts is refused in a process of its own, and nothing is left of it."""

import html
import io
import os
import struct
import subprocess
import sys
import time
import zipfile
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageCms

from pourwright.cli.main import run
from pourwright.errors import BadInput, NotDoable
from pourwright.studio import photo_child, photos
from pourwright.studio.photos import photos_of, take_photo
from pourwright.web.app import BODY_MOST
from tests.ledger.test_photo_decoding import HOSTILE as AT_THE_LEDGER
from tests.ledger.test_photo_decoding import png_that_claims, saved, with_exif
from tests.web.bench_fixtures import bench as bench
from tests.web.sample import opened, plain

PROCESSOR_S = 5.0
ADD = "/photos/add"
BESIDE = {"edition": "reed-bowl", "about": "M-001", "back": "/shelf/M-001", "id": "p-1"}


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


NOISE = Image.effect_noise((300, 200), 70).convert("RGB")
GOOD = saved(NOISE)
ROW = b"\x00" + b"\x55" * 300
BOMB = zlib.compress(bytes(60_000_000), 9)
BAD = {name: data for name, (data, _) in AT_THE_LEDGER.items()} | {
    "65535 by 65535": png_that_claims(65_535, 65_535),
    "two thousand million wide": png_that_claims(2**31 - 1, 1),
    "negative size": png_that_claims(2**32 - 1, 2**32 - 1),
    "a chunk that claims 2 GB": b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 2**31 - 1) + b"IHDR" + b"\0" * 40,
    "no header chunk": b"\x89PNG\r\n\x1a\n" + chunk(b"IEND", b""),
    "webp cut off": saved(NOISE, "WEBP")[:200],
    "webp that lies": riff(b"VP8X", bytes(10), length=2**32 - 1),
    "webp of 16384 by 16384": riff(b"VP8X", b"\x00\0\0\0" + b"\xff\x3f\x00" + b"\xff\x3f\x00"),
    "an archive called a photo": zipped("a.jpg", 50_000_000),
    "a program": b"\x7fELF" + bytes(5000),
    "a script": b"#!/bin/sh\nrm -rf /\n",
    "a page called a photo": b"<!doctype html><script>alert(1)</script>" * 50,
    "a drawing that asks for files": b"<?xml version='1.0'?><!DOCTYPE s [<!ENTITY a SYSTEM 'file:///etc/passwd'>]><svg>&a;</svg>",
    "an icon": saved(NOISE, "ICO"),
    "a bitmap": saved(NOISE, "BMP"),
    "jpeg with a huge size": GOOD.replace(struct.pack(">HH", 200, 300), struct.pack(">HH", 65_535, 65_535), 1),
    "jpeg header alone": GOOD[:2] + GOOD[-2:],
    "zeros": bytes(100_000),
    "a thousand scans": many_scans(1000),
    "a film": struct.pack(">I", 24) + b"ftypheic" + bytes(12) + b"mdat" * 500,
}  # fmt: skip
FINE = {
    "a page behind it": GOOD + b"<script>alert(1)</script>SECRET",
    "an archive behind it": GOOD + zipped("SECRET.txt", 10_000),
    "exif that points far away": with_segment(GOOD, 0xE1, tiff_exif(2**31, 2**30)),
    "exif that goes round": with_segment(GOOD, 0xE1, tiff_exif(8, 8)),
    "a comment of 60 kB": with_segment(GOOD, 0xFE, b"SECRET" * 10_000),
    "a text that unpacks to 60 MB": png(100, 100, (b"zTXt", b"SECRET\0\0" + BOMB), rows=ROW * 100),
    "a profile that unpacks to 60 MB": png(100, 100, (b"iCCP", b"SECRET\0\0" + BOMB), rows=ROW * 100),
    "rows that unpack to 60 MB": png(100, 100, rows=bytes(60_000_000)),
    "sixteen bits": png(10, 10, depth=16, rows=(b"\0" + b"\x12\x34" * 30) * 10),
    "gray with alpha": saved(NOISE.convert("LA"), "PNG"),
    "a palette": saved(NOISE.convert("P"), "PNG"),
    "four inks": saved(NOISE.convert("CMYK")),
    "a thousand frames": animated("PNG", 1000),
    "three hundred frames": animated("WEBP", 300),
    "of one pixel": saved(Image.new("RGB", (1, 1))),
    "very narrow": saved(Image.new("RGB", (60_000, 1))),
}  # fmt: skip


def test_there_are_at_least_forty_files_that_mean_harm():
    assert len(BAD) + len(FINE) >= 40


def children_s() -> float:
    """Return the processor time that children have taken, whoever else uses the machine. [s]"""
    found = os.times()
    return found.children_user + found.children_system


@pytest.fixture(autouse=True)
def patience(monkeypatch):
    """Let a busy machine take its time: what is tried here is the limit of processor time."""
    monkeypatch.setattr(photos, "LONGEST_S", 120)


def left(folder: Path) -> list[Path]:
    return [one for one in (folder / "photos").rglob("*") if one.is_file()]


@pytest.fixture(scope="module")
def harmed(tmp_path_factory):
    """Yield a browser on a studio to which all that means harm is sent, one after the other."""
    found = opened(tmp_path_factory.mktemp("harmed") / "studio")
    yield found
    found.app.state.desk.close()


def send(browser, data):
    """Send a photo by the form of a mold of the sample, and return the answer and its cost. [s]"""
    told = {"edition": "fern-jug", "about": "M-004", "back": "/shelf/M-004"}
    began = children_s()
    answer = browser.post(ADD, told, files={"photo": ("photo.jpg", data, "image/jpeg")})
    return answer, children_s() - began


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_photo_is_refused_with_a_sentence_and_leaves_nothing(name, harmed):
    answer, took_s = send(harmed, BAD[name])

    assert answer.status_code == 422
    assert took_s < PROCESSOR_S
    assert 'href="#f-photo"' in answer.text, plain(answer.text)[:600]
    assert left(harmed.app.state.desk.folder) == []
    assert harmed.entries("photo-kept") == []


@pytest.mark.parametrize("name", ["nothing", "gif", "cut off", "a bomb", "zeros"])
def test_the_command_refuses_it_in_the_same_sentence(name, harmed, tmp_path, capsys):
    (tmp_path / "sent.jpg").write_bytes(BAD[name])
    command = ["book", "keep-photo", str(tmp_path / "sent.jpg"), "--folder", str(tmp_path)]

    assert run(command) == 2
    told = " ".join(capsys.readouterr().err.split()).removeprefix("photo ").rstrip(".")
    assert told
    assert told in html.unescape(plain(send(harmed, BAD[name])[0].text))
    assert left(tmp_path) == []


@pytest.mark.parametrize("name", FINE)
def test_an_odd_picture_is_kept_as_a_plain_one_or_refused(name, harmed):
    folder = harmed.app.state.desk.folder
    before = left(folder)
    answer, took_s = send(harmed, FINE[name])
    new = [one for one in left(folder) if one not in before]

    assert answer.status_code in (303, 422)
    assert took_s < PROCESSOR_S
    assert (len(new) == 2) == (answer.status_code == 303)
    for one in new:
        assert b"SECRET" not in one.read_bytes()
        assert b"script" not in one.read_bytes()
        with Image.open(one) as picture:
            assert picture.format == "JPEG"


def test_most_odd_pictures_are_kept(tmp_path):
    """The list above would hold for a program that refuses all: these must be kept."""
    for name in ("a page behind it", "gray with alpha", "a palette", "four inks", "sixteen bits", "of one pixel"):  # fmt: skip
        assert take_photo(tmp_path, FINE[name]).digest


NAMES = [
    "../../studio.toml", "..\\..\\book.db", "/etc/passwd", "C:\\book.db", "CON", "NUL.jpg", "a" * 300,
    "\u202egpj.exe", "photo\r\nX-Header: 1.jpg", "%2e%2e%2fbook.db", ".", "",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_what_a_photo_is_called_is_never_looked_at(name, bench, tmp_path):
    before = {one for one in tmp_path.rglob("*") if one.is_file() and "photos" not in one.parts}
    answer = bench.post(ADD, BESIDE, files={"photo": (name, GOOD, "text/html")})

    if name:  # a field without a file's name is no file
        assert answer.status_code == 303
        (entry,) = bench.entries("photo-kept")
        stem = entry["digest"]
        assert sorted(one.name for one in left(tmp_path)) == [f"{stem}-small.jpg", f"{stem}.jpg"]
    else:
        assert answer.status_code == 422
    after = {one for one in tmp_path.rglob("*") if one.is_file() and "photos" not in one.parts}
    assert {one for one in after - before if not one.name.startswith("book.db")} == set()


def test_no_file_an_empty_one_and_two_are_refused(bench):
    two = [("photo", ("a.jpg", GOOD, "image/jpeg")), ("photo", ("b.jpg", GOOD, "image/jpeg"))]

    assert "choose a photo" in bench.post(ADD, BESIDE).text
    assert bench.post(ADD, BESIDE, files={"photo": ("a.jpg", b"", "image/jpeg")}).status_code == 422
    assert "send one photo at a time" in bench.post(ADD, BESIDE, files=two).text
    assert "choose a photo" in bench.post(ADD, BESIDE | {"photo": "as text"}).text


@pytest.mark.parametrize("declared", [True, False])
def test_a_body_that_is_too_long_is_turned_away_in_our_words(declared, bench):
    def body():
        yield b"--x\r\nContent-Disposition: form-data; name=photo; filename=a.jpg\r\n\r\n"
        for _ in range(24):
            yield bytes(1_000_000)
        yield b"\r\n--x--\r\n"

    async def in_pieces():
        for one in body():
            yield one

    content = b"".join(body()) if declared else in_pieces()
    answer = bench.post(ADD, content=content, headers={"content-type": "multipart/form-data; boundary=x"})  # fmt: skip

    assert answer.status_code == 413
    assert "A photo or a file must be smaller" in answer.text


def test_a_photo_longer_than_a_form_is_still_taken(bench):
    big = saved(Image.effect_noise((1400, 1400), 90).convert("RGB"), quality=98)
    assert len(big) > BODY_MOST

    assert bench.post(ADD, BESIDE, files={"photo": ("a.jpg", big, "image/jpeg")}).status_code == 303


def test_a_photo_is_shown_small_and_whole_and_goes_when_it_is_erased(bench, tmp_path):
    sent = saved(NOISE.resize((1200, 800)), exif=with_exif())
    assert (
        bench.post(ADD, BESIDE, files={"photo": ("a.jpg", sent, "image/jpeg")}).status_code == 303
    )
    (entry,) = bench.entries("photo-kept")
    page = bench.get("/shelf/M-001").text
    to = f"/photos/reed-bowl/{entry['digest']}.jpg"
    whole, small = bench.get(to), bench.get(to + "?small=1")

    assert f'src="{to}?small=1" alt="M-001, ' in page
    assert whole.headers["content-type"] == small.headers["content-type"] == "image/jpeg"
    assert whole.headers["x-content-type-options"] == "nosniff"
    assert Image.open(io.BytesIO(whole.content)).size == (1200, 800)
    assert max(Image.open(io.BytesIO(small.content)).size) == 480
    assert b"Exif" not in whole.content
    assert bench.get(f"/photos/studio/{entry['digest']}.jpg").status_code == 404

    bench.do("erase-photo", edition="reed-bowl", digest=entry["digest"])
    assert bench.get(to).status_code == 404
    assert left(tmp_path) == []
    assert to not in bench.get("/shelf/M-001").text


def test_a_photo_of_every_kind_of_thing_stands_on_its_page(bench):
    bench.do("mix-lot", what="slip", name="stoneware")
    for n, (about, edition, to) in enumerate(
        (("M-002", "reed-bowl", "/shelf/M-002"), ("S-001", "", "/lots/S-001"), ("entry 2", "reed-bowl", "/records/2"))
    ):  # fmt: skip
        told = {"about": about, "edition": edition, "back": to, "id": f"p-{n}"}
        data = saved(Image.new("RGB", (50, 50), (n * 50, 0, 0)))
        link = bench.get(to).text
        assert "/photos/add?" in html.unescape(link)
        answer = bench.post(ADD, told, files={"photo": ("a.jpg", data, "image/jpeg")})
        assert answer.headers["location"].startswith(to)
        assert f'alt="{about}, ' in bench.get(to).text


def test_a_photo_that_is_sent_twice_is_written_once_and_a_refused_one_leaves_nothing(
    bench, tmp_path
):
    for _ in range(2):
        file = {"photo": ("a.jpg", GOOD, "image/jpeg")}
        assert bench.post(ADD, BESIDE, files=file).status_code == 303
    assert len(bench.entries("photo-kept")) == 1

    other = {"photo": ("a.jpg", saved(NOISE.rotate(90)), "image/jpeg")}
    answer = bench.post(ADD, BESIDE | {"id": "p-2", "edition": "no-such-edition"}, files=other)
    assert answer.status_code == 422
    assert len(left(tmp_path)) == 2


def test_the_command_keeps_the_same_photo_that_the_page_keeps(bench, tmp_path, capsys):
    bench.post(ADD, BESIDE, files={"photo": ("a.jpg", GOOD, "image/jpeg")})
    (tmp_path / "lid.jpg").write_bytes(GOOD)
    told = ["--about", "S-001", "--folder", str(tmp_path)]
    status = run(["book", "keep-photo", str(tmp_path / "lid.jpg"), *told])

    assert status == 0
    assert capsys.readouterr().out == "Photo kept of S-001.\n"
    digests = {one["digest"] for one in bench.entries("photo-kept")}
    assert len(bench.entries("photo-kept")) == 2
    assert len(digests) == 1


def segments(jpeg: bytes) -> dict[str, list[bytes]]:
    """Return what a JPEG holds before its picture, by marker (ITU-T T.81, annex B), without Pillow."""
    assert jpeg[:2] == b"\xff\xd8"
    found: dict[str, list[bytes]] = {}
    at = 2
    while jpeg[at : at + 2] != b"\xff\xda":
        assert jpeg[at] == 0xFF
        (length,) = struct.unpack(">H", jpeg[at + 2 : at + 4])
        found.setdefault(f"{jpeg[at + 1]:02X}", []).append(jpeg[at + 4 : at + 2 + length])
        at += 2 + length
    return found


def places_told(segment: bytes) -> list[int]:
    """Return the tags of an Exif segment's first directory (TIFF 6.0, section 2)."""
    tiff = segment.removeprefix(b"Exif\0\0")
    order = {b"II": "<", b"MM": ">"}[tiff[:2]]
    (start,) = struct.unpack(order + "I", tiff[4:8])
    (count,) = struct.unpack(order + "H", tiff[start : start + 2])
    first = start + 2
    return [
        struct.unpack(order + "H", tiff[first + 12 * n : first + 12 * n + 2])[0]
        for n in range(count)
    ]


GPS_TAG = 0x8825


def test_a_stored_photo_holds_no_exif_as_another_reader_sees_it(tmp_path):
    sent = saved(NOISE, exif=with_exif(), comment=b"by me", icc_profile=SRGB)
    take_photo(tmp_path, sent)
    before = segments(sent)

    assert GPS_TAG in places_told(before["E1"][0])  # the reader finds a place where there is one
    assert before["FE"] == [b"by me"]
    for one in left(tmp_path):
        # JFIF, quantizers, frame, Huffman tables: no other APPn, no comment
        assert set(segments(one.read_bytes())) <= {"E0", "DB", "C0", "C4"}
        assert one.read_bytes().endswith(b"\xff\xd9")


def test_what_one_edition_erases_stays_where_another_names_it(bench, tmp_path):
    bench.post(ADD, BESIDE, files={"photo": ("a.jpg", GOOD, "image/jpeg")})
    other = {"about": "S-001", "back": "/", "id": "p-2"}
    bench.post(ADD, other, files={"camera": ("a.jpg", GOOD, "image/jpeg")})
    digest = bench.entries("photo-kept")[0]["digest"]

    bench.do("erase-photo", edition="reed-bowl", digest=digest)
    assert bench.get(f"/photos/reed-bowl/{digest}.jpg").status_code == 404
    assert bench.get(f"/photos/studio/{digest}.jpg").status_code == 200
    with bench.app.state.desk.book.reading() as reading:
        found = photos_of(reading.things, "studio", "S-001", zone="UTC")
    assert [one.digest for one in found] == [digest]
    bench.do("erase-photo", digest=digest)
    assert bench.get(f"/photos/studio/{digest}.jpg").status_code == 404
    assert left(tmp_path) == []


def test_one_from_the_camera_and_one_from_a_file_are_two(bench):
    two = {"camera": ("a.jpg", GOOD, "image/jpeg"), "photo": ("b.jpg", GOOD, "image/jpeg")}

    assert "send one photo at a time" in bench.post(ADD, BESIDE, files=two).text


def test_a_photo_that_is_none_makes_no_book(tmp_path):
    (tmp_path / "sent.jpg").write_bytes(BAD["gif"])

    assert run(["book", "keep-photo", str(tmp_path / "sent.jpg"), "--folder", str(tmp_path)]) == 2
    assert [one.name for one in tmp_path.iterdir()] == ["sent.jpg"]


def test_a_master_and_a_load_have_a_page_for_their_photos(bench):
    bench.do("make-form", edition="reed-bowl", what="master", name="master of the outside")
    to = "/photos?about=F-001&edition=reed-bowl"
    told = {"about": "F-001", "edition": "reed-bowl", "back": to, "id": "p-1"}

    assert to in html.unescape(bench.get("/shelf").text)
    assert bench.post(ADD, told, files={"photo": ("a.jpg", GOOD, "image/jpeg")}).headers["location"] == to  # fmt: skip
    assert 'alt="F-001, ' in bench.get(to).text
    assert bench.get("/photos").status_code == 404
    assert bench.get("/photos?about=F-001&edition=none").status_code == 404


def multipart(parts: int, *, is_file: bool) -> bytes:
    name = 'filename="a.jpg"' if is_file else "x=y"
    one = f'--x\r\nContent-Disposition: form-data; name="photo"; {name}\r\n\r\na\r\n'
    return (one * parts + "--x--\r\n").encode()


@pytest.mark.parametrize(
    "body",
    [multipart(600, is_file=False), multipart(30, is_file=True), b"--x\r\nno header at all",
     b'--x\r\nContent-Disposition: form-data; name="photo"\r\n\r\n' + bytes(1_100_000) + b"\r\n--x--"],
    ids=["600 fields", "30 files", "no form", "a long text"],
)  # fmt: skip
def test_a_body_that_is_no_form_of_ours_is_said_in_our_words(body, bench):
    answer = bench.post(ADD, content=body, headers={"content-type": "multipart/form-data; boundary=x"})  # fmt: skip

    assert answer.status_code == 400
    assert "could not be read" in answer.text
    assert bench.get("/health").status_code == 200


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "multipart/form-data", ""])
def test_a_body_of_another_kind_is_no_photo(kind, bench):
    answer = bench.post(ADD, content=GOOD, headers={"content-type": kind})

    assert answer.status_code in (400, 415, 422)
    assert html.unescape(plain(answer.text)).strip()
    assert left(bench.app.state.desk.folder) == []


# --- the limits are in force


SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits of this system are tried on Linux")  # fmt: skip


@LINUX
def test_the_child_may_not_take_more_memory_than_it_is_given(tmp_path):
    code = f"from pourwright.studio import photo_child as c; c._limit(); bytearray({photo_child.MEMORY_MB + 1} << 20)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert done.returncode != 0
    assert "MemoryError" in done.stderr


@LINUX
def test_the_largest_webp_fits_into_it_and_a_larger_one_is_refused(tmp_path):
    noise = NOISE.resize((6000, 4000))
    photo = take_photo(tmp_path, saved(noise, "WEBP", method=0))

    assert (photo.width, photo.height) == (6000, 4000)
    with pytest.raises(BadInput, match="24 megapixels as WebP"):
        take_photo(tmp_path, saved(noise.resize((6000, 4001)), "WEBP", method=0))


@LINUX
def test_the_limits_of_a_running_child_are_seen_from_outside(tmp_path):
    """The system itself is asked, while the child waits for its photo."""
    with subprocess.Popen(
        [sys.executable, "-P", "-m", photos._CHILD, str(tmp_path)], stdin=subprocess.PIPE
    ) as child:
        try:
            told = Path(f"/proc/{child.pid}/limits")
            wanted = {
                "Max address space": 512 << 20, "Max cpu time": 4, "Max file size": 100 << 20,
                "Max core file size": 0,
            }  # fmt: skip
            for _ in range(3000):
                found = {
                    line[:26].strip(): line[26:].split()[:2]
                    for line in told.read_text().splitlines()
                }
                if found["Max core file size"] == ["0", "0"] and found["Max cpu time"][0] == "4":
                    break
                time.sleep(0.01)
        finally:
            child.kill()

    # soft and hard: what is given back can not be taken again
    assert {name: found[name] for name in wanted} == {k: [str(v)] * 2 for k, v in wanted.items()}


@LINUX
def test_a_child_that_computes_for_ever_is_ended(tmp_path):
    code = "from pourwright.studio import photo_child as c; c._limit()\nwhile True: pass"
    done = subprocess.run([sys.executable, "-c", code], check=False)

    assert done.returncode < 0


@LINUX
def test_a_child_writes_no_file_without_end(tmp_path):
    file = tmp_path / "long"
    code = f"from pourwright.studio import photo_child as c; c._limit(); open({str(file)!r}, 'wb').write(bytes(101 << 20))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)

    assert done.returncode != 0
    assert file.stat().st_size <= 100 << 20


def test_what_computes_for_long_or_hangs_is_ended():
    """The limit itself; the fixture above lets a busy machine take longer."""
    source = Path(photos.__file__).read_text(encoding="utf-8")

    assert "LONGEST_S = 20\n" in source
    assert photo_child.PROCESSOR_S < 5


def test_only_a_few_wait_for_their_turn(tmp_path):
    places = [photos._PLACES.acquire(blocking=False) for _ in range(5)]
    try:
        assert all(places)
        with pytest.raises(NotDoable, match="Send this one again"):
            take_photo(tmp_path, GOOD)
    finally:
        for _ in places:
            photos._PLACES.release()
    assert take_photo(tmp_path, GOOD).is_new


@LINUX
def test_fifty_megapixels_fit_into_the_childs_memory(tmp_path):
    picture = Image.new("RGB", (10_000, 5_000), (90, 120, 60))
    exif = Image.Exif()
    exif[274] = 6  # Exif 2.3: stands on its side
    for kind, more in (
        ("JPEG", {"exif": exif}),
        ("PNG", {"exif": exif, "compress_level": 1}),
        ("JPEG", {"exif": exif, "progressive": True, "icc_profile": SRGB}),
    ):
        photo = take_photo(tmp_path, saved(picture, kind, **more))
        # more than is kept whole is kept at half its width and height
        assert (photo.width, photo.height) == (2_500, 5_000)


def test_a_child_that_is_ended_or_hangs_is_told_as_a_refusal(tmp_path, monkeypatch):
    monkeypatch.setattr(photos, "_CHILD", "tests.web.no_such_module")
    with pytest.raises(BadInput, match="send it smaller"):
        take_photo(tmp_path, GOOD)

    monkeypatch.setattr(photos, "_CHILD", "pourwright.studio.photo_child")
    monkeypatch.setattr(photos, "LONGEST_S", 0.001)
    with pytest.raises(BadInput, match="not read within 0.001 s"):
        take_photo(tmp_path, GOOD)
    assert not (tmp_path / "photos").exists() or left(tmp_path) == []


def test_a_file_of_the_studios_folder_is_not_taken_for_a_module(tmp_path, monkeypatch):
    (tmp_path / "PIL.py").write_text("raise SystemExit('taken')", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    assert take_photo(tmp_path, GOOD).is_new
