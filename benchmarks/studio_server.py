"""A studio as it is served, and one page more that does nothing: what the others are held against.

python -m benchmarks.studio_server FOLDER DAY
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from fastapi import Request
from starlette.responses import Response

from pourwright.web.app import own
from pourwright.web.render import page
from pourwright.web.serve import serve

NOTHING = "/nothing"


def nothing(request: Request) -> Response:
    """Show the frame that every page has, and nothing in it."""
    return page(request, "base.html", title="Nothing")


def main() -> None:
    """Serve a folder's studio on a free port, which stands in the first line that is said."""
    own.add_api_route(NOTHING, nothing, methods=["GET"], include_in_schema=False)
    folder, day = sys.argv[1:]
    serve(
        Path(folder), port=0, lan=False, names=(), today=date.fromisoformat(day), browse=False,
        say=lambda line: print(line, flush=True),
    )  # fmt: skip


if __name__ == "__main__":
    main()
