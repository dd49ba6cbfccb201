"""Forms made from tables: every verb and question has one, and says what is wrong in our words."""

import re
from html import unescape
from html.parser import HTMLParser

import pytest

from pourwright.briefs.editing import fields_of, tables_in
from pourwright.calculators.table import SUBJECTS, find_question
from pourwright.errors import Complaint
from pourwright.studio.commands import verbs
from pourwright.web.forms import Form, Shown, field_of, filled
from pourwright.web.pages.do import way_back
from pourwright.web.render import environment
from pourwright.web.toml_fields import table_form
from tests.web.sample import plain
from tests.web.sample import sample as sample

# What Pydantic and Starlette say of bad input, from their published lists of messages
# (Pydantic's documentation, "Validation Errors"; Starlette's HTTP phrases).
NOT_OUR_WORDS = re.compile(
    r"Input should be|Field required|value is not a valid|unable to parse|String should|"
    r"Extra inputs|greater than or equal|valid integer|Unprocessable|Bad Request|Not Found|"
    r"Method Not Allowed|Internal Server Error|detail&#34;|Traceback"
)


class Page(HTMLParser):
    """What a test asks of a page: fields, labels, links, tags."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.fields, self.ids, self.labels, self.links = [], {}, set(), set(), []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        told = dict(attributes)
        self.tags.append((tag, told))
        self.ids.add(told.get("id"))
        if tag in ("input", "select", "textarea") and "name" in told:
            self.fields.setdefault(told["name"], []).append(told)
        if tag == "label":
            self.labels.add(told.get("for"))
        if tag == "a":
            self.links.append(told.get("href"))


def test_every_verb_has_a_form_with_all_its_fields(sample):
    for kind in verbs():
        answer = sample.get(f"/do/{kind.verb}")
        page = Page(answer.text)

        assert answer.status_code == 200, kind.verb
        assert {one.name for one in kind.fields} <= page.fields.keys(), kind.verb
        assert {"id", "at", "by"} <= page.fields.keys(), kind.verb
        for name, shown in page.fields.items():
            if shown[0].get("type") not in ("hidden", "radio", "checkbox"):
                named = f"f-{name}" in page.labels or shown[0].get("aria-label")
                assert named, (kind.verb, name)


def test_no_hint_of_a_form_repeats_a_name(sample):
    assert "Which firing." not in sample.get("/do/fire").text


def test_an_empty_form_is_refused_or_written_and_never_our_fault(here):
    for kind in verbs():
        answer = here.post(f"/do/{kind.verb}", {"id": f"x-{kind.verb}"})

        assert answer.status_code in (303, 422), kind.verb
        assert not NOT_OUR_WORDS.search(answer.text), kind.verb


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_question_has_a_form_that_answers_its_example(subject, sample):
    question = find_question(subject)
    example = {
        name: "\n".join(value) if isinstance(value, list) else value
        for name, value in question.examples[0].items()
    }
    page = Page(sample.get(f"/figures/{subject}").text)
    answer = sample.post(f"/figures/{subject}", example)

    assert {one.name for one in question.asks} <= page.fields.keys()
    assert answer.status_code == 200, re.findall(r'class="error".*', answer.text)
    assert '<section class="section"' in answer.text


def test_plaster_and_water_stand_in_a_bucket_as_high_as_they_weigh(sample):
    """By pencil: of 2.19 kg of water and 3.13 kg of plaster the water is 41 %, of 142 high 58."""
    asked = sample.get("/figures/plaster").text
    page = sample.post("/figures/plaster", {"volume": "3.2 l", "consistency": "70"}).text
    bucket = page.partition('<svg class="vessel"')[2].partition("</svg>")[0]
    water, plaster = re.findall(
        r'<path class="(\w+)" d="M[\d.]+ ([\d.]+)H[\d.]+L[\d.]+ ([\d.]+)H', bucket
    )

    assert 'class="vessel"' not in asked
    assert 'aria-label="plaster, 3.13 kg; water, 2.19 kg, in one vessel"' in bucket
    assert water[0] == "damp"
    assert float(water[2]) - float(water[1]) == pytest.approx(142 * 2.19 / 5.32, abs=0.2)
    assert (plaster[2], float(plaster[1])) == (water[1], pytest.approx(40, abs=0.1))


def test_the_first_field_of_a_question_stands_open_and_how_it_is_answered_waits(sample):
    page = sample.get("/figures/plaster").text
    before = page.partition('<details class="later">')[0]

    assert 'id="f-volume"' in before
    assert 'id="f-units"' not in before


def test_what_was_typed_is_kept_and_each_error_stands_beside_its_field(here):
    answer = here.post(
        "/do/cast", {"id": "c-1", "molds": "all", "good": "many", "note": "<b>dry</b>"}
    )
    page = Page(answer.text)

    assert answer.status_code == 422
    good = page.fields["good"][0]
    assert (good["value"], good["aria-invalid"]) == ("many", "true")
    assert set(good["aria-describedby"].split()) <= page.ids
    assert {"f-good", "e-good"} <= page.ids
    assert page.fields["molds"][0]["value"] == "all"
    assert page.fields["id"][0]["value"] == "c-1"
    assert "Good is &#34;many&#34;; it must be a whole number" in answer.text


@pytest.mark.parametrize("mass", ["4,8", "4.8", "4.8 kg", "4800 g"])
def test_a_number_alone_is_taken_with_the_unit_beside_its_field(app, here, mass):
    page = Page(here.get("/do/mix-lot").text)
    sent = {"id": "m-1", "what": "slip", "mass": mass, "mass.unit": "kg"}
    answer = here.post("/do/mix-lot", sent)

    assert page.fields["mass"][0]["inputmode"] == "decimal"
    assert "mass.unit" in page.fields
    assert answer.status_code == 303
    assert "4.8 kg" in plain(here.get("/records/2").text) or mass == "4800 g"


def test_a_refused_form_keeps_the_number_and_the_unit_that_was_chosen(here):
    sent = {"id": "m-1", "what": "slip", "mass": "0,2", "mass.unit": "g"}
    page = Page(here.post("/do/mix-lot", sent).text)

    assert page.fields["mass"][0]["value"] == "0.2"
    assert here.post("/do/read-lot", {"lot": "S-001", "liter_weight": "1750"}).status_code == 422


def test_an_edition_is_planned_by_its_form(app, here):
    answer = here.post(
        "/do/plan-edition", {"id": "p", "edition": "low-jug", "name": "Low jug", "pieces": "12"}
    )

    assert answer.status_code == 303
    assert ">Low jug</option>" in here.get("/do/cast").text


def test_a_refusal_of_the_book_is_shown_above_the_form(here):
    answer = here.post("/do/cast", {"id": "c-1", "molds": "7"})

    assert answer.status_code == 422
    assert "There is no mold M-007 in the book" in plain(answer.text)
    assert Page(answer.text).fields["molds"][0]["value"] == "7"


def test_a_form_says_what_is_to_be_written_until_the_book_has_it(here):
    empty = here.get("/do/load")
    refused = here.post("/do/load", {"id": "l-1", "firing": "bisque"})

    assert refused.status_code == 422
    for shown in (empty, refused):
        assert "To write down: a kiln load is closed." in plain(shown.text)
        assert "ritten into the book" not in shown.text


def test_what_was_written_is_said_on_the_next_page(here):
    answer = here.post("/do/note", {"id": "n-1", "text": "slip <thick>", "back": "/do"})
    here.cookies = {"pourwright_said": answer.cookies["pourwright_said"]}
    shown = here.get("/do")

    assert (answer.status_code, answer.headers["location"]) == (303, "/do")
    assert 'role="status"' in shown.text
    assert 'pourwright_said=""' in shown.headers["set-cookie"]


def test_a_form_that_is_sent_twice_writes_once(app, here):
    before = app.state.desk.book.head().seq
    answers = [here.post("/do/note", {"id": "n-1", "text": "once"}) for _ in range(3)]

    assert [one.status_code for one in answers] == [303] * 3
    assert app.state.desk.book.head().seq == before + 1


def test_what_stands_beside_the_menu_opens_from_it_on_a_phone(here):
    bar = here.get("/figures").text.partition('aria-label="Menu"')[2].partition("</nav>")[0]

    assert re.findall(r"<summary[^>]*>(.*?)</summary>", bar) == ["More"]
    assert [link for link in Page(bar).links if link in ("/records", "/lots", "/settings")] == ["/records", "/lots", "/settings"]  # fmt: skip


@pytest.mark.parametrize(
    ("address", "names"),
    [
        ("lose", {"pieces", "cause"}),
        ("lose?stage=greenware&lost=", {"stage", "lost"}),
        ("finish", {"pieces", "lost_pieces"}),
    ],
)
def test_what_was_lost_and_why_stands_open(here, address, names):
    page = here.get(f"/do/{address}").text
    seen = re.sub(r'<details class="later">.*?</details>', "", page, flags=re.DOTALL)

    asked = set(re.findall(r'<(?:input type="(?:text|radio)"|select)[^>]* name="([a-z_]+)"', seen))
    assert asked - {"edition"} == names


def test_the_address_fills_a_form_in(here):
    page = Page(here.get("/do/weigh?mold=M-004&back=/shelf").text)

    assert page.fields["mold"][0]["value"] == "M-004"
    assert page.fields["back"][0]["value"] == "/shelf"


@pytest.mark.parametrize(
    "to", ["//elsewhere.example", "http://elsewhere.example", "/\\elsewhere.example", "javascript:x",
           "/a\r\nSet-Cookie: x=1", "/" * 400, ["/a", "/b"], ""],
)  # fmt: skip
def test_a_form_never_leads_to_another_host(to):
    assert way_back({"back": to}) == "/"


def check_harmless(answer):
    page = Page(answer.text)
    scripts = [told for tag, told in page.tags if tag == "script"]
    assert all(told.get("src") or told.get("type") == "application/json" for told in scripts)
    assert not {tag for tag, _ in page.tags} & {"img", "b", "i", "u", "iframe", "style"}
    assert all(told.get("class") == "drawn" for tag, told in page.tags if tag == "svg")
    for _, told in page.tags:
        assert not [name for name in told if name.startswith("on") or name == "style"]
        assert not str(told.get("href", "")).lower().startswith("javascript")
    assert not NOT_OUR_WORDS.search(answer.text)


def test_hostile_text_in_the_book_shows_as_text_on_the_next_page(here):
    text = "<img src=x onerror=alert(1)>"
    answer = here.post(
        "/do/plan-edition", {"id": "p", "edition": "jug", "name": text, "pieces": "4"}
    )
    here.cookies = {"pourwright_said": answer.cookies["pourwright_said"]}
    shown = here.get("/do/cast")

    assert answer.status_code == 303
    assert text not in shown.text
    assert text in unescape(shown.text)
    check_harmless(shown)


@pytest.mark.parametrize("cookie", ["x", "%7B%7D", "%5B1%5D", "%7B%22said%22%3A1%7D", "null", "%ff",
                                    "%7B%22said%22%3A%22%3Cb%3E%22%2C%22seq%22%3A%22x%22%7D"])  # fmt: skip
def test_a_forged_sentence_is_text_or_nothing(cookie, here):
    here.cookies = {"pourwright_said": cookie}
    answer = here.get("/do")

    assert answer.status_code == 200
    check_harmless(answer)


def test_addresses_that_no_page_takes_are_answered_in_our_words(here):
    for path in ("/do/no-such-verb", "/figures/no-such-subject", "/nowhere", "/do/cast/"):
        answer = here.get(path)

        assert answer.status_code in (404, 422)
        assert not NOT_OUR_WORDS.search(answer.text)


def test_too_many_fields_are_refused_in_our_words(here):
    answer = here.post("/do/note", {f"f{number}": "x" for number in range(600)})

    assert answer.status_code in (400, 413, 422)
    assert not NOT_OUR_WORDS.search(answer.text)


def test_a_field_is_found_by_its_path_or_its_option():
    assert field_of(Complaint("mold.parts[2].water", "x", "y")) == "mold"
    assert field_of(Complaint("--own-batch", "x", "y")) == "own_batch"


def test_an_error_of_a_table_and_field_stands_at_the_field_of_that_name():
    form = Form(
        action="/", submit="", first=(Shown("kiln", "Kiln"), Shown("loads_a_week", "Loads"))
    )
    marked = form.marked([Complaint("kiln.loads_a_week", '"12"', "write 4 or fewer"), Complaint("kiln.volume", '"x"', "write 180 l")])  # fmt: skip

    assert [one.error for one in marked.first] == ['Kiln is "x"; write 180 l.', 'Loads is "12"; write 4 or fewer.']  # fmt: skip


def test_an_error_without_a_field_stands_in_the_summary_only():
    form = Form(action="/", submit="Go", first=(Shown("good", "Good"),))
    shown = form.marked([Complaint("", None, "There is no mold M-071.")])

    assert shown.errors == (("", "There is no mold M-071."),)
    assert shown.first[0].error == ""


def test_several_values_are_kept():
    field = Shown("causes", "Causes", kind="choices", choices=(("a", "A"), ("b", "B")))

    assert filled([field], {"causes": ["a", "b"]})[0].values == ("a", "b")


# --- what the book asks is asked on the page, in the same words

ASKED = "M-001 could still make tide-cup: 1-24 of 24 are not made."


def test_a_second_press_goes_on_where_the_book_asked(here):
    here.post("/do/pour", {"id": "x-1", "count": "1"})
    asked = here.post("/do/destroy", {"id": "x-2", "molds": "1", "how": "dropped"})
    page = Page(asked.text)

    assert asked.status_code == 422
    assert ASKED in plain(asked.text)
    answers = r'id="faults">.*<a class="button" href="/">Go back</a> <button class="button grave">Go on all the same<.*class="ruled"'
    assert re.search(answers, asked.text, re.DOTALL)  # under the question, the way back first
    sent = {name: shown[0].get("value", "") for name, shown in page.fields.items()}
    assert (sent["molds"], sent["how"], sent["id"]) == ("1", "dropped", "x-2")

    gone_on = here.post("/do/destroy", sent)
    assert gone_on.status_code == 303
    assert ASKED in plain(here.get("/records/3").text)


def test_a_tap_that_is_asked_about_is_told_to_the_phone(here):
    here.post("/do/pour", {"id": "x-1", "count": "1"})
    tap = {"do": "destroy", "id": "t-1", "molds": "1"}
    asked = here.post("/api/commands", json=tap)

    assert (asked.status_code, asked.json()["asks"]) == (422, True)
    assert asked.json()["refused"] == [ASKED]
    assert here.post("/api/commands", json=tap | {"go_on": True}).json()["findings"] == [ASKED]


# --- which edition is meant


def edition_words(page):
    return re.search(r'<option value=""[^>]*>([^<]+)</option>', page)[1]


def test_a_default_that_would_be_refused_is_not_offered(here):
    assert edition_words(here.get("/do/pour").text) == "The only one that is open"
    here.app.state.desk.do({"do": "plan-edition", "id": "p-2", "edition": "reed-cup", "pieces": 3})

    assert edition_words(here.get("/do/pour").text) == "Choose one"
    assert edition_words(here.get("/do/weigh").text) == "As the labels say"
    assert edition_words(here.get("/do/note").text) == "The studio as a whole"
    assert 'name="edition"' not in here.get("/do/correct?entry=1&void=yes").text


def test_the_kinds_of_parts_are_told_apart_by_their_outlines():
    """By the whole word, so that a spring is no ring; what is none has sockets by its place."""
    outline = environment().get_template("part_outlines.html").module.outline
    words = ("left half", "right half", "half", "foot", "collar", "spout", "handle", "plug", "cap", "ring", "rim")  # fmt: skip
    drawn = {str(outline(word)) for word in words}

    assert len(drawn) == len(words)
    assert str(outline("Base")) == str(outline("bottom")) == str(outline("foot"))
    assert str(outline("spring")) == str(outline("rim"))
    assert [str(outline("rim", place)).count("<circle") for place in (1, 2, 3)] == [1, 2, 3]


def test_a_part_to_choose_is_drawn_beside_its_word(sample):
    page = sample.get("/do/break-part?mold=M-005&edition=fern-jug").text

    assert re.findall(r'part-outline".*?<span>([^<]+)<', page, re.DOTALL) == ["left half", "right half", "foot", "whole mold"]  # fmt: skip


@pytest.mark.parametrize("units", ["metric", "us"])
def test_what_a_file_tells_is_asked_with_its_unit_and_currency(units):
    """A number alone is enough wherever a quantity or a price is asked."""
    fields = [one for file in ("studio", "edition") for table in tables_in(file) for one in fields_of(file, table.name)]  # fmt: skip
    asked = [one for one in fields if one.kind in ("quantity", "water", "money") and not one.many]
    form = table_form("/", asked, {}, units, "/", currency="DKK")

    assert [one.name for one in form.first if not one.units and one.name != "slurry"] == []
    beside = {one.name: one.units[0] for one in form.first if one.units}
    assert (beside["labor"], beside["handling"], beside["spoiled_loads"]) == ("DKK/h", "min", "%")
    assert beside["room"] == ("m3" if units == "metric" else "cu ft")


def test_a_share_that_is_told_without_per_cent_stays_one(sample):
    told = {"spare": "0.05"}
    (form,) = table_form("/", [one for one in fields_of("studio", "plaster") if one.key == "spare"], told, "metric", "/").first  # fmt: skip

    assert (form.value, form.units) == ("0.05", ())
    assert '<span class="unit">DKK/h</span>' in sample.get("/settings/studio/prices").text
    assert '<span class="unit">DKK</span>' in sample.get("/do/sell").text
