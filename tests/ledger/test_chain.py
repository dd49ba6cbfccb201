"""The entry as it is hashed, and checkpoints."""

import hashlib
import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import BadInput
from pourwright.ledger import entry as entries
from pourwright.ledger.entry import GENESIS, Entry, canonical, digest, read_entry
from pourwright.ledger.file.chain import Checkpoint, read_checkpoint

TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
BODIES = st.dictionaries(
    TEXTS,
    st.recursive(
        st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | TEXTS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
        max_leaves=8,
    ),
    max_size=4,
)


def an_entry(body: dict, **changed) -> Entry:
    fields = {
        "v": 1, "id": "e-x", "seq": 7, "kind": "casts-made", "at": "2027-03-01T08:00:00Z",
        "recorded": "2027-03-01T09:30:00.000Z", "zone": "Europe/Berlin", "by": "bench",
        "command_id": "c1", "corrects": None, "body": body,
    }  # fmt: skip
    return Entry(**{**fields, **changed})


@given(TEXTS, TEXTS)
def test_a_digest_is_sha_256_of_the_canonical_list(previous, text):
    """Against RFC 8785 as another library has it, and SHA-256 of the standard library."""
    right = hashlib.sha256(rfc8785.dumps([previous, text])).hexdigest()

    assert digest(previous, text) == right


def test_the_first_digest_is_what_the_command_line_of_any_system_gives():
    """printf '["000...","{}"]' | sha256sum, coreutils 9.1."""
    assert digest(GENESIS, "{}") == PRINTED


PRINTED = "28786a55758fb25939831072cd4cc95d46e04479d23839308b99ef5a1196171f"


@given(BODIES)
def test_an_entry_reads_back_as_it_was_and_keeps_its_text(body):
    written = an_entry(body)
    text = canonical(written)

    assert read_entry(text) == written
    assert canonical(read_entry(text)) == text
    assert json.loads(text)["body"] == body


def test_keys_are_in_the_order_of_rfc_8785():
    """RFC 8785, section 3.2.3: its example of sorting, by UTF-16 code units."""
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    text = canonical(an_entry(dict.fromkeys(keys, "")))

    order = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(text)["body"]) == order


@pytest.mark.parametrize("body", [{"kg": 3.41}, {"molds": [{"kg": float("nan")}]}])
def test_a_float_in_an_entry_is_a_fault_of_ours(body):
    with pytest.raises(TypeError, match="decimal strings"):
        canonical(an_entry(body))


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"v":1}', '{"v":2}', "nonsense", "null"])
def test_what_is_no_entry_is_not_read(text):
    with pytest.raises(ValueError, match="entry|Expecting"):
        read_entry(text)


def test_an_entry_belongs_to_its_edition_or_to_the_studio():
    assert an_entry({"edition": "cup"}).scope == "cup"
    assert an_entry({}).scope == "studio"


@pytest.mark.parametrize(
    ("at", "late"),
    [
        ("2027-03-01T09:30:00Z", False),
        ("2027-02-28T21:30:00Z", False),  # twelve hours before
        ("2027-02-28T21:29:59Z", True),
        ("2027-03-01", False),
        ("2027-02-28", False),  # until midnight in Berlin, ten and a half hours before
        ("2027-02-27", True),
    ],
)
def test_more_than_twelve_hours_later_is_late(at, late):
    assert an_entry({}, at=at).is_late is late


def test_ids_are_opaque_and_the_same_command_may_give_the_same():
    assert entries.id_from("a") == entries.id_from("a") != entries.id_from("b")
    ids = {entries.random_id() for _ in range(1000)}
    assert len(ids) == 1000
    assert all(len(one) == 28 and one.startswith("e-") for one in ids)


def test_a_moment_is_written_in_utc():
    berlin = timezone(timedelta(hours=1))

    assert entries.written_instant(datetime(2027, 3, 1, 10, 30, tzinfo=berlin)) == (
        entries.written_instant(datetime(2027, 3, 1, 9, 30, tzinfo=UTC))
    )
    with pytest.raises(ValueError, match="time zone"):
        entries.written_instant(datetime(2027, 3, 1))  # noqa: DTZ001


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("4182:9c1d0a2b", Checkpoint(4182, "9c1d0a2b")),
        (" 4182:9C1D0A2B3C… ", Checkpoint(4182, "9c1d0a2b3c")),
        ("1:" + "a" * 64, Checkpoint(1, "a" * 64)),
    ],
)
def test_a_checkpoint_is_read_as_it_is_printed(text, right):
    assert read_checkpoint(text) == right


@pytest.mark.parametrize("text", ["", "4182", "4182:", "4182:9c1d", "x:9c1d0a2b", "1:" + "a" * 65])
def test_what_is_no_checkpoint_is_refused_with_a_sentence(text):
    with pytest.raises(BadInput, match="eight or more of the digits"):
        read_checkpoint(text)
