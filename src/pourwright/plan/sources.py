"""Where each number of a plan came from."""

from __future__ import annotations

from collections.abc import Mapping

from pourwright.briefs.records import Brief, Origin, Studio

_NOT_NUMBERS = {"version", "studio"}
NOT_GIVEN = "not given"


def sources_section(brief: Brief, studio: Studio) -> list[dict[str, str]]:
    """Return every field of the brief and the studio with its value and origin."""
    return [*_rows(brief.origins), *_rows(studio.origins)]


def _rows(origins: Mapping[str, Origin]) -> list[dict[str, str]]:
    return [
        {
            "field": path,
            "value": origin.typed or NOT_GIVEN,
            "kind": origin.kind,
            "source": origin.source,
        }
        for path, origin in origins.items()
        if path not in _NOT_NUMBERS
    ]
