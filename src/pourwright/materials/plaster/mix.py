"""Plaster and water: what a mix weighs, fills and holds, wet and dry.

Three published numbers carry this module: the water that plaster binds as it
sets, and the densities of plaster powder and of gypsum. The mass of a mix is
kept while it sets and its bulk volume changes by some tenths of a percent, so
the set, still wet plaster has the density of its slurry. Entrained air and
impure plaster lower every density; a studio's own weighed batch
(`own_yield`) takes the place of the computed yield.

What this page leaves out: air stirred into the mix, plaster that is not pure or has
drawn damp, additives, and the tenths of a percent by which a mold grows as it sets.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pourwright.materials.ranges import Floats, require, require_between, require_more_than

HEMIHYDRATE_G_PER_MOL = 145.149
"""Molar mass of CaSO4·0.5H2O (Thermoddem, BRGM, sheet "Bassanite")."""
GYPSUM_G_PER_MOL = 172.172
"""Molar mass of CaSO4·2H2O (Thermoddem, BRGM, sheet "Gypsum")."""
WATER_G_PER_MOL = 18.015
"""Molar mass of water (IUPAC abridged atomic weights)."""
PLASTER_POWDER_KG_PER_L = 2.680
"""Villavecchia, Treatise on Applied Analytical Chemistry 1, p. 176: usually 2.68, 2.5 to 2.7.

