"""``pourwright ask``: by options, by conversation, and what it refuses."""

import io
import re
import tomllib
from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.reading import read_brief
from pourwright.cli.main import run
from pourwright.money import Money
from pourwright.report.saying import day

ANSWERS = [
    "--pieces",
    "36",
    "--water",
    "1.9 kg; 640 g",
    "--glaze-load",
    "18",
    "--loads-a-week",
    "2",
]


SKIPPED = [""] * 6
"""Enter at name, proofs, date, country, kiln and hour."""


class Terminal(io.StringIO):
    """Standard input with somebody at it."""

    def isatty(self) -> bool:
        return True


def typing(monkeypatch, *lines: str, terminal: bool = True) -> None:
    text = "".join(f"{line}\n" for line in lines)
    monkeypatch.setattr("sys.stdin", Terminal(text) if terminal else io.StringIO(text))


def brief_in(folder) -> dict:
    return tomllib.loads((folder / "edition.toml").read_text(encoding="utf-8"))


def test_options_alone_write_both_files(tmp_path, monkeypatch, capsys):
    typing(monkeypatch, terminal=False)
    folder = tmp_path / "gull-cup"

    assert run(["ask", str(folder), *ANSWERS, "--life", "30"]) == 0
    told = capsys.readouterr().out
    brief = brief_in(folder)
    studio = tomllib.loads((folder / "studio.toml").read_text(encoding="utf-8"))

    assert brief["edition"] == {"id": "gull-cup", "pieces": 36}
    assert [part["water"] for part in brief["mold"]["parts"]] == ["1.9 kg", "640 g"]
    assert brief["mold"]["life"] == 30
    assert studio["kiln"]["loads_a_week"] == 2
    assert f"pourwright plan {folder / 'edition.toml'}" in told


def test_a_conversation_asks_only_what_is_missing(tmp_path, monkeypatch, capsys):
    typing(monkeypatch, "masters", "18", "2", "don't know", *SKIPPED)

    assert run(["ask", str(tmp_path / "cup"), "--pieces", "36", "--dry-mass", "4.8 kg"]) == 0
    told = capsys.readouterr().out

    assert "How many pieces?" not in told
    assert "water fills" not in told
    assert "How many casts does a mold give?" in told
    assert brief_in(tmp_path / "cup")["firing"]["glaze_load"] == 18
    assert brief_in(tmp_path / "cup")["preparation"]["have"] == "masters"


def test_a_whole_conversation_goes_from_water_to_dry_mass_when_water_is_not_known(
    tmp_path, monkeypatch
):
    typing(monkeypatch, "24", "", "", "10 lb 9 oz", "12", "3", "", *SKIPPED, terminal=False)

    assert run(["ask", str(tmp_path / "pitcher")]) == 0
    brief = brief_in(tmp_path / "pitcher")

    assert brief["mold"]["dry_mass"] == "10 lb 9 oz"


def test_an_answer_that_will_not_do_is_told_and_asked_again(tmp_path, monkeypatch, capsys):
    typing(
        monkeypatch,
        "many",
        "0",
        "24",
        "rubber",
        "",
        "2,5 kg",
        "2.5",
        "2.5 kg",
        "12",
        "3",
        "30",
        *SKIPPED,
    )

    assert run(["ask", str(tmp_path / "cup")]) == 0
    told = capsys.readouterr().out

    assert told.count("pieces is") == 2
    assert "2,5 kg" in told
    assert 'For kg write "2.5 kg".' in told
    assert 'what is there is "rubber"' in told
    assert brief_in(tmp_path / "cup")["edition"]["pieces"] == 24


@pytest.mark.parametrize(
    ("mass", "given", "units"),
    [
        ("4 lb 3 oz", [], "us"),
        ("1.9 kg", [], "metric"),
        ("1.9 kg", ["--units", "us"], "us"),
        ("4 lb", ["--units", "metric"], "metric"),
    ],
)
def test_the_plan_is_shown_in_the_units_typed(mass, given, units, tmp_path, monkeypatch):
    typing(monkeypatch, terminal=False)
    rest = ["--pieces", "9", "--dry-mass", mass, "--glaze-load", "3", "--loads-a-week", "1"]

    assert run(["ask", str(tmp_path / "cup"), *rest, *given]) == 0
    studio = tomllib.loads((tmp_path / "cup" / "studio.toml").read_text(encoding="utf-8"))

    assert studio.get("studio", {}).get("units", "metric") == units


def test_everything_missing_is_told_at_once_where_nobody_can_be_asked(
    tmp_path, monkeypatch, capsys
):
    typing(monkeypatch, terminal=False)

    assert run(["ask", str(tmp_path / "cup"), "--pieces", "-3", "--life", "0.5"]) == 2
    lines = capsys.readouterr().err.splitlines()

    assert len(lines) == 4
    assert not (tmp_path / "cup").exists()


