"""Files that mean harm: each is refused with a sentence, or kept as a plain picture, within limits."""

import html
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PIL import Image

from pourwright.cli.main import run
from pourwright.errors import BadInput, NotDoable
from pourwright.studio import photo_child, photos
from tests.ledger.test_photo_decoding import saved
from tests.web.harmful_photos import BAD, FINE, GOOD, NOISE, SRGB, take_photo
from tests.web.sample import opened, plain

PROCESSOR_S = 5.0
ADD = "/photos/add"
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits of this system are tried on Linux")  # fmt: skip
ENDLESS = "a thousand scans"
"""Takes more time than the process is given; the others end by themselves."""


@pytest.fixture(autouse=True)
def patience(monkeypatch):
    """Let a busy machine take its time: what is tried here is the limit of processor time."""
    monkeypatch.setattr(photos, "LONGEST_S", 120)


def left(folder: Path) -> list[Path]:
    return [one for one in (folder / "photos").rglob("*") if one.is_file()]


def check_plain(file: Path) -> None:
    """Check that a kept file is a picture and holds nothing of what was odd in it."""
    assert b"SECRET" not in file.read_bytes()
    assert b"script" not in file.read_bytes()
    with Image.open(file) as picture:
        assert picture.format == "JPEG"


def test_there_are_at_least_forty_files_that_mean_harm():
    assert len(BAD) + len(FINE) >= 40


# --- one process for all of them, which may take as much memory as that of one photo


ONE_FOR_ALL = """
import contextlib, io, json, sys, time
from pathlib import Path
from pourwright.studio import photo_child
photo_child.PROCESSOR_S = 60
for file in Path(sys.argv[1]).iterdir():
    made, said, began = Path(sys.argv[2]) / file.name, io.StringIO(), time.process_time()
    made.mkdir()
    with file.open() as sys.stdin, contextlib.redirect_stdout(said):
        photo_child.main(str(made))
    print(json.dumps([file.name, json.loads(said.getvalue()), time.process_time() - began]))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """Return what the child says of each file, how long it took [s], and where it is kept."""
    sent, made = tmp_path_factory.mktemp("sent"), tmp_path_factory.mktemp("made")
    for name, file in (BAD | FINE).items():
        if name != ENDLESS:
            (sent / name).write_bytes(file())
    command = [sys.executable, "-P", "-c", ONE_FOR_ALL, str(sent), str(made)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return {
        name: (answer, took_s, made / name)
        for name, answer, took_s in map(json.loads, done.stdout.splitlines())
    }


def test_what_is_no_photo_is_refused_with_a_sentence(told):
    for name in set(BAD) - {ENDLESS}:
        answer, took_s, folder = told[name]

        ((about, *words),) = answer["refused"]
        assert about == "photo", name
        assert all(words), name
        assert took_s < PROCESSOR_S, name
        assert list(folder.iterdir()) == [], name


def test_an_odd_picture_is_kept_as_a_plain_one_or_refused(told):
    for name in FINE:
        answer, took_s, folder = told[name]
        kept = [one for one in folder.rglob("*") if one.is_file()]

        assert took_s < PROCESSOR_S, name
        assert len(kept) == (2 if "width" in answer else 0), name
        for one in kept:
            check_plain(one)


def test_most_odd_pictures_are_kept(told):
    """The list above would hold for a program that refuses all: these must be kept."""
    for name in ("a page behind it", "gray with alpha", "a palette", "four inks", "sixteen bits", "of one pixel"):  # fmt: skip
        assert told[name][0]["width"], name


# --- by the page and by the command, a process for each


@pytest.fixture(scope="module")
def harmed(tmp_path_factory, laid_out, shared_worker):
    """Yield a browser on a studio to which all that means harm is sent, one after the other."""
    found = opened(tmp_path_factory.mktemp("harmed") / "studio", laid_out, shared_worker)
    yield found
    found.app.state.desk.close()


def children_s() -> float:
    """Return the processor time that children have taken, whoever else uses the machine. [s]"""
    found = os.times()
    return found.children_user + found.children_system


def send(browser, data):
    """Send a photo by the form of a mold of the sample, and return the answer and its cost. [s]"""
    told = {"edition": "fern-jug", "about": "M-004", "back": "/shelf/M-004"}
    began = children_s()
    answer = browser.post(ADD, told, files={"photo": ("photo.jpg", data, "image/jpeg")})
    return answer, children_s() - began


def check_refused(answer, took_s, browser):
    assert answer.status_code == 422
    assert took_s < PROCESSOR_S
    assert 'id="e-photo"' in answer.text, plain(answer.text)[:600]
    assert left(browser.app.state.desk.folder) == []
    assert browser.entries("photo-kept") == []


@pytest.mark.parametrize("name", ["gif", "cut off", "a bomb"])
def test_page_and_command_refuse_it_in_the_same_sentence(name, harmed, tmp_path, capsys):
    (tmp_path / "sent.jpg").write_bytes(BAD[name]())
    command = ["book", "keep-photo", str(tmp_path / "sent.jpg"), "--folder", str(tmp_path)]
    answer, took_s = send(harmed, BAD[name]())

    assert run(command) == 2
    told = " ".join(capsys.readouterr().err.split()).removeprefix("photo ").rstrip(".")
    assert told
    assert told in html.unescape(plain(answer.text))
    assert left(tmp_path) == []
    check_refused(answer, took_s, harmed)


@pytest.mark.whole
@pytest.mark.parametrize("name", BAD)
def test_the_page_refuses_what_is_no_photo_and_leaves_nothing(name, harmed):
    answer, took_s = send(harmed, BAD[name]())

    check_refused(answer, took_s, harmed)


@pytest.mark.whole
@pytest.mark.parametrize("name", FINE)
def test_the_page_keeps_an_odd_picture_as_a_plain_one_or_refuses_it(name, harmed):
    folder = harmed.app.state.desk.folder
    before = left(folder)
    answer, took_s = send(harmed, FINE[name]())
    new = [one for one in left(folder) if one not in before]

    assert answer.status_code in (303, 422)
    assert took_s < PROCESSOR_S
    assert (len(new) == 2) == (answer.status_code == 303)
    for one in new:
        check_plain(one)


# --- the limits are in force


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
    larger = Image.new("RGB", (6000, 4001))
    with pytest.raises(BadInput, match="24 megapixels as WebP"):
        take_photo(tmp_path, saved(larger, "WEBP", method=0))


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
    code = "from pourwright.studio import photo_child as c; c.PROCESSOR_S = 1; c._limit()\nwhile True: pass"
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


UPRIGHT = Image.Exif()
UPRIGHT[274] = 6  # Exif 2.3: stands on its side


@LINUX
@pytest.mark.parametrize(
    ("kind", "more"),
    [
        ("JPEG", {}),
        ("PNG", {"compress_level": 1}),
        # takes less memory than the PNG
        pytest.param("JPEG", {"progressive": True, "icc_profile": SRGB}, marks=pytest.mark.whole),
    ],
    ids=["plain JPEG", "PNG", "JPEG in scans, with a profile"],
)
def test_fifty_megapixels_fit_into_the_childs_memory(kind, more, tmp_path):
    picture = Image.new("RGB", (10_000, 5_000), (90, 120, 60))
    photo = take_photo(tmp_path, saved(picture, kind, exif=UPRIGHT, **more))

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
