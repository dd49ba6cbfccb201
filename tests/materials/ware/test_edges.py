"""The range that each law of slip, casting and firing says it holds for, to its edges.

An edge that is allowed is taken, a hair beyond it is refused, and so is nan.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from pourwright.errors import OutOfRange
from pourwright.materials.casting import (
    fit as casting_fit,
)
from pourwright.materials.casting import (
    minutes as casting,
)
from pourwright.materials.casting import (
    physics as casting_physics,
)
from pourwright.materials.casting import (
    rest as casting_rest,
)
from pourwright.materials.casting import (
    shapes as casting_shapes,
)
from pourwright.materials.casting import (
    water as casting_water,
)
from pourwright.materials.kiln import (
    bands as firing_bands,
)
from pourwright.materials.kiln import (
    energy as kiln_energy,
)
from pourwright.materials.kiln import (
    heat as kiln_heat,
)
from pourwright.materials.kiln import (
    heat_work,
    thick_foot,
    witness,
)
from pourwright.materials.kiln import (
    holds as heat_holds,
)
from pourwright.materials.kiln import (
    schedule as firing,
)
from pourwright.materials.kiln.schedule import Segment, course
from pourwright.materials.slip import (
    basis as slip_basis,
)
from pourwright.materials.slip import (
    batches as slip_batches,
)
from pourwright.materials.slip import (
    deflocculation,
)
from pourwright.materials.slip import (
    liter_weight as slip,
)
from pourwright.materials.slip import (
    returns as slip_returns,
)
from pourwright.materials.slip import (
    scales as slip_scales,
)
from pourwright.materials.ware import (
    dimension_chain,
    fired_body,
    glaze,
    shrinkage,
)

CLIMB = course([Segment(100.0, 1000.0)])
CHAIN = {"dry": 0.03, "fired": 0.09, "fired_on": "dry"}
FIVE = [0.001, 0.002, 0.003, 0.004]

# Law, allowed from, allowed to; None is no edge on that side.
CLOSED: dict[str, tuple[Callable[[float], object], float | None, float | None]] = {
    "solids": (lambda x: slip.dry_kg_per_l(1750.0, x), 2.2, 3.5),
    "solids of a mix": (lambda x: slip_basis.volume_of_mix_l(1.0, 1.0, x), 2.2, 3.5),
    "dry clay of a mix": (lambda x: slip_basis.volume_of_mix_l(x, 1.0), 0.0, None),
    "dry basis": (slip_basis.dry_basis, 0.0, None),
    "Baume density": (slip_scales.baume_degrees, 1.0, 3.0),
    "Baume degrees": (slip_scales.density_of_baume, 0.0, 96.0),
    "Twaddell density": (slip_scales.twaddell_degrees, 1.0, 3.0),
    "Twaddell degrees": (slip_scales.density_of_twaddell, 0.0, 400.0),
    "deflocculant": (lambda x: slip_batches.deflocculant_kg(1.0, x), 0.0, 0.02),
    "dose": (lambda x: deflocculation.best_dose([*FIVE, x], [9, 8, 7, 8, 9]), 0.0, 0.02),
    "picked up": (lambda x: slip_returns.carried_over(x, 0.1, 1), 0.0, None),
    "used share": (lambda x: slip_returns.carried_over(1.0, x, 1), None, 1.0),
    "rounds": (lambda x: slip_returns.carried_over(1.0, 0.1, x), 0.0, None),
    "wall of one test": (lambda x: casting.minutes_from_one_test(5.0, x, 8.0), 0.5, None),
    "moisture of a cast": (lambda x: casting_water.slip_per_cast_volume(1750.0, x), 0.05, None),
    "top up": (lambda x: casting_water.slip_to_have_ready_l(1.0, x), 0.0, None),
    "molds filled": (lambda x: casting_water.slip_to_have_ready_l(1.0, 0.0, x), 1.0, None),
    "spare": (lambda x: casting_water.slip_to_have_ready_l(1.0, 0.0, 1.0, x), 0.0, 1.0),
    "tube": (lambda x: casting_shapes.time_factor("inside a tube", x), None, 1.0),
    "ball": (lambda x: casting_shapes.time_factor("inside a ball", x), None, 1.0),
    "rod": (lambda x: casting_shapes.time_factor("around a rod", x), None, 4.0),
    "time on a shape": (lambda x: casting_shapes.wall_on_shape_mm("flat", x, 3.0, 9.0), 0.0, None),
    "water": (casting_physics.water_viscosity_mpa_s, 0.0, 100.0),
    "test's warmth": (lambda x: casting_physics.rate_at_temperature(3.0, x, 20.0), 0.0, 60.0),
    "warmth now": (lambda x: casting_physics.rate_at_temperature(3.0, 20.0, x), 0.0, 60.0),
    "cut spare": (lambda x: casting_fit.minutes_still_to_stand(5.0, x, 8.0, 9.0), 0.5, None),
    "time stood": (lambda x: casting_fit.minutes_still_to_stand(5.0, 4.0, 8.0, x), 0.0, None),
    "free water": (lambda x: casting_rest.free_water_after(1, 0.1, 4.0, x), 0.0, 1.0),
    "water of a cast": (lambda x: casting_rest.free_water_after(1, x, 4.0), 0.0, None),
    "dried between": (lambda x: casting_rest.free_water_after(1, 0.1, 4.0, 0.05, x), 0.0, None),
    "water allowed": (lambda x: casting_rest.casts_before_rest(0.1, 4.0, 0.05, x), None, 0.2),
    "dried a day": (lambda x: casting_rest.casts_a_day(0.1, x, 90.0, 480.0), 0.0, None),
    "dry": (lambda x: shrinkage.clay_factors(x, 0.06, "dry"), 0.0, None),
    "fired": (lambda x: shrinkage.clay_factors(0.06, x, "dry"), 0.0, None),
    "total": (lambda x: shrinkage.clay_factors(0.06, x, "total"), 0.06, None),
    "loss": (lambda x: shrinkage.fired_mass_kg(1.0, x), 0.0, 0.4),
    "cast": (lambda x: shrinkage.dry_shrinkage_from_moisture(x, 0.1), 0.1, 0.6),
    "critical": (lambda x: shrinkage.dry_shrinkage_from_moisture(0.2, x), 0.0, 0.2),
    "rubber": (lambda x: dimension_chain.dimension_chain(**CHAIN, rubber_shrinkage=x), 0.0, 0.05),
    "plaster": (lambda x: dimension_chain.dimension_chain(**CHAIN, plaster_expansion=x), 0.0, 0.02),
    "hung": (lambda x: fired_body.fired_body(0.1, x, 0.11), 0.0, None),
    "saturated": (lambda x: fired_body.fired_body(0.1, 0.06, x), 0.1, None),
    "energy": (lambda x: heat_work.ramp_integral(1000.0, x), 100.0, 2000.0),
    "rate of heat work": (lambda x: heat_work.end_temperature_degc("6", x), 10.0, 400.0),
    "short": (lambda x: heat_holds.hold_in_place_of_climb("6", x), 0.0, 40.0),
    "hold": (lambda x: heat_holds.degrees_that_a_hold_saves("6", x), 0.0, 240.0),
    "shown": (lambda x: witness.witness_offset(x, "6", "7"), 500.0, 1400.0),
    "offset": (lambda x: witness.shown_for_cone("6", x), -150.0, 150.0),
    "start": (lambda x: course([Segment(100.0, 900.0)], x), -10.0, 300.0),
    "rate": (lambda x: course([Segment(x, 900.0)]), 1.0, 1500.0),
    "to": (lambda x: course([Segment(100.0, x)]), 0.0, 1400.0),
    "held": (lambda x: course([Segment(100.0, 900.0, x)]), 0.0, 10080.0),
    "at": (CLIMB.at, 0.0, None),
    "stretch": (lambda x: firing.last_climb_degc_per_h(CLIMB, x), 10.0, 500.0),
    "smoking": (firing_bands.water_smoking_limit_degc_per_h, 1.0, 100.0),
    "candling": (firing_bands.candling_minutes, 1.0, 100.0),
    "bisque": (lambda x: firing_bands.bisque_segments(x, 6.0, dry=True), 800.0, 1280.0),
    "foot": (lambda x: thick_foot.core_course(CLIMB, x, 0.3), 0.5, 100.0),
    "spread": (lambda x: thick_foot.core_course(CLIMB, 10.0, x), 0.05, 2.0),
    "face": (lambda x: thick_foot.lag_when_face_is_at_degc(CLIMB, x, 10.0, 0.3), 0.0, 1400.0),
    "kiln": (lambda x: kiln_energy.energy_by_volume(x, 1000.0), 5.0, 2000.0),
    "top": (lambda x: kiln_energy.energy_by_volume(100.0, x), 600.0, 1320.0),
    "hours": (lambda x: kiln_energy.energy_by_power(8.0, x, 0.5), 0.0, None),
    "duty": (lambda x: kiln_energy.energy_by_power(8.0, 1.0, x), 0.0, 1.0),
    "heat to": (kiln_heat.fired_clay_heat_kj_per_kg, 40.0, 1300.0),
    "heat from": (lambda x: kiln_heat.fired_clay_heat_kj_per_kg(100.0, x), 40.0, 1300.0),
    "raw": (lambda x: kiln_heat.raw_ware_heat_kwh(x, 1000.0), 0.0, None),
    "raw to": (lambda x: kiln_heat.raw_ware_heat_kwh(1.0, x), 600.0, 1300.0),
    "steam": (kiln_heat.water_heat_kwh, 0.0, None),
    "coat": (lambda x: glaze.dry_glaze_kg(0.1, x), 20.0, 3000.0),
    "thickness": (glaze.coat_of_thickness_g_per_m2, 0.05, 5.0),
    "packing": (lambda x: glaze.coat_of_thickness_g_per_m2(0.5, x), 0.3, 0.74),
    "glaze": (lambda x: glaze.coat_of_thickness_g_per_m2(0.5, 0.5, x), 2.2, 3.5),
    "bisque weight": (lambda x: glaze.most_coat_g_per_m2(4.0, x, 0.09, 1500.0), 1.0, 3.0),
    "absorption": (lambda x: glaze.most_coat_g_per_m2(4.0, 1.9, x, 1500.0), 0.0, 0.5),
    "bucket": (lambda x: glaze.slurry_to_mix_l(1.0, x), 0.0, None),
    "spray": (lambda x: glaze.slurry_to_mix_l(1.0, 0.0, x), 1.0, 4.0),
}  # fmt: skip

# Law, refused at or below, refused at or above.
OPEN: dict[str, tuple[Callable[[float], object], float | None, float | None]] = {
    "slip weight": (slip.dry_kg_per_l, 1000.0, 2600.0),
    "water": (lambda x: slip_basis.volume_of_mix_l(1.0, x), 0.0, None),
    "water share": (slip_basis.liter_weight_of_water_fraction, 0.0, 1.0),
    "dry basis": (slip_basis.dry_basis, None, 1.0),
    "used share": (lambda x: slip_returns.carried_over(1.0, x, 1), 0.0, None),
    "one test's time": (lambda x: casting.minutes_from_one_test(5.0, 4.0, x), 0.0, None),
    "wall of a test": (lambda x: casting_fit.fit_rate([x], [8.0]), 0.5, None),
    "allowed": (lambda x: casting_rest.casts_before_rest(0.1, 4.0, 0.05, x), 0.0, None),
    "dry": (lambda x: shrinkage.clay_factors(x, 0.06, "dry"), None, 0.2),
    "fired": (lambda x: shrinkage.clay_factors(0.06, x, "dry"), None, 0.3),
    "dry weight": (lambda x: fired_body.fired_body(x, 0.0, 0.11), 0.0, None),
    "hung": (lambda x: fired_body.fired_body(0.1, x, 0.11), None, 0.1),
    "cold": (lambda x: heat_work.ramp_integral(x, 800.0), -273.15, None),
    "power": (lambda x: kiln_energy.energy_by_power(x, 1.0, 0.5), 0.0, None),
    "after glazing": (lambda x: glaze.coat_from_test_g_per_m2(0.4, x, 0.1), 0.4, None),
}  # fmt: skip


def beyond(edge: float, way: int) -> float:
    """Return a number a hair beyond an edge."""
    return float(edge + way * (1e-7 * abs(edge) or 1e-7))


@pytest.mark.parametrize("name", CLOSED)
def test_an_allowed_edge_is_taken_and_no_more(name: str) -> None:
    law, low, high = CLOSED[name]
    for edge, way in ((low, -1), (high, 1)):
        if edge is not None:
            law(edge)
            with pytest.raises(OutOfRange):
                law(beyond(edge, way))
    with pytest.raises(OutOfRange):
        law(float("nan"))


@pytest.mark.parametrize("name", OPEN)
def test_an_edge_left_out_is_refused_and_the_next_number_taken(name: str) -> None:
    law, low, high = OPEN[name]
    for edge, way in ((low, 1), (high, -1)):
        if edge is not None:
            with pytest.raises(OutOfRange):
                law(edge)
            law(beyond(edge, way) if edge else 1e-6)


def test_hints_hold_to_their_edges() -> None:
    """Each slip of the hand is told up to its own edge and not past it."""
    hint = slip.likely_slip_of_hand
    told = {
        "density": (1.01, 2.6), "ounces": (24.0, 43.0), "100 ml cup": (100.5, 260.0),
        "a pint": (600.0, 1000.0),
    }  # fmt: skip
    for word, (low, high) in told.items():
        assert word in hint(low)
        assert word in hint(high)
        assert word not in hint(low - 0.6)
        assert word not in hint(high + 0.6)
    assert "zero" in hint(2001.0)
    assert hint(2000.0) == ""
    assert hint(1.0) == hint(100.0) == ""


def test_ranges_hold_for_arrays_too() -> None:
    with pytest.raises(OutOfRange, match="is 2600 g/l"):
        slip.dry_kg_per_l(np.array([1750.0, 2600.0]))
    # The message tells the limits of the number that is refused.
    with pytest.raises(OutOfRange, match="between 1000 and 2500"):
        slip.dry_kg_per_l(np.array([1750.0, 2550.0]), np.array([2.6, 2.5]))
