"""Why a piece is lost: the causes that yields are told by. A new one is a line here."""

from __future__ import annotations

CAUSES = (
    "stuck",
    "torn opening",
    "handle crack",
    "collapse",
    "pinhole",
    "casting line",
    "seam ghost",
    "warp",
    "bisque crack",
    "crawl",
    "plaster pop-out",
    "chip",
    "other",
)
"""Every cause, in the order of the work."""

CASTING_CAUSES = (*CAUSES[: CAUSES.index("seam ghost")], "other")
"""Those that show when a mold is opened."""
