"""Text that is more than text to something, in every field that somebody can write into.

Either it is refused and still stands in its field, or it is written down and shows as text:
no element and no attribute comes of it, wherever it is shown.
"""

import re
from collections import Counter
from html import unescape
from urllib.parse import urlencode

import httpx
import pytest

from tests.web.browser import run
from tests.web.dealing import dealt
from tests.web.pages import PLAN, Page, walk
from tests.web.sample import sample as sample

LONG = "w" * 10_000
MARKUP = (
    "<script>alert(1)</script>", "<ScRiPt src=//elsewhere.example/x.js></sCrIpT>",
    "<img src=x onerror=alert(1)>", '"><svg onload=alert(1)>', "' onmouseover='alert(1)' x='",
    '" onfocus="alert(1)" autofocus x="', "</title><script>alert(1)</script>",
    "</textarea><iframe src=javascript:alert(1)></iframe>", "</script><script>alert(1)</script>",
    "<style>*{display:none}</style>", "<base href=//elsewhere.example/>", "<b/onclick=alert(1)>x",
    "<meta http-equiv=refresh content=0;url=//elsewhere.example>", "<math><mtext></mtext></math>",
    "<form action=//elsewhere.example><input name=x></form>", "<!--><img src=x onerror=alert(1)>",
    "<plaintext>", "<object data=//elsewhere.example></object>", "<details open ontoggle=alert(1)>",
)  # fmt: skip
"""What would be an element or an attribute of its own if it were not escaped."""

MORE = (
    "{{ 7 * 7 }}", "{{ ''.__class__.__mro__ }}", "{% include 'base.html' %}", "<%= 7*7 %>", "[[${7*7}]]",
    "#{7*7}", "`$(touch x)`", "{0.__class__}", "%(x)s %s%n", "expression(alert(1))",
    "background:url(//elsewhere.example)", "JaVaScRiPt:alert(1)", "data:text/html,<i>x</i>",
    "\u0661\u0662\u0663", "\uff11\uff12 kg", "9" * 5000, "-" + "9" * 70, "1/" + "0" * 60, "1e999", "NaN",
    "\u202eabc\u2066", "\u05d0\u05d1", "\u200b\u2060", "\ufeffx", "x\u0000y", "a\u0007b", "\u0085", "a\u2028b",
    "\ud800", "\U0001f468\u200d\U0001f469\u200d\U0001f467", "Z\u0351\u036b\u0343" * 30, LONG, "../../etc/passwd",
    "C:\\CON\\..\\x", "//elsewhere.example", "&lt;u&gt; &#60;u&#62;", "%3Cu%3E %00", "\\u003cu\\u003e",
    "'; DROP TABLE entry; --", '" UNION SELECT 1 --', "\r\nSet-Cookie: x=1", "a\rb", "=1+1", "null", "[]",
    "{% raw %}", "${7*7}", "-->", "]]>", "&amp;amp;", "1 OR 1=1", "file:///etc/passwd", "@SUM(1)", "+cmd|x",
    "e\u0301" * 50, "\uff1cb\uff1e", "\ud7ff", "line\nbreak", "tab\there", "Infinity", "-0",
)  # fmt: skip
STRINGS = (*MARKUP, *MORE)
EVERYWHERE = "\"'></title></textarea></script><svg onload=alert(1)>"
"""What ends whatever it stands in, if it is not escaped there; each form gets this one."""

TEXT = re.compile(r'"[^"]*"|(?<=>)[^<]+')


def skeleton(text):
    """Return a page without its words and its attributes' values.

    Text that is escaped has neither a "<" nor a quotation mark, so it cannot change this.
    """
    return TEXT.sub("", text)


class Sound:
    """Knows which elements and attributes the studio's own pages have, and finds others."""

    def __init__(self, pages):
        self.pairs = {
            (tag, name) for page in pages for tag, told in page.elements for name in (*told, "")
        }
        self._seen = set()

    def faults(self, text):
        """Return what of a page is not the studio's; the same structure is read once."""
        bones = skeleton(text)
        if bones in self._seen:
            return []
        found = [fault for one in Page(text).elements for fault in self._faults(*one)]
        if not found:
            self._seen.add(bones)
        return found

    def _faults(self, tag, told):
        strange = [name for name in (*told, "") if (tag, name) not in self.pairs]
        yield from (f"<{tag} {name}>" for name in strange)
        if tag == "script" and not self._is_own(told):
            yield f"<script> {told}"
        for name in ("src", "href", "action", "data-tap", "content"):
            where = (told.get(name) or "").strip().lower()
            if re.match(r"[a-z]+script:|data:|//|https?:", where):
                yield f"{name}={where[:60]}"

    @staticmethod
    def _is_own(told):
        src = told.get("src") or ""
        return src.startswith("/static/") or told.get("type") == "application/json"


