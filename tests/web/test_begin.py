"""The first run: questions to a brief to a plan; files from elsewhere, to the byte; briefs changed."""

import re
import tomllib
from datetime import timedelta
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import pytest

from pourwright.briefs.editing import tables_in
from pourwright.studio.begin import EXAMPLES
from pourwright.web.app import make_app
from tests.web.bench_fixtures import AtBench
from tests.web.browser import HERE, THIS_COMPUTER
from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample
from tests.web.test_records import fields_of

ANSWERS = {
    "name": "Rook pitcher", "pieces": "30", "water": "2.4 kg; 2.3 kg; 800 g", "glaze_load": "11",
    "loads_a_week": "2", "life": "25",
}  # fmt: skip
FOLDER = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture
def empty(tmp_path, shared_worker):
    """Yield a browser on a studio in which nothing is yet."""
    app = make_app(tmp_path, port=8484)
    app.state.desk.worker = shared_worker
    yield AtBench(app, HERE, THIS_COMPUTER, {"Origin": HERE})
    app.state.desk.close()


def folder_of(browser):
    return browser.app.state.desk.folder


def test_four_questions_lead_to_a_plan(empty):
    page = empty.get("/begin").text
    answer = empty.post("/begin", ANSWERS)
    plan = empty.get("/editions/rook-pitcher/plan")

    assert re.findall(r'name="(pieces|proofs|deadline|water|dry_mass|glaze_load|loads_a_week|life)"', page) == [
        "pieces", "proofs", "deadline", "water", "dry_mass", "glaze_load", "loads_a_week", "life",
    ]  # fmt: skip
    assert (answer.status_code, answer.headers["location"]) == (303, "/editions/rook-pitcher/plan")
    path = folder_of(empty) / "editions" / "rook-pitcher.toml"
    assert "What limits" in plain(plan.text)
    assert "none yet before the test casts are approved; then 30 pieces" in plain(plan.text)
    for page in ("/", "/offered/rook-pitcher"):  # nothing is promised that nobody has seen fired
        offered = plain(empty.get(page).text)
        assert "None Not before the test casts are approved; then 30 of 30 with 90 %" in offered
    assert '<a class="button quiet" href="/settings/studio/prices">Write prices</a>' in plan.text
    body = empty.entries("edition-planned")[0]
    assert (body["pieces"], body["life"], body["parts"]) == (30, 25, ["part 1", "part 2", "part 3"])
    assert body["brief"] == path.read_text(encoding="utf-8").rstrip("\n") or body["brief"] == path.read_text(encoding="utf-8")  # fmt: skip


def test_a_second_edition_is_not_asked_about_the_kiln_again(empty):
    empty.post("/begin", ANSWERS)
    page = empty.get("/begin").text
    answer = empty.post("/begin", {name: text for name, text in ANSWERS.items() if name != "loads_a_week"})  # fmt: skip

    assert 'name="loads_a_week"' not in page
    assert answer.headers["location"] == "/editions/rook-pitcher-2/plan"


def test_proofs_and_the_date_are_asked_and_the_book_s_size_goes_before_the_brief_s(empty):
    """A date in words is kept as a day; a size changed in the brief leads to where the book is told."""
    path = folder_of(empty) / "editions" / "rook-pitcher.toml"
    for never in ("1 May 2020", "1 May 2199"):
        refused = empty.post("/begin", ANSWERS | {"proofs": "3", "deadline": never})
        assert (refused.status_code, path.exists()) == (422, False)
        assert 'id="e-deadline"' in refused.text
    day = empty.app.state.desk.today() + timedelta(days=300)
    empty.post("/begin", ANSWERS | {"proofs": "3", "deadline": f"{day:%-d %B %Y}"})
    told = tomllib.loads(path.read_text(encoding="utf-8"))["edition"]
    assert (told["proofs"], str(told["deadline"])) == (3, day.isoformat())
    assert empty.entries("edition-planned")[0]["proofs"] == 3

    to = "/editions/rook-pitcher/brief"
    sent = fields_of(empty.get(f"{to}/edition").text)
    assert empty.post(f"{to}/edition", sent).headers["location"] == to
    answer = empty.post(f"{to}/edition", sent | {"proofs": "4"})
    asked = answer.headers["location"]
    assert asked.startswith("/do/change-size?edition=rook-pitcher&pieces=30&proofs=4")
    said = "The book says 30 pieces and 3 proofs, and what it says goes before the brief."
    assert said in unquote(answer.headers["set-cookie"])
    assert said in plain(empty.get(to).text)
    empty.post("/do/change-size", fields_of(empty.get(asked).text))
    assert "The book says" not in empty.get(to).text


