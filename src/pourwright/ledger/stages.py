"""Where ware stands, and which firing takes it on: the routes of a brief."""

from __future__ import annotations

from pourwright.ledger.documents import EditionDoc

ROUTES = ("bisque and glaze", "once", "bisque, glaze and third")
FIRINGS = ("bisque", "glaze", "third")
STAGES = ("greenware", "bisque", "fired", "third-fired", "finished")

_FIRINGS_OF = {
    "bisque and glaze": ("bisque", "glaze"),
    "once": ("glaze",),
    "bisque, glaze and third": FIRINGS,
}
_OUTCOME = {"bisque": "bisque", "glaze": "fired", "third": "third-fired"}

LOSSES = (
    "casting",
    "greenware",
    "bisque firing",
    "bisque",
    "glaze firing",
    "fired",
    "third firing",
    "third-fired",
    "finished",
)
"""Where losses are counted: at a step, or at the stage where the piece stood."""


def firings_of(route: str) -> tuple[str, ...]:
    """Return a route's firings, in order.

    Examples
    --------
    >>> firings_of("once"), firings_of("bisque and glaze")
    (('glaze',), ('bisque', 'glaze'))
    """
    return _FIRINGS_OF[route]


def stages_of(route: str) -> tuple[str, ...]:
    """Return the stages that ware of a route passes, in order.

    Examples
    --------
    >>> stages_of("once")
    ('greenware', 'fired', 'finished')
    """
    return ("greenware", *(_OUTCOME[one] for one in firings_of(route)), "finished")


def stage_after(firing: str) -> str:
    """Return the stage that a firing leads to."""
    return _OUTCOME[firing]


def stage_before(route: str, firing: str, *, again: bool) -> str | None:
    """Return the stage that a firing takes ware from; None if the route has no such firing.

    Examples
    --------
    >>> stage_before("bisque and glaze", "glaze", again=False)
    'bisque'
    >>> stage_before("bisque and glaze", "glaze", again=True)
    'fired'
    """
    firings = firings_of(route)
    if firing not in firings:
        return None
    return _OUTCOME[firing] if again else stages_of(route)[firings.index(firing)]


def last_stage(route: str) -> str:
    """Return the stage from which ware is finished."""
    return stages_of(route)[-2]


def stage_when_marked(edition: EditionDoc) -> str:
    """Return the stage at which the brief says that pieces get their number."""
    if edition.marked == "leather-hard":
        return "greenware"
    if edition.marked == "before glaze":
        return stage_before(edition.route, "glaze", again=False) or "greenware"
    return "finished"