def wanted(form):
    """Return what is written wrong into a form, harmlessly: what its refusal looks like."""
    return form.standing() | dict.fromkeys(form.written, "?")


@pytest.fixture(scope="module")
def pages(sample):
    """Return the pages of the sample studio, before anything hostile is written."""
    desk = sample.app.state.desk
    desk.devices.pair("wheel room phone", desk.clock.now())
    return walk(sample)


@pytest.fixture(scope="module")
def forms(pages):
    """Return all forms with something to write into, by where they go and how."""
    found = {}
    for page in pages.values():
        for form in (way for one in page.forms for way in one.by_buttons()):
            key = (form.method, form.action.partition("#")[0])
            known = found.get(key)
            if form.written and (known is None or len(form.fields) > len(known.fields)):
                found[key] = form
    return found


@pytest.fixture(scope="module")
def sound(sample, pages, forms):
    """Return what knows the studio's own elements, those of refusals among them."""
    refused = [
        Page(sample.request(method, action, **how).text)
        for (method, action), form in forms.items()
        if action != "/pair"
        for how in [{"params" if method == "get" else "data": wanted(form)}]
    ]
    asked = Page(sample.get("/editions/fern-jug/what-if?molds=9&pieces=3").text)
    with_plans = Page(sample.get("/").text)  # they were not worked out when it was first seen
    return Sound([*pages.values(), *refused, asked, with_plans])


def test_there_are_enough_strings_and_fields(forms):
    assert len(set(STRINGS)) > 60
    assert len(forms) > 90
    assert sum(len(form.written) for form in forms.values()) > 600
    assert {"get", "post"} == {method for method, _ in forms}


def test_markup_that_is_not_escaped_would_be_found(sample, sound):
    """In a text, an attribute's value, a text field or a title: in at least one of them."""
    page = sample.get("/do/note?text=HERE").text

    def found(string):
        places = (
            page.replace("</h1>", f"{string}</h1>"), page.replace('value=""', f'value="{string}"'),
            page.replace('value=""', f"value='{string}'"), page.replace("HERE", string),
            page.replace("</title>", f"{string}</title>"),
        )  # fmt: skip
        return [bool(sound.faults(one)) for one in places]

    assert sound.faults(page) == []
    assert [one for one in MARKUP if not any(found(one))] == []
    assert found(EVERYWHERE) == [True] * 5


def as_kept(string):
    """Return a text as a page shows it again: as a form sends it, without space around it."""
    sent = string.encode("utf-8", "surrogatepass").decode("utf-8", "replace")
    return sent.replace("\r\n", "\n").strip()


async def _answers(browser, method, action, form, strings):
    """Yield each string with the answer to a form that holds it in every field."""
    transport = httpx.ASGITransport(browser.app, raise_app_exceptions=False, client=browser.address)
    kind = {"content-type": "application/x-www-form-urlencoded"}
    async with httpx.AsyncClient(
        transport=transport, base_url=browser.where, headers=browser.headers
    ) as client:
        for number, string in enumerate(strings):
            given = form.standing() | dict.fromkeys(form.written, string)
            if "id" in given:
                given["id"] = f"hostile-{number}-{action}"[:60]
            sent = {k: v.encode("utf-8", "surrogatepass") for k, v in given.items()}
            if method == "get":
                answer = await client.get(f"{action}?{urlencode(sent)}")
            else:
                answer = await client.post(action, content=urlencode(sent), headers=kind)
            client.cookies.clear()
            yield string, answer


