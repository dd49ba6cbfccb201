"""The page of a shape: what it tells, what is missing or stale, and what leads nowhere else."""

import json
import re
import shutil
from itertools import combinations, pairwise

import msgspec
import pytest

from pourwright.briefs.folder import brief_here, file_digests
from pourwright.shape.pictures import PLASTERS
from pourwright.shape.records import Shape
from pourwright.web.pages.shape import DRAFTS, WALLS
from pourwright.web.render import static_files
from tests.web.sample import HOSTILE, WEDNESDAY, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample

FLASK = "/editions/gale-flask/shape"
PICTURES = ("model.bin", "opened.png", "three-sides.png")


def mold_of(own):
    return own.app.state.desk.folder / "editions" / "gale-flask-mold"


def statuses(own):
    return [own.get(f"{FLASK}/{one}").status_code for one in PICTURES]


def change_shape(own, **changes):
    """Write the shape's file with other fields."""
    file = mold_of(own) / "gale-flask-shape.json"
    shape = msgspec.json.decode(file.read_bytes(), type=Shape)
    file.write_bytes(msgspec.json.encode(msgspec.structs.replace(shape, **changes)))
    return shape


def test_the_page_tells_the_shape_and_gives_its_pictures(sample):
    page = sample.get(FLASK)
    words = plain(page.text)
    told = json.loads(re.search(r'id="turning-data">(.*?)</script>', page.text, re.DOTALL)[1])

    for wanted in (
        "Halves and base, the first pulled toward 90°: every face comes off.", "Clay kept",
        "Slip to fill", "2 places, closed after", "less than the 23.0 kg that one person lifts",
        "The parts, and what to weigh for each", "Air stays", "Pulls hardest half 1 and half 2 each:",
    ):  # fmt: skip
        assert wanted in words
    assert [one["name"] for one in told["parts"]] == ["base", "half 1", "half 2"]
    # what is weighed stands before the model, under the drawing of each part, as in the table
    board = page.text.partition('aria-labelledby="weights-title"')[2].partition("</ol>")[0]
    weights = re.findall(r"([\d.]+ k?g) of plaster ([\d.]+ k?g) of water; ([\d.]+ k?g) wet, ([\d.]+ k?g) dry", plain(board))  # fmt: skip
    assert len(weights) == board.count('class="part-outline"') == 3
    assert all(
        " ".join(one) in words.partition("The parts, and what to weigh")[2] for one in weights
    )
    assert page.text.index("weights-title") < page.text.index("data-turning")
    assert all(re.search(r'alt="[^"]{60,}"', one) for one in re.findall("<img[^>]*>", page.text))
    kinds = [sample.get(f"{FLASK}/{one}").headers["content-type"] for one in PICTURES]
    assert kinds == ["application/octet-stream", "image/png", "image/png"]
    assert len(sample.get(f"{FLASK}/model.bin").content) == sum(12 * n + 16 * m for n, m in told["bodies"])  # fmt: skip
    assert FLASK in sample.get("/editions/gale-flask").text
    assert FLASK in sample.get("/editions/gale-flask/brief").text


def test_without_a_shape_the_page_says_what_to_run(sample):
    words = plain(sample.get("/editions/fern-jug/shape").text)

    assert "pourwright shape fern-jug.stl --mold editions/fern-jug-mold" in words
    assert "its shape is fern-jug-mold/fern-jug-shape.json; its parts and weights go" in words
    assert "/editions/fern-jug/brief/mold" in sample.get("/editions/fern-jug/shape").text
    assert sample.get("/editions/fern-jug/shape/opened.png").status_code == 404
    assert "/editions/fern-jug/shape" not in sample.get("/editions/fern-jug").text
    assert sample.get("/editions/nobodys/shape").status_code == 404


def test_what_is_missing_or_stale_is_said_and_not_shown(own):
    mold = mold_of(own)
    (mold / "gale-flask-view.bin").unlink()
    (mold / "gale-flask-opened.png").write_bytes(b"\x89PNG\r\n\x1a\n another")
    (mold.parent / "gale-flask.stl").write_bytes(b"carved further")
    words = plain(own.get(FLASK).text)

    assert "gale-flask-view.bin is missing beside gale-flask-shape.json" in words
    assert "gale-flask-opened.png is missing beside gale-flask-shape.json, or is no longer" in words
    assert "gale-flask.stl is no longer the model that this mold was made of" in words
    assert "pourwright shape editions/gale-flask.stl --mold editions/gale-flask-mold" in words
    assert "turning-data" not in own.get(FLASK).text
    assert statuses(own) == [404, 404, 200]


