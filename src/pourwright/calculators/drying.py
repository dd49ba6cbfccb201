"""``pourwright figure drying``: when a mold is dry, or ready to cast, and in which air."""

from __future__ import annotations

from pourwright.calculators.question import Answer, Ask, Given, Question

ASKS = (
    Ask(
        name="volume", kind="quantity", dimension="volume", low=0.05, high=500, example="3.2 l",
        example_us="3.4 US qt", meaning="Plaster of the mold, all its parts.",
    ),
    Ask(
        name="wet_mass", kind="quantity", dimension="mass", low=0.05, high=1000, example="5.06 kg",
        example_us="11 lb 2 oz", meaning="Or its mass on the day it was poured, with its straps.",
    ),
    Ask(
        name="dry_mass", kind="quantity", dimension="mass", low=0.05, high=1000, example="3.53 kg",
        example_us="7 lb 12 oz", meaning="Or its mass when it was dry before, with its straps.",
    ),
    Ask(
        name="consistency", kind="number", low=25, high=120, default="70", example="70",
        meaning="Parts of water to 100 parts of plaster, by mass.",
        source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
        studio="plaster.consistency",
    ),
    Ask(
        name="straps", kind="quantity", dimension="mass", low=0, high=50, default="0 kg", example="120 g",
        example_us="4 oz", meaning="Straps and boards that are weighed with it, always the same.",
        source="weighed without straps",
    ),
    Ask(
        name="weighing", kind="row", row=("when", "mass"), limits=(None, (0.05, 1000)), many=True,
        meaning="A weighing of the whole strapped mold, with its day, and time of day if you like.",
        example="2027-02-20 4.86 kg", example_us="2027-02-20 10 lb 11 oz",
        source="not given: a forecast, and no verdict",
    ),
    Ask(
        name="scale_step", kind="quantity", dimension="mass", low=0.0001, high=1, default="10 g", example="5 g",
        example_us="1 oz", meaning="Step of the scale.", source="common practice, no source",
        studio="plaster.scale_step",
    ),
    Ask(
        name="area", kind="quantity", dimension="area", low=0.001, high=50, example="0.13 m2",
        example_us="1.4 sq ft", meaning="Outside that the air reaches; of strapped parts, that of the whole block.",
        source="not given: the days are those of workshops' own accounts",
    ),
    Ask(
        name="sides", kind="row", row=("length", "by", "length", "by", "length"),
        limits=((10, 3000), (10, 3000), (10, 3000)),
        meaning="Or outer sides of the block: length by width by height.",
        example="200 mm by 150 mm by 120 mm", example_us="8 in by 6 in by 5 in",
        source="not given: the days are those of workshops' own accounts",
    ),
    Ask(
        name="on_board", kind="yes or no", default="no", example="yes",
        meaning="The block stands on a board, so that air does not reach it from below.", source="on a rack",
    ),
    Ask(
        name="temperature", kind="quantity", dimension="temperature", low=2, high=70, example="20 C",
        example_us="68 F", meaning="Temperature of the air at the molds.", source="not given: 16 to 24 degC, as a range",
    ),
    Ask(
        name="humidity", kind="quantity", dimension="fraction", low=0, high=0.95, example="50 %",
        meaning="Relative humidity of that air.", source="not given: 35 to 65 %, as a range",
    ),
    Ask(
        name="air_speed", kind="number", unit="m/s", low=0, high=8, example="0.5",
        meaning="Speed of the air along the molds: a fan not aimed at them gives 0.3 to 1.",
        source="not given: 0.2 to 1 m/s, as a range",
    ),
    Ask(
        name="molds", kind="whole", low=1, high=500, example="10",
        meaning="Alike molds that dry in the same room, poured on one day.", source="told with the room",
    ),
    Ask(
        name="room", kind="quantity", dimension="volume", low=2000, high=5_000_000, example="50 m3",
        example_us="1800 cu ft", meaning="Volume of the room.", source="not given: the molds do not wet its air",
    ),
    Ask(
        name="air_changes", kind="number", unit="an hour", low=0.05, high=60, default="0.5", example="3",
        meaning="Times an hour that the room's air is renewed: closed 0.3 to 1, windows ajar 2 to 5.",
        source="a closed old room; common practice, no source",
    ),
    Ask(
        name="outside_temperature", kind="quantity", dimension="temperature", low=0, high=50, default="10 C",
        example="5 C", example_us="41 F", meaning="Temperature outside; at frost give 0 C.",
        source="a mild day, our own choice",
    ),
    Ask(
        name="outside_humidity", kind="quantity", dimension="fraction", low=0, high=1, default="80 %",
        example="80 %", meaning="Relative humidity outside.", source="a mild day, our own choice",
    ),
)  # fmt: skip


def answer(given: Given) -> Answer:
    """Return masses, days, the verdict of the weighings, and what the air does to plaster."""
    from pourwright.calculators.drying_figures import answer_drying

    return answer_drying(given)


QUESTION = Question(
    id="drying",
    title="Drying a mold",
    words="When a mold is dry, when it is ready to cast, and whether its air is too warm or too dry. "
    "Tell its plaster, or what it weighed; two or more weighings tighten the forecast and give a verdict.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"wet_mass": "5.06 kg", "weighing": ["2027-02-20 3.540 kg", "2027-02-21 3.538 kg"], "scale_step": "1 g"},
        {"volume": "3.2 l"},
        {"volume": "3.2 l", "sides": "200 mm by 150 mm by 120 mm", "temperature": "20 C", "humidity": "50 %",
         "air_speed": "1"},
        {"volume": "3.2 l", "weighing": ["2027-02-20 5.06 kg; 2027-02-21 4.86 kg; 2027-02-22 4.66 kg"]},
        {"volume": "3.2 l", "area": "0.13 m2", "temperature": "20 C", "molds": "10", "room": "50 m3",
         "air_changes": "0.5"},
        {"volume": "3.2 l", "temperature": "40 C", "humidity": "1 %"},
    ),
    cautions=("Heat for drying", "Lifting"),
    one_of=(("volume", "wet_mass", "dry_mass"),),
    at_most_one=(("area", "sides"),),
    together=(("molds", "room"),),
)  # fmt: skip
