"""Public holidays as their countries publish them, weekdays only."""

from datetime import date

# Where: (country, region, year, month-days, who published it and where it was read).
LISTS: dict[str, tuple[str, str | None, int, str, str]] = {
    "England and Wales 2026": (
        "GB",
        "ENG",
        2026,
        "01-01 04-03 04-06 05-04 05-25 08-31 12-25 12-28",
        "UK government, UK bank holidays, England and Wales, 2026; read as reprinted by a newspaper",
    ),
    "Northern Ireland 2026": (
        "GB",
        "NIR",
        2026,
        "01-01 03-17 04-03 04-06 05-04 05-25 07-13 08-31 12-25 12-28",
        "UK government, UK bank holidays, Northern Ireland, 2026; read as reprinted by a guide",
    ),
    "United States 2026": (
        "US",
        None,
        2026,
        "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25",
        (
            "US Office of Personnel Management, federal holidays 2026 (5 U.S.C. 6103); read as reprinted"
            " by a United States Court of Appeals"
        ),
    ),
    "Japan 2026": (
        "JP",
        None,
        2026,
        (
            "01-01 01-12 02-11 02-23 03-20 04-29 05-04 05-05 05-06 07-20 08-11 09-21 09-22 09-23"
            " 10-12 11-03 11-23"
        ),
        (
            "Cabinet Office of Japan, national holidays of Reiwa 8 (2026), May 3 being a Sunday;"
            " read as reprinted by a newspaper"
        ),
    ),
    "Bavaria 2025": (
        "DE",
        "BY",
        2025,
        "01-01 01-06 04-18 04-21 05-01 05-29 06-09 06-19 10-03 12-25 12-26",
        (
            "Holidays of all Bavaria on weekdays of 2025, as a regional newspaper lists them;"
            " August 15 is none in every town"
        ),
    ),
}


def published(name: str) -> set[date]:
    """Return the dates of a list."""
    _, _, year, days, _ = LISTS[name]
    return {date.fromisoformat(f"{year}-{day}") for day in days.split()}