def test_nothing_is_overwritten(tmp_path, monkeypatch, capsys):
    typing(monkeypatch, terminal=False)
    run(["ask", str(tmp_path), *ANSWERS])
    before = (tmp_path / "edition.toml").read_bytes()

    assert run(["ask", str(tmp_path), *ANSWERS]) == 2
    assert "never overwritten" in capsys.readouterr().err
    assert (tmp_path / "edition.toml").read_bytes() == before


def test_leaving_in_the_middle_writes_nothing(tmp_path, monkeypatch, capsys):
    typing(monkeypatch, "24")

    assert run(["ask", str(tmp_path / "cup")]) == 130
    assert "Stopped." in capsys.readouterr().err
    assert not (tmp_path / "cup").exists()


def test_what_may_be_skipped_is_asked_too_and_told_in_pounds_and_dollars(tmp_path, monkeypatch):
    told = ["Marsh pitcher", "2", "soon", "in 26 weeks", "us", "7 cu ft, 9 kW, $0.17 a kWh", "$32"]
    typing(monkeypatch, "24", "", "4 lb 3 oz", "12", "3", "25-30", *told)
    folder = tmp_path / "pitcher"

    assert run(["ask", str(folder)]) == 0
    texts = [(folder / name).read_text() for name in ("edition.toml", "studio.toml")]
    brief, studio = read_brief(folder / "edition.toml", datetime.now().astimezone().date())

    assert (brief.edition.name, brief.mold.life) == ("Marsh pitcher", 27)
    assert brief.edition.deadline is not None
    assert (studio.studio.country, studio.studio.currency) == ("US", "USD")
    assert (studio.kiln.volume_l, studio.kiln.power_kw) == (pytest.approx(198.2, abs=0.1), 9.0)
    assert studio.prices.labor_per_h == Money(Decimal(32), "USD")
    assert studio.kiln.energy_price_per_kwh == Money(Decimal("0.17"), "USD")
    assert sum(text.count("\n") for text in texts) <= 120
    for metric in (" kg", ' l"', ' g"', "EUR", "DKK", " mm"):
        assert not any(metric in text for text in texts), metric


def test_what_each_part_takes_may_be_measured_in_a_jug(tmp_path):
    told = ["--pieces", "9", "--water", "1.3 l; 1 kg", "--glaze-load", "3", "--loads-a-week", "1"]

    assert run(["ask", str(tmp_path / "cup"), *told]) == 0
    parts = brief_in(tmp_path / "cup")["mold"]["parts"]

    assert [(one.get("volume"), one.get("water")) for one in parts] == [
        ("1.3 l", None),
        (None, "1 kg"),
    ]


def test_prices_in_two_currencies_are_refused(tmp_path, capsys):
    prices = ("--kiln", "9 kW, 0.32 EUR/kWh", "--hour", "32 USD")

    assert run(["ask", str(tmp_path / "cup"), *ANSWERS, *prices]) == 2
    assert "the other price is in EUR" in capsys.readouterr().err
    assert not (tmp_path / "cup").exists()


def test_a_date_in_words_is_told_as_the_day_that_it_is_and_a_past_one_asked_again(
    tmp_path, monkeypatch, capsys
):
    today = datetime.now().astimezone().date()
    typing(monkeypatch, "", "", "", "", "1 May 2020", "in 2 weeks", *[""] * 3)

    assert run(["ask", str(tmp_path / "cup"), *ANSWERS]) == 0
    told = capsys.readouterr().out

    assert f'date is "1 May 2020"; it is in the past; today is {day(today)}.' in " ".join(
        told.split()
    )
    assert f"That is {day(today + timedelta(days=14))}." in told


def test_every_field_is_printed_and_nothing_written(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    assert run(["ask", "--every-field", "--units", "us"]) == 0
    told = capsys.readouterr().out

    for one in (*edition_fields.FIELDS, *studio_fields.FIELDS):
        assert f"\n#{one.key} = " in told or one.name == "version", one.name
    assert '#bag = "50 lb"' in told
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(("hour", "currency"), [("30 EUR", "EUR"), ("240 DKK", "DKK")])
def test_prices_left_out_are_hinted_at_in_the_studios_currency(
    tmp_path, monkeypatch, hour, currency
):
    typing(monkeypatch, terminal=False)
    folder = tmp_path / "gull-cup"

    assert run(["ask", str(folder), *ANSWERS, "--proofs", "3", "--hour", hour]) == 0
    studio = (folder / "studio.toml").read_text(encoding="utf-8")

    assert brief_in(folder)["edition"]["proofs"] == 3
    assert f' {currency}"' in next(one for one in studio.splitlines() if "bag_price" in one)
    assert {"EUR", "DKK", "USD"} & set(re.findall(r"\b[A-Z]{3}\b", studio)) == {currency}