def test_an_answer_is_read_back_where_it_is_typed(empty):
    """What is wrong is said in the words of the whole form; a date in words comes back as a day."""

    def told(key, text, units="metric"):
        return empty.get("/begin/answer", params={"key": key, "text": text, "units": units}).json()

    day = empty.app.state.desk.today() + timedelta(days=14)
    assert told("water", "1.9 kg; 640 g") == told("life", "don't know") == {"read": ""}
    assert told("deadline", "in 2 weeks") == {"read": f"{day:%a} {day.day} {day:%b %Y}"}
    assert 'For kg write "1.5 kg". For l write "1.5 l".' in told("water", "1.5")["wrong"]
    assert 'For lb write "1.5 lb".' in told("water", "1.5", "us")["wrong"]
    assert "it is in the past" in told("deadline", "1 May 2020")["wrong"]
    whole = empty.post("/begin", ANSWERS | {"water": "1.5"})
    assert told("water", "1.5")["wrong"] in unescape(plain(whole.text))


def test_what_a_part_takes_is_asked_by_what_is_there(empty):
    """Water is weighed in a master; before there is one, a volume is told."""

    def asked(have, units="metric"):
        page = empty.get("/begin", params={"have": have, "units": units}).text
        assert f'name="have" value="{have or "original"}" checked' in page
        label = re.search(r'<label for="f-water">(.*?)<', page)[1].strip()
        return label, plain(re.search(r'id="h-water">(.*?)</p>', page)[1])

    label, hint = asked("")  # without a script both are said, since either may be chosen below
    assert label == "What each master or part takes"
    assert "Such as: 1.9 kg; 1.85 kg; 640 g, or 1.9 l; 640 ml." in hint
    for have in ("original", "block mold"):
        label, hint = asked(have)
        assert label == "Plaster that each part will take"
        assert "Such as: 1.9 l; 640 ml." in hint
    assert "Such as: 2 qt; 0.7 qt." in asked("original", "us")[1]
    label, hint = asked("masters")
    assert label == "Water that fills each master"
    assert "Such as: 1.9 kg; 1.85 kg; 640 g." in hint
    answer = empty.post("/begin", ANSWERS | {"have": "original", "water": "1.9 l; 640 ml"})
    assert answer.status_code == 303


def test_masters_that_are_there_need_no_rubber_and_no_block_mold(empty):
    empty.post("/begin", ANSWERS | {"have": "masters"})
    plan = plain(empty.get("/editions/rook-pitcher/plan").text)

    assert "block mold" not in plan.lower()
    assert "Rubber" not in plan
    assert empty.entries("edition-planned")[0]["masters"] is True


def test_a_form_that_is_sent_twice_begins_once(empty):
    for _ in range(2):
        answer = empty.post("/begin", ANSWERS | {"id": "w-1"})
        assert answer.headers["location"] == "/editions/rook-pitcher/plan"

    assert len(empty.entries("edition-planned")) == 1
    assert len(list((folder_of(empty) / "editions").iterdir())) == 1


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("example", [one.key for one in EXAMPLES])
def test_every_example_fills_in_a_form_that_can_be_sent(example, units, empty):
    form = empty.get(f"/begin?example={example}&units={units}").text
    answer = empty.post("/begin", fields_of(form))
    edition = re.fullmatch(r"/editions/([a-z-]+)/plan", answer.headers["location"])[1]
    told = tomllib.loads((folder_of(empty) / "studio.toml").read_text(encoding="utf-8"))

    assert told.get("studio", {}).get("units", "metric") == units
    assert "No brief" not in empty.get(f"/editions/{edition}").text
    assert empty.app.state.desk.studio_fault == ""