@pytest.mark.parametrize(
    "bodies",
    [((862, 1728), (2058, 4112), (2706, 5408)), ((1, 1),) * 4, ((0, 100_001),) * 4, ((-4, 3),) * 4],
    ids=["a part less", "too short", "too many", "less than none"],
)
def test_a_model_of_another_length_is_not_given(own, bodies):
    view = change_shape(own).view
    change_shape(own, view=msgspec.structs.replace(view, bodies=bodies))

    assert "gale-flask-view.bin cannot be drawn" in plain(own.get(FLASK).text)
    assert statuses(own) == [404, 200, 200]


def test_no_name_leads_out_of_the_folder(own, tmp_path):
    """Neither the brief's nor the shape's, nor one in the address, nor a link laid in the folder."""
    mold = mold_of(own)
    view = change_shape(own).view
    book = mold.parent.parent / "studio.toml"
    outside = mold.parent / "opened.png"
    outside.write_bytes((mold / view.opened.name).read_bytes())
    for name in ("../opened.png", str(outside), "."):
        changed = msgspec.structs.replace(view.opened, name=name)
        change_shape(own, view=msgspec.structs.replace(view, opened=changed))
        assert statuses(own) == [200, 404, 200]
    (mold / view.opened.name).unlink()
    (mold / view.opened.name).symlink_to(outside)
    change_shape(own, view=view)
    assert statuses(own) == [200, 404, 200]
    for name in ("gale-flask-shape.json", "..%2f..%2fstudio.toml", book.name):
        assert own.get(f"{FLASK}/{name}").status_code == 404

    shutil.copytree(mold, tmp_path / "elsewhere", symlinks=True)
    brief = mold.parent / "gale-flask.toml"
    named = '"../../elsewhere/gale-flask-shape.json"'
    brief.write_text(brief.read_text().replace('"gale-flask-mold/gale-flask-shape.json"', named))
    assert "leads out of the folder of gale-flask.toml" in plain(own.get(FLASK).text)
    assert statuses(own) == [404, 404, 404]


def test_a_mold_that_is_made_again_is_what_is_planned_from(own):
    """A brief is kept as it was read, and a plan as it was made: until their files change."""
    desk = own.app.state.desk
    shape = change_shape(own)
    before = brief_here(desk.folder, "gale-flask", WEDNESDAY).brief
    key = file_digests(desk.folder, "gale-flask")
    parts = tuple(msgspec.structs.replace(one, volume_l=2.5) for one in shape.mold.parts)
    change_shape(own, mold=msgspec.structs.replace(shape.mold, parts=parts))
    brief = brief_here(desk.folder, "gale-flask", WEDNESDAY).brief

    assert [one.volume_l for one in brief.mold.parts] == [2.5, 2.5, 2.5]
    assert [one.volume_l for one in before.mold.parts] != [2.5, 2.5, 2.5]
    assert file_digests(desk.folder, "gale-flask") != key


def test_a_brief_that_cannot_be_read_says_why(own):
    (mold_of(own) / "gale-flask-shape.json").write_text("{}")
    words = plain(own.get(FLASK).text)

    assert "name the file that pourwright shape MODEL --mold FOLDER wrote" in words
    assert "pourwright shape gale-flask.stl --mold editions/gale-flask-mold" in words


def test_hostile_names_are_words(own):
    shape = change_shape(own)
    parts = tuple(msgspec.structs.replace(one, name=HOSTILE) for one in shape.mold.parts)
    change_shape(
        own,
        look=msgspec.structs.replace(shape.look, file=f'"><b>{HOSTILE}'),
        mold=msgspec.structs.replace(shape.mold, parts=parts),
    )
    page = own.get(FLASK).text

    assert HOSTILE not in page
    assert "<b>" not in page
    assert "&lt;script&gt;alert(1)" in page


# --- colors


def luminance(color):
    values = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_what_stands_side_by_side_is_told_apart_in_gray(scheme):
    """
    Without hue, as a color-blind eye may see it, neighbors in a key differ by a quarter in lightness,
    and so do all of four parts. The step is our own choice, no source.
    """
    style = static_files()["look.css"].decode()
    tones = {}
    for name, color in re.findall(r"--([a-z]+(?:-[a-z0-9]+)?): (#[0-9a-f]{6})", style):
        tones.setdefault(name, []).append(color)
    pairs = [
        *combinations(("part-1", "part-2", "part-3", "part-4"), 2), ("part-4", "part-5"), ("part-5", "part-6"),
        *pairwise(name for name, _ in DRAFTS), *pairwise(name for name, _ in WALLS),
    ]  # fmt: skip
    alike = []
    for pair in pairs:
        low, high = sorted(luminance(tones[one][scheme]) + 0.05 for one in pair)
        alike += [pair] if high / low < 1.25 else []

    assert alike == []


def test_a_part_has_one_tint_in_the_pictures_and_on_the_page():
    style = static_files()["look.css"].decode()
    tints = re.findall(r"--part-\d: (#[0-9a-f]{6})", style.partition("prefers-color-scheme")[0])

    assert tints == [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in PLASTERS]
