"""Charts as pictures that a page leads to, in the width and the colors that an address asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.report.charts.palette import SCHEMES, Scheme
from pourwright.report.charts.records import LOOKS


@dataclass(frozen=True, slots=True)
class PictureLook:
    """How a picture is to look: its width by name, and the colors of the page it is for."""

    width: str
    scheme: Scheme


def _asked(width: str = "phone", scheme: str = "light") -> PictureLook:
    known = next((one for one in SCHEMES if one == scheme), None)
    if known is None or all(one.name != width for one in LOOKS):
        raise HTTPException(404)
    return PictureLook(width, known)


AskedLook = Annotated[PictureLook, Depends(_asked)]
"""The look that an address asks for; for the parameters of a page that gives a picture."""


def picture(svg: bytes) -> Response:
    """Return a chart as a picture, asked for anew each time."""
    return Response(svg, media_type="image/svg+xml", headers={"cache-control": "private, no-cache"})
