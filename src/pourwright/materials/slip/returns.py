"""What slip that comes back from the molds carries with it.

Drained slip goes back to the tank with what it took up: plaster dissolved by
its water, deflocculant already used, crumbs. Fresh slip that replaces what was
cast thins it out again. The two settle at a level that one sum gives.

What this page leaves out: what the level does to the slip. No source measured
it for studio slips; watch the drain time against the studio's own history.
"""

from __future__ import annotations

import numpy as np

from pourwright.materials.ranges import Floats, require


def carried_over(picked_up: Floats, used_share: Floats, rounds: Floats) -> Floats:
    """Return how much of anything is in a tank that gets its returns back.

    Each round, the whole tank picks up ``s``; then the share ``u`` is used up and
    made good with fresh slip: ``c = s (1 - u) (1 - (1 - u)^n) / u``.

    Parameters
    ----------
    picked_up : float or array
        What the slip takes up in one round through the molds, in any measure;
        zero or more. [any]
    used_share : float or array
        Share of the tank that stays in the casts each round, above 0 to 1. [-]
    rounds : float or array
        Rounds since the tank was fresh, zero or more. [-]

    Returns
    -------
    float or array
        What is in the tank after topping up, in the measure of ``picked_up``. [any]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Notes
    -----
    A balance, exact for a tank that is well stirred.

    Examples
    --------
    A tenth of the tank is cast each day; after many days nine rounds' worth stays:

    >>> f"{carried_over(1.0, 0.10, 200):.2f}"
    '9.00'
    """
    require("what a round picks up", picked_up, "", "0 or more", np.asarray(picked_up) >= 0)
    share = np.asarray(used_share)
    good = (share > 0) & (share <= 1)
    require("share used in a round", used_share, "", "more than 0 and at most 1", good)
    require("rounds", rounds, "", "0 or more", np.asarray(rounds) >= 0)
    left = 1 - used_share
    return picked_up * left * (1 - left**rounds) / used_share


def rounds_in_the_tank(used_share: Floats, rounds: Floats) -> Floats:
    """Return how many times, on average, the slip in a tank has been in the molds.

    `carried_over` with one picked up in each round.

    Parameters
    ----------
    used_share : float or array
        Share of the tank that stays in the casts each round, above 0 to 1. [-]
    rounds : float or array
        Rounds since the tank was fresh, zero or more. [-]

    Returns
    -------
    float or array
        Mean number of rounds behind the slip. [-]

    Raises
    ------
    OutOfRange
        If a value is impossible.

    Examples
    --------
    >>> f"{rounds_in_the_tank(0.25, 4):.2f}"
    '2.05'
    """
    return carried_over(1.0, used_share, rounds)
