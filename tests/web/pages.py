"""The pages of a studio, found by following their links, and the forms that stand on them."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urlsplit

from tests.web.browser import Browser
from tests.web.test_routes import TABLE

WRITTEN = ("words", "text", "textarea", "date", "search", "password")
"""The kinds of a field that somebody writes into."""

# Tables, verbs and subjects are each a form of its own; of molds, numbers and entries one will do.
ALL_OF = ("/do/", "/figures/", "/settings/studio/", "/brief/")
SLOW = ("/offered/", "/stream")
"""What takes seconds, or never ends; a test that wants it asks for it by name."""
PLAN = "/editions/{edition}/plan"
"""Takes a second and has no form."""


@dataclass
class Field:
    """A field of a form."""

    name: str
    kind: str
    value: str = ""
    choices: list[str] = field(default_factory=list)


@dataclass
class Form:
    """A form as it stands on a page: where it goes, and its fields by name."""

    action: str
    method: str
    is_multipart: bool
    fields: dict[str, Field] = field(default_factory=dict)
    buttons: dict[str, str] = field(default_factory=dict)
    """Where its buttons send it in another way than it goes itself, each with the method."""

    @property
    def written(self) -> list[str]:
        """The names of the fields that somebody writes into."""
        return [one.name for one in self.fields.values() if one.kind in WRITTEN]

    def by_buttons(self) -> list["Form"]:
        """Return the form as each way of sending it has it: what only one verb takes bears its name."""
        if not self.buttons:
            return [self]
        ways = [one for one, method in self.buttons.items() if method == "post"]
        return [Form(one, "post", self.is_multipart, self._of(one)) for one in ways]

    def _of(self, action: str) -> dict[str, Field]:
        own = f"{action.rpartition('/')[2]}."
        kept = [
            one for one in self.fields.values() if "." not in one.name or one.name.startswith(own)
        ]
        return {one.name: one for one in kept if not one.name.endswith(".unit")}

    def standing(self) -> dict[str, str]:
        """Return what would be sent if nobody changed anything."""
        return {one.name: one.value for one in self.fields.values() if one.kind != "file"}


class Page(HTMLParser):
    """What stands in a page: its elements with their attributes, links, forms, words."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.links: list[str] = []
        self.forms: list[Form] = []
        self.words = ""
        self.title = ""
        self.headings: list[str] = []
        self._open: list[str] = []
        self._long: Field | None = None
        self._select: Field | None = None
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attributes):
        told = dict(attributes)
        self.elements.append((tag, told))
        self._open.append(tag)
        if tag in ("h1", "h2"):
            self.headings.append("")
        if tag == "a" and told.get("href"):
            self.links.append(told["href"])
        elif tag == "form":
            multipart = told.get("enctype") == "multipart/form-data"
            self.forms.append(Form(told.get("action", ""), told.get("method", "get"), multipart))
        elif tag == "button" and told.get("formaction") and self.forms:
            self.forms[-1].buttons[told["formaction"]] = told.get("formmethod", "post")
        elif tag in ("input", "textarea", "select") and told.get("name") and self.forms:
            self._field(tag, told)
        elif tag == "option" and self._select is not None:
            self._choice(self._select, told, chosen="selected" in told)

    def _field(self, tag, told):
        kind = told.get("type", "text") if tag == "input" else tag
        known = self.forms[-1].fields
        one = known.setdefault(told["name"], Field(told["name"], kind))
        if kind in ("radio", "checkbox"):
            self._choice(one, told, chosen="checked" in told)
        elif tag == "input":
            one.value = told.get("value") or ""
        self._long = one if tag == "textarea" else None
        self._select = one if tag == "select" else None

    @staticmethod
    def _choice(one, told, *, chosen):
        value = told.get("value") or ""
        one.choices.append(value)
        if chosen or (one.kind == "select" and len(one.choices) == 1):
            one.value = value

    def handle_endtag(self, tag):
        while self._open and self._open.pop() != tag:
            pass
        if tag == "textarea" and self._long is not None:
            # the first line break after the tag is the template's
            self._long.value = self._long.value.removeprefix("\n")
            self._long = None
        if tag == "select":
            self._select = None

    def handle_data(self, data):
        if self._long is not None:
            self._long.value += data
        if self._open and self._open[-1] == "script":
            return
        if "title" in self._open[-1:]:
            self.title += data
        if self.headings and {"h1", "h2"} & set(self._open):
            self.headings[-1] += data
        self.words += data


def route_of(path: str) -> str:
    """Return the route that a path belongs to, as the table of routes has it."""
    whole = urlsplit(path).path
    for row in sorted(TABLE, key=lambda one: one.path.count("{")):
        pattern = re.sub(r"\\\{[a-z]+\\\}", "[^/]+", re.escape(row.path))
        if re.fullmatch(pattern, whole):
            return row.path
    return ""


def kind_of(link: str) -> tuple[str, ...]:
    """Return what makes two links lead to the same kind of page."""
    parts = urlsplit(link)
    asked = tuple(sorted(name for name, _ in parse_qsl(parts.query)))
    is_own = any(one in parts.path for one in ALL_OF)
    return (parts.path if is_own else route_of(link), *asked)


JUG = "/editions/fern-jug/brief"
"""A brief that tells its parts one by one; the flask's come from a model."""


def walk(
    browser: Browser, starts: tuple[str, ...] = ("/", "/pair", JUG), without: tuple[str, ...] = ()
) -> dict[str, Page]:
    """Return the pages that links lead to, one of each kind, but for some routes."""
    found: dict[str, Page] = {}
    kinds: set[tuple[str, ...]] = set()
    ahead = list(starts)
    while ahead:
        path = ahead.pop(0)
        if kind_of(path) in kinds or path.startswith(SLOW) or route_of(path) in without:
            continue
        kinds.add(kind_of(path))
        answer = browser.get(path)
        assert answer.status_code == 200, path
        if "html" not in answer.headers["content-type"]:
            continue
        found[path] = Page(answer.text)
        ahead += [link.partition("#")[0] for link in found[path].links if link.startswith("/")]
    return found


def forms_of(pages: dict[str, Page]) -> dict[str, Form]:
    """Return the forms of pages that are posted, one for each place they go to.

    The fullest stands for those that go to the same place: a tap has fewer fields than its form.
    """
    found: dict[str, Form] = {}
    for page in pages.values():
        for form in (way for one in page.forms for way in one.by_buttons()):
            known = found.get(form.action)
            if form.method == "post" and (known is None or len(form.fields) > len(known.fields)):
                found[form.action] = form
    return found
