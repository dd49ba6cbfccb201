"""Photos by the page and the command: shown, kept once, erased; files that mean harm have their own tests."""

import html
import io
import struct
from pathlib import Path

import pytest
from PIL import Image

from pourwright.cli.main import run
from pourwright.ledger.photo_decoding import take_apart
from pourwright.studio import photos
from pourwright.studio.photo_child import SMALL, WHOLE
from pourwright.studio.photos import photos_of
from pourwright.web.app import BODY_MOST
from tests.ledger.test_photo_decoding import saved, with_exif
from tests.web.bench_fixtures import bench as bench
from tests.web.harmful_photos import BAD, GOOD, NOISE, SRGB, take_photo
from tests.web.sample import plain

ADD = "/photos/add"
BESIDE = {"edition": "reed-bowl", "about": "M-001", "back": "/shelf/M-001", "id": "p-1"}


def here(data: bytes, made: Path) -> dict:
    """Take a photo apart as the process does that is made for each."""
    photo = take_apart(data)
    (made / WHOLE).write_bytes(photo.whole)
    (made / SMALL).write_bytes(photo.small)
    return {"width": photo.width, "height": photo.height}


@pytest.fixture
def at_once(monkeypatch):
    """Take photos apart in this process, because starting one takes half a second."""
    monkeypatch.setattr(photos, "_decoded_apart", here)


def left(folder: Path) -> list[Path]:
    return [one for one in (folder / "photos").rglob("*") if one.is_file()]


NAMES = [
    "../../studio.toml", "..\\..\\book.db", "/etc/passwd", "C:\\book.db", "CON", "NUL.jpg", "a" * 300,
    "\u202egpj.exe", "photo\r\nX-Header: 1.jpg", "%2e%2e%2fbook.db", ".", "",
]  # fmt: skip


def test_what_a_photo_is_called_is_never_looked_at(bench, tmp_path, at_once):
    def others():
        found = {one for one in tmp_path.rglob("*") if one.is_file() and "photos" not in one.parts}
        return {one for one in found if not one.name.startswith("book.db")}

    before = others()
    for n, name in enumerate(NAMES):
        data = saved(Image.new("RGB", (50, 50), (20 * n, 0, 0)))
        file = {"photo": (name, data, "text/html")}
        answer = bench.post(ADD, BESIDE | {"id": f"p-{n}"}, files=file)

        # a field without a file's name is no file
        assert answer.status_code == (303 if name else 422), name
        stems = [one["digest"] for one in bench.entries("photo-kept")]
        assert len(stems) == min(n + 1, len(NAMES) - 1)
        wanted = {f"{stem}{end}.jpg" for stem in stems for end in ("", "-small")}
        assert {one.name for one in left(tmp_path)} == wanted, name
        assert others() == before, name


def test_no_file_an_empty_one_and_two_are_refused(bench, at_once):
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


def test_a_photo_longer_than_a_form_is_still_taken(bench, at_once):
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


def test_a_photo_of_every_kind_of_thing_stands_on_its_page(bench, at_once):
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
    bench, tmp_path, at_once
):
    for _ in range(2):
        file = {"photo": ("a.jpg", GOOD, "image/jpeg")}
        assert bench.post(ADD, BESIDE, files=file).status_code == 303
    assert len(bench.entries("photo-kept")) == 1

    other = {"photo": ("a.jpg", saved(NOISE.rotate(90)), "image/jpeg")}
    answer = bench.post(ADD, BESIDE | {"id": "p-2", "edition": "no-such-edition"}, files=other)
    assert answer.status_code == 422
    assert len(left(tmp_path)) == 2


def test_the_command_keeps_the_same_photo_that_the_page_keeps(bench, tmp_path, capsys, at_once):
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


def test_what_one_edition_erases_stays_where_another_names_it(bench, tmp_path, at_once):
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
    (tmp_path / "sent.jpg").write_bytes(BAD["gif"]())

    assert run(["book", "keep-photo", str(tmp_path / "sent.jpg"), "--folder", str(tmp_path)]) == 2
    assert [one.name for one in tmp_path.iterdir()] == ["sent.jpg"]


def test_a_master_and_a_load_have_a_page_for_their_photos(bench, at_once):
    bench.do("make-form", edition="reed-bowl", what="master", name="master of the outside")
    to = "/photos?about=F-001&edition=reed-bowl"
    told = {"about": "F-001", "edition": "reed-bowl", "back": to, "id": "p-1"}

    assert to in html.unescape(bench.get("/shelf").text)
    assert bench.post(ADD, told, files={"photo": ("a.jpg", GOOD, "image/jpeg")}).headers["location"] == to  # fmt: skip
    assert 'alt="F-001, ' in bench.get(to).text
    assert "Master of the outside" in bench.get(to).text
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