Chosen among the printed values because it fits the published densities of mixes.
"""
GYPSUM_KG_PER_L = 2.320
"""Mineral density of gypsum, 2.31 to 2.33."""
MIX_WATER_KG_PER_L = 0.9982
"""Water at 20 degC (IAPWS)."""
WATER_TO_SET = 1.5 * WATER_G_PER_MOL / HEMIHYDRATE_G_PER_MOL
"""Water that a mass of plaster binds as it sets, 0.1862 of that mass [-]."""
GYPSUM_FROM_PLASTER = 1 + WATER_TO_SET
"""Gypsum that a mass of plaster becomes, 1.1862 of that mass [-]."""

LEAST_CONSISTENCY, MOST_CONSISTENCY = 25.0, 120.0
PUBLISHED_CONSISTENCIES = (32.0, 74.0)
"""Consistencies whose densities are published; beyond them the laws are carried on."""


@dataclass(frozen=True, slots=True)
class Plaster:
    """A plaster at its mix: figures that belong together and their source.

    Parameters
    ----------
    name : str
        As it stands on the bag.
    consistency : float or array
        Parts of water to 100 parts of plaster, by mass. [-]
    source : str
        Where the consistency comes from: the bag, the data sheet, a default.
    yield_l_per_kg : float or array, optional
        Mix from a kilogram of plaster, from the studio's own weighed batch; see
        `own_yield`. Takes the place of the computed yield. [l/kg]

    Raises
    ------
    OutOfRange
        If the consistency is not between 25 and 120, or the yield is so far from
        what the densities allow that the batch was weighed or measured wrongly.

    Examples
    --------
    >>> Plaster("pottery plaster", 70, "the bag").water_ratio
    0.7
    """

    name: str
    consistency: Floats
    source: str
    yield_l_per_kg: Floats | None = None

    def __post_init__(self) -> None:
        """Refuse a mix that would not pour or not set."""
        require_between(
            "plaster consistency",
            self.consistency,
            "parts water to 100 plaster",
            LEAST_CONSISTENCY,
            MOST_CONSISTENCY,
            "70 means 700 g of water to 1000 g of plaster; a ratio of 0.7 is written 70.",
        )
        if self.yield_l_per_kg is not None:
            computed = _computed_yield(self.water_ratio)
            require(
                "yield of the plaster",
                self.yield_l_per_kg,
                "l/kg",
                f"within a fifth of the computed {float(np.mean(computed)):.2f}",
                abs(np.asarray(self.yield_l_per_kg) / computed - 1) <= 0.2,
                "It is liters of mix from a kilogram of plaster, not of mix.",
            )

    @property
    def water_ratio(self) -> Floats:
        """Mass of water to a mass of plaster [-]."""
        return self.consistency / 100


@dataclass(frozen=True, slots=True)
class Batch:
    """What to weigh for a mix, and the volume it fills.

    Parameters
    ----------
    water_kg, plaster_kg : float or array
        Water and dry plaster. [kg]
    volume_l : float or array
        The mix they make. [l]
    """

    water_kg: Floats
    plaster_kg: Floats
    volume_l: Floats


def _computed_yield(water_ratio: Floats) -> Floats:
    """Return the volumes of powder and water, added [l/kg]."""
    return 1 / PLASTER_POWDER_KG_PER_L + water_ratio / MIX_WATER_KG_PER_L


def beyond_published(plaster: Plaster) -> bool:
    """Tell whether the mix lies beyond the mixes whose densities are published.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    bool
        True below consistency 32 or above 74, where the laws are carried on
        from the chemistry without a measured density to hold them against.

    Examples
    --------
    >>> beyond_published(Plaster("molding plaster", 80, "the bag"))
    True
    """
    low, high = PUBLISHED_CONSISTENCIES
    return bool(np.any((plaster.consistency < low) | (plaster.consistency > high)))


def mix_yield(plaster: Plaster) -> Floats:
    """Return the mix that a kilogram of plaster makes.

    ``V = 1/rho_powder + w/rho_water``, powder 2.680 and water 0.9982 kg/l [1]_;
    or the studio's own yield where the plaster carries one.

    Parameters
    ----------
    plaster : Plaster
        The mix. Valid from consistency 25 to 120, published from 32 to 74.

    Returns
    -------
    float or array
        Liters of mix per kilogram of dry plaster. [l/kg]

    Examples
    --------
    >>> round(mix_yield(Plaster("pottery plaster", 70, "the bag")), 3)
    1.074

    References
    ----------
    .. [1] Villavecchia, Treatise on Applied Analytical Chemistry, vol. 1, p. 176:
       specific gravity of properly burnt gypsum.
    """
    own = plaster.yield_l_per_kg
    return _computed_yield(plaster.water_ratio) if own is None else own


def wet_density(plaster: Plaster) -> Floats:
    """Return the density of the mix, which is also that of the fresh, set mold.

    ``(1 + w)/V``, V from `mix_yield`. Within 1 % of the published wet densities
    at consistencies 32 to 70 [1]_; 1.4 % either way for the range of printed
    powder densities.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Kilograms a liter. [kg/l]

    Examples
    --------
    >>> round(wet_density(Plaster("pottery plaster", 70, "the bag")), 3)
    1.582

    References
    ----------
    .. [1] A plaster maker's data, "Mixing": densities wet and dry of five plasters.
    """
    return (1 + plaster.water_ratio) / mix_yield(plaster)


def dry_density(plaster: Plaster) -> Floats:
    """Return the density of the dry mold: gypsum, without free water.

    ``1.1862/V``, V from `mix_yield`: of 100 parts of plaster 118.6 remain as
    gypsum. Within 2 % of the published dry densities from 32 to 74 [1]_.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Kilograms a liter of mold. [kg/l]

    Examples
    --------
    >>> round(dry_density(Plaster("pottery plaster", 70, "the bag")), 3)
    1.104

    References
    ----------
    .. [1] A plaster maker's data, "Mixing"; see `wet_density`.
    """
    return GYPSUM_FROM_PLASTER / mix_yield(plaster)


def free_water(plaster: Plaster) -> Floats:
    """Return the water that a liter of fresh mold has to lose.

    ``(w - 0.1862)/V``: what setting does not bind has to dry out.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Kilograms of free water a liter of mold. [kg/l]

    Examples
    --------
    >>> round(free_water(Plaster("pottery plaster", 70, "the bag")), 3)
    0.478
    """
    return (plaster.water_ratio - WATER_TO_SET) / mix_yield(plaster)


def free_water_fraction(plaster: Plaster) -> Floats:
    """Return the part of a fresh mold's weight that dries out.

    ``(w - 0.1862)/(1 + w)``: 30 % at consistency 70. It needs no density, only
    chemistry, and is the surest figure of this module.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Free water over wet mass. [-]

    Examples
    --------
    >>> round(free_water_fraction(Plaster("pottery plaster", 70, "the bag")), 3)
    0.302
    """
    return (plaster.water_ratio - WATER_TO_SET) / (1 + plaster.water_ratio)


def porosity(plaster: Plaster) -> Floats:
    """Return the pores of the dry mold.

    ``1 - dry/2.320``, the dry density over that of solid gypsum [1]_.

    Parameters
    ----------
    plaster : Plaster
        The mix.

    Returns
    -------
    float or array
        Volume of pores over volume of mold. [-]

    Examples
    --------
    >>> round(porosity(Plaster("pottery plaster", 70, "the bag")), 3)
    0.524

    References
    ----------
    .. [1] Handbook density of gypsum, 2.31 to 2.33.
    """
    return porosity_from_density(dry_density(plaster))


def porosity_from_density(dry_kg_per_l: Floats) -> Floats:
    """Return the pores of a dry piece of set plaster of known density.

    ``1 - dry/2.320`` [1]_.

    Parameters
    ----------
    dry_kg_per_l : float or array
        Weight of the dry piece over its volume, above 0 and below 2.320. [kg/l]

    Returns
    -------
    float or array
        Volume of pores over volume. [-]

    Raises
    ------
    OutOfRange
        If the density is not that of anything porous made of gypsum.

    Examples
    --------
    >>> round(porosity_from_density(0.998), 3)
    0.57

    References
    ----------
    .. [1] Handbook density of gypsum, 2.31 to 2.33.
    """
    density = np.asarray(dry_kg_per_l)
    require(
        "density of the dry plaster",
        dry_kg_per_l,
        "kg/l",
        f"above 0 and below {GYPSUM_KG_PER_L}",
        (density > 0) & (density < GYPSUM_KG_PER_L),
    )
    return 1 - dry_kg_per_l / GYPSUM_KG_PER_L


def batch_for_volume(volume_l: Floats, plaster: Plaster, spare: Floats = 0.0) -> Batch:
    """Return the water and the plaster that fill a volume.

    ``plaster = volume (1 + spare)/V``, ``water = w plaster``, V from `mix_yield`.

    Parameters
    ----------
    volume_l : float or array
        Volume to fill: one part's, or a whole batch's. [l]
    plaster : Plaster
        The mix.
    spare : float or array
        Added so that the batch does not run short, 0.05 for 5 %. At most 0.5. [-]

    Returns
    -------
    Batch
        Water, plaster and the volume they make, the spare included. [kg, l]

    Raises
    ------
    OutOfRange
        If the volume is not more than zero, or the spare is not between 0 and 0.5.

    Examples
    --------
    A mold of 3.2 liters, nothing spare:

    >>> batch = batch_for_volume(3.2, Plaster("pottery plaster", 70, "the bag"))
    >>> f"{batch.water_kg:.2f} kg water, {batch.plaster_kg:.2f} kg plaster"
    '2.08 kg water, 2.98 kg plaster'
    """
    require_more_than("volume to fill", volume_l, "l")
    require_between("spare", spare, "of the batch", 0.0, 0.5, "5 % is written 0.05.")
    mix_l = volume_l * (1 + spare)
    plaster_kg = mix_l / mix_yield(plaster)
    return Batch(plaster.water_ratio * plaster_kg, plaster_kg, mix_l)


def batch_from_plaster(plaster_kg: Floats, plaster: Plaster) -> Batch:
    """Return the water for a weight of plaster, and the volume they fill.

    ``water = w plaster``, ``volume = V plaster``: what the rest of a bag gives.

    Parameters
    ----------
    plaster_kg : float or array
        Dry plaster at hand. [kg]
    plaster : Plaster
        The mix.

    Returns
    -------
    Batch
        Water, plaster and the volume they make. [kg, l]

    Raises
    ------
    OutOfRange
        If the weight is not more than zero.

    Examples
    --------
    >>> batch = batch_from_plaster(4.0, Plaster("pottery plaster", 70, "the bag"))
    >>> f"{batch.water_kg:.2f} kg water fill {batch.volume_l:.2f} l"
    '2.80 kg water fill 4.30 l'
    """
    require_more_than("plaster at hand", plaster_kg, "kg")
    return Batch(plaster.water_ratio * plaster_kg, plaster_kg, mix_yield(plaster) * plaster_kg)


def batch_from_water(water_kg: Floats, plaster: Plaster) -> Batch:
    """Return the plaster for a weight of water, and the volume they fill.

    ``plaster = water/w``, ``volume = V plaster``: the recipe of a maker who measures water.

    Parameters
    ----------
    water_kg : float or array
        Mixing water, ice in it counted. [kg]
    plaster : Plaster
        The mix.

    Returns
    -------
    Batch
        Water, plaster and the volume they make. [kg, l]

    Raises
    ------
    OutOfRange
        If the weight is not more than zero.

    Examples
    --------
    >>> batch = batch_from_water(2.8, Plaster("pottery plaster", 70, "the bag"))
    >>> f"{batch.plaster_kg:.2f} kg plaster, {batch.volume_l:.2f} l"
    '4.00 kg plaster, 4.30 l'
    """
    require_more_than("mixing water", water_kg, "kg")
    return batch_from_plaster(water_kg / plaster.water_ratio, plaster)


def own_yield(plaster: Plaster, plaster_kg: Floats, volume_l: Floats) -> Plaster:
    """Return the plaster with the yield of a batch that the studio weighed and measured.

    ``volume/plaster``; the mean over the batches if arrays are given, each
    batch weighing by its plaster.

    Parameters
    ----------
    plaster : Plaster
        The plaster and the consistency of those batches.
    plaster_kg : float or array
        Dry plaster that went into each batch. [kg]
    volume_l : float or array
        Volume that each batch filled. [l]

    Returns
    -------
    Plaster
        The same, with its own yield and a source that counts the batches.

    Raises
    ------
    OutOfRange
        If a figure is not more than zero, or the yield is more than a fifth away
        from the computed one.

    Examples
    --------
    >>> own_yield(Plaster("pottery plaster", 70, "the bag"), 3.0, 3.3).yield_l_per_kg
    1.1
    """
    require_more_than("plaster in the batch", plaster_kg, "kg")
    require_more_than("volume of the batch", volume_l, "l")
    measured = float(np.sum(volume_l) / np.sum(plaster_kg))
    batches = np.size(plaster_kg)
    counted = "one weighed batch" if batches == 1 else f"{batches} weighed batches"
    return replace(
        plaster, yield_l_per_kg=round(measured, 4), source=f"{plaster.source}; {counted}"
    )
