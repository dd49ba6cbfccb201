"""Pairing: one code, two minutes, one phone, five failures a minute."""

import math
import re
from datetime import UTC, datetime, timedelta

import pytest

from pourwright.errors import BadInput
from pourwright.web.door import COOKIE
from pourwright.web.pairing import LENGTH, LETTERS, MOST_WRONG, Pairing, TooManyTries

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)


def seconds(number):
    return NOW + timedelta(seconds=number)


@pytest.fixture
def pairing():
    return Pairing()


def test_the_alphabet_has_thirty_letters_that_nobody_mixes_up():
    assert len(set(LETTERS)) == 30
    assert not set("01OILU") & set(LETTERS)


def test_a_guess_hits_less_than_once_in_fifty_billion_codes():
    """Within a code's two minutes ten guesses are heard, five a minute."""
    assert 2 * MOST_WRONG / math.pow(len(LETTERS), LENGTH) < 2e-11


def test_a_code_is_used_up(pairing):
    code = pairing.offer(NOW)
    pairing.redeem(f" {code[:4].lower()}-{code[4:]} ", seconds(119))

    with pytest.raises(BadInput):
        pairing.redeem(code, seconds(119))
    assert pairing.shown(seconds(119)) is None


def test_a_code_ends_after_two_minutes(pairing):
    code = pairing.offer(NOW)

    assert pairing.shown(seconds(119))[0] == code
    assert pairing.shown(seconds(120)) is None
    with pytest.raises(BadInput):
        pairing.redeem(code, seconds(120))


def test_a_new_code_ends_the_one_before(pairing):
    first = pairing.offer(NOW)
    second = pairing.offer(NOW)

    with pytest.raises(BadInput):
        pairing.redeem(first, NOW)
    pairing.redeem(second, NOW)


def test_the_sixth_guess_within_a_minute_is_not_heard_even_if_right(pairing):
    code = pairing.offer(NOW)
    for number in range(MOST_WRONG):
        with pytest.raises(BadInput):
            pairing.redeem("22222222", seconds(number))

    with pytest.raises(TooManyTries):
        pairing.redeem(code, seconds(30))
    pairing.redeem(code, seconds(61))


def test_without_a_code_nothing_is_right(pairing):
    for typed in ("", "        ", "22222222"):
        with pytest.raises(BadInput):
            pairing.redeem(typed, NOW)


def test_codes_differ(pairing):
    assert len({pairing.offer(NOW) for _ in range(200)}) == 200


# --- through the pages


def code_on(here):
    here.post("/settings/devices/code")
    shown = here.get("/settings/devices").text
    return re.search(r'class="code">(\w{4} \w{4})<', shown)[1]


def test_a_phone_comes_in_by_the_code_on_the_studios_computer(app, here, stranger):
    answer = stranger.post("/pair", {"code": code_on(here), "name": "wheel room phone"})

    assert answer.status_code == 303
    cookie = answer.headers.get_list("set-cookie")[-1]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    stranger.cookies = {COOKIE: re.search(rf"{COOKIE}=([^;]+)", cookie)[1]}
    assert stranger.get("/settings/devices").status_code == 200
    assert "wheel room phone" in here.get("/settings/devices").text


def test_only_the_studios_computer_sees_the_code(here, phone):
    code = code_on(here)

    assert code not in phone.get("/settings/devices").text
    assert phone.get("/settings/devices/qr.svg").status_code == 403


def test_the_picture_holds_the_address_with_the_code(here, app):
    assert here.get("/settings/devices/qr.svg").status_code == 404
    code_on(here)
    picture = here.get("/settings/devices/qr.svg")

    assert picture.headers["content-type"] == "image/svg+xml"
    assert picture.text.startswith("<?xml")


def test_opening_the_address_burns_no_code(here, stranger):
    """Messengers open links on their own; only the post redeems."""
    code = code_on(here)
    for _ in range(3):
        page = stranger.get(f"/pair?code={code}")
        assert f'value="{code}"' in page.text

    assert stranger.post("/pair", {"code": code}).status_code == 303


def test_a_wrong_code_shows_the_form_again_and_the_sixth_is_not_heard(here, stranger):
    code = code_on(here)
    wrong = [stranger.post("/pair", {"code": "2222 2222", "name": "mine"}) for _ in range(5)]

    assert {one.status_code for one in wrong} == {422}
    assert 'value="mine"' in wrong[0].text
    assert "the studio&#39;s computer shows now" in wrong[0].text
    last = stranger.post("/pair", {"code": code})
    assert last.status_code == 429
    assert "Wait a minute" in last.text
    assert not last.headers.get_list("set-cookie")


def test_a_name_of_control_characters_is_refused(here, stranger):
    answer = stranger.post("/pair", {"code": code_on(here), "name": "a\x07b"})

    assert answer.status_code == 422
    assert "plain letters" in answer.text


def test_a_device_that_is_turned_away_is_out_at_once(app, here, phone):
    assert phone.get("/do").status_code == 200
    shown = here.get("/settings/devices").text
    device = re.search(r'name="device" value="([^"]+)"', shown)[1]

    assert here.post("/settings/devices/end", {"device": device}).status_code == 303
    assert phone.get("/do").status_code == 401
    answer = phone.request("POST", "/api/commands", json={"do": "note", "id": "1", "text": "x"})
    assert answer.status_code == 401
    assert answer.json()["ok"] is False
