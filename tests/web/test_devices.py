"""Devices: tokens kept as digests, ended at once, after 30 days idle and 90 in all."""

import sqlite3
import stat
from datetime import UTC, datetime, timedelta

import pytest

from pourwright.web.devices import HERE, Devices

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)


@pytest.fixture
def devices(tmp_path):
    opened = Devices(tmp_path / "devices.db")
    yield opened
    opened.close()


def test_a_token_lets_its_device_in_and_no_other(devices):
    one, other = devices.pair("wheel room", NOW), devices.pair("kiln shed", NOW)

    assert devices.who(one, NOW).name == "wheel room"
    assert devices.who(other, NOW).name == "kiln shed"
    assert devices.who(one[:-1], NOW) is None
    assert devices.who("", NOW) is None
    assert devices.who(None, NOW) is None


def test_a_token_has_256_bits_and_is_kept_nowhere(devices, tmp_path):
    """OWASP ASVS 5.0, 7.2.3 asks for at least 128 bits."""
    token = devices.pair("wheel room", NOW)
    rows = sqlite3.connect(tmp_path / "devices.db").execute("SELECT * FROM device").fetchall()

    assert len(token) * 6 >= 256
    assert token not in str(rows)
    assert all(
        token.encode() not in file.read_bytes() for file in tmp_path.iterdir() if file.is_file()
    )


def test_the_file_is_for_its_owner_only(devices, tmp_path):
    assert stat.S_IMODE((tmp_path / "devices.db").stat().st_mode) == 0o600


def test_a_device_that_was_ended_is_out_at_once(devices):
    token = devices.pair("wheel room", NOW)
    (device,) = devices.all(NOW)

    assert devices.end(device.id, NOW) == "wheel room"
    assert devices.who(token, NOW) is None
    assert devices.all(NOW) == []
    assert devices.end("d-nothing", NOW) is None


def test_thirty_idle_days_end_a_pairing(devices):
    token = devices.pair("wheel room", NOW)

    assert devices.who(token, NOW + timedelta(days=29))
    assert devices.who(token, NOW + timedelta(days=58))
    assert devices.who(token, NOW + timedelta(days=89)) is None


def test_ninety_days_end_a_pairing_that_is_used_daily(devices):
    token = devices.pair("wheel room", NOW)
    days = [day for day in range(1, 120) if devices.who(token, NOW + timedelta(days=day))]

    assert days == list(range(1, 91))


def test_a_restart_knows_who_is_paired(tmp_path):
    first = Devices(tmp_path / "devices.db")
    token = first.pair("wheel room", NOW)
    first.close()
    second = Devices(tmp_path / "devices.db")

    assert second.who(token, NOW).name == "wheel room"
    second.close()


def test_this_computer_is_no_row_of_the_table(devices):
    assert HERE.is_here
    assert devices.all(NOW) == []