def test_the_kiln_is_told_as_in_a_terminal_and_all_prices_are_in_one_currency(empty):
    wrong = empty.post("/begin", ANSWERS | {"kiln": "180 l, 0.32 EUR/kWh", "hour": "32 $"})
    empty.post("/begin", ANSWERS | {"kiln": "180 l, 9 kW, 0.32 EUR/kWh", "hour": "28 EUR"})
    told = tomllib.loads((folder_of(empty) / "studio.toml").read_text(encoding="utf-8"))

    assert 'id="e-hour"' in wrong.text
    assert "all prices are in one currency" in wrong.text
    assert (told["kiln"]["volume"], told["kiln"]["power"]) == ("180 l", "9 kW")
    assert told["kiln"]["energy_price"] == "0.32 EUR/kWh"


def test_the_price_of_an_hour_brings_its_currency_with_it(empty):
    empty.post("/begin", ANSWERS | {"hour": "32 $"})
    told = tomllib.loads((folder_of(empty) / "studio.toml").read_text(encoding="utf-8"))

    assert (told["prices"]["labor"], told["studio"]["currency"]) == ("32 USD/h", "USD")


def test_every_answer_that_cannot_be_used_is_told_at_its_field(empty):
    answer = empty.post(
        "/begin",
        {"name": "x" * 90, "pieces": "many", "water": "2,5", "glaze_load": "0", "loads_a_week": HOSTILE, "life": "-1"},
    )  # fmt: skip

    assert answer.status_code == 422
    for name in ("name", "pieces", "water", "glaze_load", "loads_a_week", "life"):
        assert f'id="e-{name}"' in answer.text
    assert HOSTILE not in answer.text
    assert list(folder_of(empty).glob("*.toml")) == []


@pytest.mark.parametrize(("field", "text"), [("country", "XX"), ("zone", "Nowhere/Town"), ("kiln", "9 MI"), ("hour", "SHELLS")])  # fmt: skip
def test_a_studio_that_cannot_be_is_refused_and_nothing_is_written(field, text, empty):
    answer = empty.post("/begin", ANSWERS | {field: text})

    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert [one.name for one in folder_of(empty).rglob("*.toml")] == []
    assert empty.entries("edition-planned") == []


def test_no_sentence_speaks_of_lines_in_a_file(empty):
    """What is wrong is said for a form: no "pieces = 48", and a field that is empty is missing."""
    nothing = plain(empty.post("/begin", {}).text)
    wrong = plain(empty.post("/begin", ANSWERS | {"pieces": "many", "glaze_load": "few"}).text)

    assert "Numbered pieces is missing; write it, such as 36." in nothing
    assert "Pieces in a glaze load is missing" in nothing
    assert not re.search(r"such as [a-z_]+ =", nothing + wrong)
    assert "such as 48" in wrong


def test_a_mold_told_in_no_way_or_in_two_is_refused(empty):
    none = empty.post("/begin", ANSWERS | {"water": ""})
    two = empty.post("/begin", ANSWERS | {"dry_mass": "5 kg"})

    assert none.status_code == two.status_code == 422
    assert "give the water that fills each master" in none.text
    assert "give one of the two" in two.text


def test_a_hostile_name_is_text(empty):
    empty.post("/begin", ANSWERS | {"name": HOSTILE})
    for path in ("/editions", "/editions/script-alert-1-script", "/editions/script-alert-1-script/brief"):  # fmt: skip
        page = empty.get(path)
        assert page.status_code == 200
        assert HOSTILE not in page.text


# --- files from elsewhere


def take(browser, data, name="brief.toml"):
    return browser.post("/begin/file", files={"file": (name, data, "application/toml")})