@pytest.mark.rounds
def test_every_string_in_every_field_is_kept_as_text_or_written(sample, forms, sound):
    """Every string in every field of every form: tens of thousands of values with all rounds."""
    faults, counts = [], Counter()

    async def ask():
        for place, ((method, action), form) in enumerate(forms.items()):
            strings = [EVERYWHERE, *dealt(STRINGS, place, 3)]
            async for string, answer in _answers(sample, method, action, form, strings):
                counts[answer.status_code] += 1
                faults.extend((action, string[:40], one) for one in wrong(answer, string, form))

    def wrong(answer, string, form):
        status = answer.status_code
        if status not in (200, 303, 422, 429) or (status == 429 and form.action != "/pair"):
            yield f"answered {status}"
        yield from sound.faults(answer.text)
        if status in (422, 429) and unescape(answer.text).count(as_kept(string)) < len(
            form.written
        ):
            yield "not kept"

    run(ask())
    assert faults[:20] == []
    asked = sum(counts.values())
    assert asked >= 4 * len(forms)
    assert counts[422] > 0.8 * asked
    assert counts[303] >= 12  # by the few forms that take any text at all


@pytest.mark.parametrize("path", ["/do/cast", "/do/note", "/figures/plaster", "/pair"])
def test_what_an_address_fills_in_shows_as_text(path, sample, sound):
    fields = [*Page(sample.get(path).text).forms[-1].fields]
    shown = 0
    for string in (one[:1000] for one in STRINGS):
        sent = string.encode("utf-8", "surrogatepass")
        asked = urlencode({name: sent for name in fields if name not in ("back", "units")})
        answer = sample.get(f"{path}?{asked}")

        assert answer.status_code in (200, 422), (path, string)
        assert sound.faults(answer.text) == [], (path, string)
        assert "49" not in re.findall(r'value="(\d+)"', answer.text), (path, string)
        shown += as_kept(string) in unescape(answer.text)
    assert shown > len(STRINGS) / 2, (path, shown, fields)


# --- what is accepted shows as text, wherever it is shown


def accepted(number, string):
    """Yield forms that take a text: where each goes, and what it sends."""
    yield "/do/note", {"about": "M-004", "text": string}
    yield "/do/mix-lot", {"what": "slip", "name": string, "note": string}
    yield "/do/cast", {"edition": "fern-jug", "molds": "M-004", "note": string}
    yield (
        "/do/lose",
        {"edition": "fern-jug", "stage": "greenware", "lost": "1 chip", "note": string},
    )
    yield (
        "/do/judge",
        {"edition": "fern-jug", "molds": "M-004", "verdict": "softer", "reference": string},
    )
    yield "/do/tag", {"edition": "fern-jug", "mold": "M-004", "tag": string}
    yield "/do/plan-edition", {"edition": f"hostile-{number}", "name": string, "pieces": "4"}  # fmt: skip


def test_what_is_written_down_shows_as_text_on_every_page(sample, sound):
    """Names, notes, labels and words of caution of markup, then every page is looked at."""
    taken = []
    for number, string in enumerate(MARKUP[:8]):
        for action, fields in accepted(number, string):
            answer = sample.post(action, fields | {"id": f"taken-{number}-{action[4:]}"})
            taken += [(action, string)] if answer.status_code == 303 else []
    care = dict.fromkeys(Page(sample.get("/settings/care").text).forms[0].fields, MARKUP[2])
    assert sample.post("/settings/care", care).status_code == 303
    room = Page(sample.get("/settings/studio/studio").text).forms[0].standing()
    assert sample.post("/settings/studio/studio", room | {"name": MARKUP[3]}).status_code == 303
    kept = Page(sample.get("/bench/plaster/reminders").text).forms[0].standing()
    assert sample.post("/bench/plaster/reminders", dict.fromkeys(kept, MARKUP[4])).status_code == 303  # fmt: skip
    desk = sample.app.state.desk
    desk.devices.pair(MARKUP[0], desk.clock.now())

    starts = ("/", *(f"/editions/hostile-{one}" for one in range(8)), "/do/cast", "/records")
    found = walk(sample, starts, without=(PLAN,))
    words = " ".join(unescape(page.text) for page in found.values())
    faults = {path: sound.faults(page.text) for path, page in found.items()}

    assert {path: some for path, some in faults.items() if some} == {}
    assert {action for action, _ in taken} == {action for action, _ in accepted(0, "")}
    assert [string for string in MARKUP[:8] if string not in words] == []
    assert MARKUP[3] in found["/"].title
