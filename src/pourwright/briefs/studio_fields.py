"""Every field of ``studio.toml``: the room, the kiln, the people, the prices."""

from __future__ import annotations

from pourwright.briefs.fields import COMMON, NO_COST, Field, Section, liter_weight_hint, ratio_hint

SECTIONS = (
    Section("studio", "The room that all editions share."),
    Section("time", "When people work."),
    Section("plaster", "The plaster, and what it is mixed in."),
    Section("pouring", "A session in which molds are poured, and the round of one batch."),
    Section("drying", "How long a mold dries in this room before its first cast."),
    Section("kiln", "The kiln and its week."),
    Section("slip", "The casting slip."),
    Section("prices", "What things cost. What has no price is named as not priced, never as free."),
)

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

FIELDS = (
    Field(
        name="version", kind="whole", required=True, example=1,
        meaning="The version of this file's format.", source="this program writes version 1",
    ),
    # studio
    Field(
        name="studio.name", kind="text", default="the studio", example="Heron Lane Pottery",
        meaning="What the studio is called on its papers.", source="our own words",
    ),
    Field(
        name="studio.country", kind="country", example="DK", example_us="US",
        meaning="The country whose public holidays are kept (ISO 3166, two letters).",
        source="not given: no public holidays",
    ),
    Field(
        name="studio.region", kind="region", example="84", example_us="VT",
        meaning="The state or region, if its holidays differ.",
        source="not given: the whole country's holidays",
    ),
    Field(
        name="studio.zone", kind="zone", default="UTC", example="Europe/Copenhagen",
        example_us="America/New_York", meaning="The time zone, by its IANA name.",
        source="our own choice; a plan in days does not depend on it",
    ),
    Field(
        name="studio.currency", kind="currency", default="EUR", example="DKK", example_us="USD",
        meaning="The one currency of all prices (ISO 4217, three letters).", source="our own choice",
    ),
    Field(
        name="studio.units", kind="choice", choices=("metric", "us"), default="metric",
        example="metric", example_us="us",
        meaning='How quantities are shown; with "us" a bare pint, quart or gallon is the US one.',
        source="our own choice",
    ),
    # time
    Field(
        name="time.working_days", kind="weekdays", default=list(WEEKDAYS[:5]),
        example=["mon", "tue", "wed", "thu"], meaning="Days on which people work.", source=COMMON,
    ),
    Field(
        name="time.people", kind="whole", default=1, low=1, high=50, example=2,
        meaning="People who cast, fettle and glaze.", source="our own choice",
    ),
    Field(
        name="time.hours_a_day", kind="quantity", dimension="duration", default="6 h",
        low=10, high=1440, example="5 h 30 min", attr="minutes_a_day",
        meaning="Hands-on hours of one person on a working day.", source=COMMON,
    ),
    Field(
        name="time.public_holidays", kind="yes or no", default=True, example=False,
        meaning="Whether public holidays are free; it needs the country.", source="our own choice",
    ),
    Field(
        name="time.off", kind="days off", default=[], example=["12-24 to 01-02", "2027-08-02 to 2027-08-15"],
        meaning="Days and stretches without work: a day, or first to last; without a year, every year.",
        source="not given: no further days off",
    ),
    # plaster
    Field(
        name="plaster.name", kind="text", default="pottery plaster", example="white pottery plaster",
        meaning="What the plaster is called.", source="our own words",
    ),
    Field(
        name="plaster.consistency", kind="number", default=70, low=25, high=120, example=75, hint=ratio_hint,
        meaning="Parts of water to 100 parts of plaster, by mass; the bag says it.",
        source="plaster makers' data sheets for pottery plaster: 68, 70 and 74; your bag decides",
    ),
    Field(
        name="plaster.bag", kind="quantity", dimension="mass", default="25 kg", low=0.2, high=1500,
        example="20 kg", example_us="50 lb", meaning="Plaster in a bag.", source=COMMON,
    ),
    Field(
        name="plaster.bag_price", kind="money", example="19.50 DKK", example_us="38.00 USD",
        meaning="Price of a bag.", source=NO_COST,
    ),
    Field(
        name="plaster.bucket", kind="quantity", dimension="volume", default="10 l", low=0.2, high=500,
        example="8 l", example_us="2 gal", meaning="Largest mix the bucket takes.", source=COMMON,
    ),
    Field(
        name="plaster.mixer", kind="quantity", dimension="mass", low=0.2, high=1000,
        example="15 kg", example_us="30 lb", meaning="Largest mix, water and plaster, that the mixer turns.",
        source="not given: the bucket alone is the limit",
    ),
    Field(
        name="plaster.scale_step", kind="quantity", dimension="mass", default="10 g", low=0.0001, high=1,
        example="5 g", example_us="1 oz", meaning="Step of the scale; weights are rounded to it.", source=COMMON,
    ),
    Field(
        name="plaster.spare", kind="quantity", dimension="fraction", default="5 %", low=0, high=0.5, example="8 %",
        meaning="Mixed beyond the volume, so that a batch does not run short.",
        source="inside the 3 to 10 % that teaching rules and charts for a batch build in",
    ),
    Field(
        name="plaster.yield_l_per_kg", kind="number", low=0.4, high=2.5, example=1.09,
        meaning="Liters of mix that one kilogram of your plaster made, from a batch you measured.",
        source="not given: worked out from the consistency and published densities",
    ),
    # pouring
    Field(
        name="pouring.session", kind="quantity", dimension="duration", default="6 h", low=30, high=1440,
        example="4 h", meaning="How long a pouring session lasts, setting up included.", source=COMMON,
    ),
    Field(
        name="pouring.setup", kind="quantity", dimension="duration", default="3 h", low=0, high=720,
        example="2 h", meaning="Setting up and clearing away, once a session.", source=COMMON,
    ),
    Field(
        name="pouring.mix_and_pour", kind="quantity", dimension="duration", default="15 min", low=1, high=240,
        example="12 min", meaning="Weighing, soaking, mixing and pouring one batch.", source=COMMON,
    ),
    Field(
        name="pouring.working_time", kind="quantity", dimension="duration", default="3 min", low=0.5, high=60,
        example="2 min", meaning="Time to pour once the mix thickens.", source=COMMON,
    ),
    Field(
        name="pouring.set", kind="quantity", dimension="duration", default="60 min", low=5, high=1440,
        example="75 min", meaning="From the pour until a part may be opened.", source=COMMON,
    ),
    Field(
        name="pouring.turnaround", kind="quantity", dimension="duration", default="30 min", low=0, high=480,
        example="40 min", meaning="Strip, clean, reset and bevel a master before its next pour.", source=COMMON,
    ),
    # drying
    Field(
        name="drying.days_low", kind="whole", default=7, low=0, high=120, example=6,
        meaning="Days until a mold may be cast in, in good weather.",
        source="a workshop owner's figure on a potters' mailing list, 2004: small molds 7 days at 27 degC in moving air",
    ),
    Field(
        name="drying.days_high", kind="whole", default=14, low=0, high=240, example=18,
        meaning="Days until a mold may be cast in, in poor weather.",
        source="the same: larger molds 10 to 14 days",
    ),
    # kiln
    Field(
        name="kiln.volume", kind="quantity", dimension="volume", low=1, high=20_000, example="180 l",
        example_us="7 cu ft", meaning="Space inside the kiln.", source="not given: energy is not forecast from it",
    ),
    Field(
        name="kiln.power", kind="quantity", dimension="power", low=0.2, high=1000, example="9 kW",
        meaning="What the kiln draws at full power.", source="not given: energy is not forecast from it",
    ),
    Field(
        name="kiln.loads_a_week", kind="whole", required=True, low=1, high=14, example=2,
        meaning="Loads of any kind that the kiln fires in a week.", source="asked: only you know it",
    ),
    Field(
        name="kiln.bisque_days", kind="whole", default=2, low=1, high=14, example=3,
        meaning="Days from loading a bisque to unloading it.", source=COMMON,
    ),
    Field(
        name="kiln.glaze_days", kind="whole", default=2, low=1, high=14, example=3,
        meaning="Days from loading a glaze firing to unloading it.", source=COMMON,
    ),
    Field(
        name="kiln.third_days", kind="whole", default=2, low=1, high=14, example=1,
        meaning="Days from loading a third firing (decal, luster) to unloading it.", source=COMMON,
    ),
    Field(
        name="kiln.handling", kind="quantity", dimension="duration", default="45 min", low=0, high=720,
        example="1 h 15 min", meaning="Loading and unloading one load, together.", source=COMMON,
    ),
    Field(
        name="kiln.spoiled_loads", kind="quantity", dimension="fraction", default="3 %", low=0, high=0.5,
        example="2 %", meaning="Share of loads that are spoiled as a whole: over- or underfired, a failed controller.",
        source=COMMON,
    ),
    Field(
        name="kiln.energy_price", kind="money", per="kWh", example="2.40 DKK/kWh", example_us="0.17 USD/kWh",
        meaning="Price of a kilowatt hour.", source=NO_COST,
    ),
    Field(
        name="kiln.furniture", kind="quantity", dimension="mass", low=0, high=2000, example="28 kg",
        example_us="60 lb", meaning="Shelves and posts in a load.", source="not given: energy leaves it out",
    ),
    # slip
    Field(
        name="slip.liter_weight", kind="quantity", dimension="liter weight", default="1750 g/l", low=1200, high=2200, hint=liter_weight_hint,
        example="1780 g/l", example_us="29 oz/US pint", meaning="What a liter (or pint) of the slip weighs.",
        source="suppliers' sheets: 1650 to 1800 g/l, a porcelain slip about 1750; weigh yours",
    ),
    Field(
        name="slip.solids_density", kind="number", default=2.6, low=2.2, high=3.5, example=2.55,
        attr="solids_density_kg_per_l", meaning="Specific gravity of the dry body.",
        source="Cardew, Pioneer Pottery (as quoted): clay and glaze materials 2.5 to 2.6",
    ),
    Field(
        name="slip.price", kind="money", per="l", example="11.00 DKK/l", example_us="14.00 USD/US gallon",
        meaning="Price of casting slip.", source=NO_COST,
    ),
    # prices
    Field(
        name="prices.rubber", kind="money", per="kg", example="210.00 DKK/kg", example_us="14.50 USD/lb",
        meaning="Price of mold rubber.", source=NO_COST,
    ),
    Field(
        name="prices.glaze", kind="money", per="kg", example="62.00 DKK/kg", example_us="4.80 USD/lb",
        meaning="Price of dry glaze.", source=NO_COST,
    ),
    Field(
        name="prices.packing", kind="money", per="piece", example="9.00 DKK/piece", example_us="2.75 USD/piece",
        meaning="Box, wrapping and certificate of one piece.", source=NO_COST,
    ),
    Field(
        name="prices.labor", kind="money", per="h", example="230.00 DKK/h", example_us="32.00 USD/h",
        meaning="What an hour of work is reckoned at.", source=NO_COST,
    ),
    Field(
        name="prices.master", kind="money", attr="master", example="900.00 DKK", example_us="180.00 USD",
        meaning="A master, where it is bought and not made.", source=NO_COST,
    ),
)  # fmt: skip