@pytest.mark.parametrize("example", ["metric-bowl", "tight-cup", "us-pitcher"])
def test_a_studio_and_a_brief_come_in_and_go_out_to_the_byte(example, empty):
    studio = (FOLDER / example / "studio.toml").read_bytes()
    brief = (FOLDER / example / "edition.toml").read_bytes()
    first, second = take(empty, studio), take(empty, brief)

    assert (first.status_code, first.headers["location"]) == (303, "/settings")
    assert second.status_code == 303
    edition = second.headers["location"].removeprefix("/editions/")
    assert empty.get("/settings/studio.toml").content == studio
    assert empty.get(f"/editions/{edition}/brief.toml").content == brief
    assert empty.entries("edition-planned")[0]["edition"] == edition
    page = empty.get(f"/editions/{edition}")
    assert page.status_code == 200


def test_a_brief_of_another_studio_names_this_one_and_keeps_all_else(own):
    brief = (FOLDER / "metric-bowl" / "edition.toml").read_text(encoding="utf-8")
    told = brief.replace("version = 1", 'version = 1\nstudio = "../far/room.toml" # elsewhere')
    edition = take(own, told.encode()).headers["location"].removeprefix("/editions/")
    kept = own.get(f"/editions/{edition}/brief.toml").text

    assert kept == told.replace('"../far/room.toml"', '"studio.toml"')


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "choose a file"),
        (b"\xff\xfe\x00", "it must be a TOML file"),
        (b"[edition]\nid = ", "this is not TOML"),
        (b"hello = 1", "a brief has a table [edition]"),
        (b"x = 1 # " + b"x" * 1_000_000, "a brief or a studio is a small text file"),
        (b"x = " + b"[" * 5000, "nested too deeply"),
        (b'version = 1\n[edition]\nid = "fern-jug"\n', "is here already"),
        (b'version = 1\n[studio]\nname = "Other"\n', "this studio has one already"),
        (b'version = 1\n[edition]\nid = "new-one"\npieces = 0\n', "edition.pieces"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_our_words(data, words, own):
    before = sorted(own.app.state.desk.folder.rglob("*.toml"))
    answer = take(own, data) if data else own.post("/begin/file", {})

    assert answer.status_code == 422
    assert words in answer.text
    assert sorted(own.app.state.desk.folder.rglob("*.toml")) == before
    assert list(own.app.state.desk.folder.rglob("*.trial")) == []


def test_what_was_written_by_hand_is_kept_when_it_is_refused(own):
    answer = own.post("/begin/file", {"text": f"[edition]\nid = 7 # {HOSTILE}"})

    assert answer.status_code == 422
    assert HOSTILE not in answer.text
    assert "&lt;script&gt;" in answer.text


# --- an edition's brief


TABLES = ("edition", "mold", "casting", "casting.test", "firing", "numbers", "sale", "dimensions.shrinkage")  # fmt: skip


def test_every_table_stands_on_the_shelf_of_the_brief(sample):
    page = sample.get("/editions/fern-jug/brief").text

    for one in tables_in("edition"):
        assert page.count(f'href="/editions/fern-jug/brief/{one.name}"') == 1, one.name


@pytest.mark.parametrize("table", TABLES)
def test_a_table_that_is_kept_as_it_stands_changes_no_byte(table, own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_bytes()
    form = own.get(f"/editions/fern-jug/brief/{table}")
    answer = own.post(f"/editions/fern-jug/brief/{table}", fields_of(form.text))

    assert form.status_code == 200
    assert answer.status_code == 303
    assert path.read_bytes() == before


def test_one_field_that_is_changed_changes_one_line(own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_text(encoding="utf-8")
    sent = fields_of(own.get("/editions/fern-jug/brief/firing").text)
    own.post("/editions/fern-jug/brief/firing", sent | {"glaze_load": "10", "bisque_cone": "05"})
    after = path.read_text(encoding="utf-8")

    changed = [line for line in after.splitlines() if line not in before.splitlines()]
    assert changed == ["glaze_load = 10", 'bisque_cone = "05"']
    assert "10 </dd>" in own.get("/editions/fern-jug/brief").text or "10</dd>" in own.get("/editions/fern-jug/brief").text  # fmt: skip


def test_a_field_that_is_emptied_is_taken_away(own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    sent = fields_of(own.get("/editions/fern-jug/brief/sale").text)
    own.post("/editions/fern-jug/brief/sale", sent | {"price": ""})

    assert "price" not in path.read_text(encoding="utf-8")


def test_a_brief_that_could_not_be_read_is_not_written(own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_bytes()
    sent = fields_of(own.get("/editions/fern-jug/brief/firing").text)
    answer = own.post("/editions/fern-jug/brief/firing", sent | {"glaze_load": HOSTILE, "glaze_cone": "hot"})  # fmt: skip

    assert answer.status_code == 422
    assert 'id="e-glaze_load"' in answer.text
    assert 'id="e-glaze_cone"' in answer.text
    assert HOSTILE not in answer.text
    assert path.read_bytes() == before


PARTS = "/editions/fern-jug/brief/parts"


def test_a_part_that_is_kept_as_it_stands_changes_no_byte(own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_bytes()
    for place in (1, 2, 3):
        form = own.get(f"{PARTS}/{place}")
        assert own.post(f"{PARTS}/{place}", fields_of(form.text)).status_code == 303

    assert path.read_bytes() == before


def test_a_part_is_added_changed_and_taken_out(own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_text(encoding="utf-8")
    own.post(f"{PARTS}/4", {"name": "lid", "box": "120 mm, 120 mm, 60 mm", "masters": "2"})
    mold = tomllib.loads(path.read_text(encoding="utf-8"))["mold"]
    assert mold["parts"][3] == {"name": "lid", "masters": 2, "box": ["120 mm", "120 mm", "60 mm"]}
    assert "lid" in own.get("/editions/fern-jug/brief").text

    own.post(f"{PARTS}/4", {"name": "lid", "water": "0.3 kg"})
    mold = tomllib.loads(path.read_text(encoding="utf-8"))["mold"]
    assert mold["parts"][3] == {"name": "lid", "water": "0.3 kg"}

    assert own.post(f"{PARTS}/4/drop", {}).status_code == 303
    assert path.read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"name": "foot", "water": "0.3 kg"}, "name"),
        ({"name": "lid", "water": HOSTILE}, "water"),
        ({"name": "lid", "water": "0.3 kg", "masters": "none"}, "masters"),
        ({"name": "lid", "water": "0.3 kg", "displaced": "1 l"}, "displaced"),
        ({"name": "lid"}, ""),
        ({}, ""),
    ],
)
def test_a_part_that_cannot_be_read_is_not_written(sent, field, own):
    path = folder_of(own) / "editions" / "fern-jug.toml"
    before = path.read_bytes()
    answer = own.post(f"{PARTS}/4", sent)

    assert answer.status_code == 422
    assert HOSTILE not in answer.text
    assert (f'id="e-{field}"' if field else "tell it in one way: water, volume") in answer.text
    assert path.read_bytes() == before


def test_a_first_part_takes_the_place_of_the_dry_mass_and_the_last_one_stays(own):
    path = folder_of(own) / "editions" / "gale-flask.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r"\nshape = .*", '\ndry_mass = "3 kg"', text), encoding="utf-8")
    parts = "/editions/gale-flask/brief/parts"
    assert "takes the place of" in own.get(f"{parts}/1").text

    assert own.post(f"{parts}/1", {"name": "body", "dry_mass": "3.1 kg"}).status_code == 303
    mold = tomllib.loads(path.read_text(encoding="utf-8"))["mold"]
    assert mold["parts"] == [{"name": "body", "dry_mass": "3.1 kg"}]
    assert "dry_mass" not in mold
    assert "/drop" not in own.get(f"{parts}/1").text
    assert own.post(f"{parts}/1/drop", {}).status_code == 422


@pytest.mark.parametrize("place", ["0", "5", "-1", "51", "new", HOSTILE])
def test_a_part_that_is_none_has_no_page(place, own):
    assert own.get(f"{PARTS}/{place}").status_code in (404, 422)
    assert own.post(f"{PARTS}/{place}/drop", {}).status_code in (404, 422)


@pytest.mark.parametrize("table", ["version", "mold.parts[]", "nothing", "studio", HOSTILE])
def test_a_table_that_is_none_has_no_page(table, own):
    assert own.get(f"/editions/fern-jug/brief/{table}").status_code == 404
