"""Charts of odd data: one mold, one day, no date, a date far off, forty molds, endless names."""

from collections.abc import Callable
from datetime import date, timedelta

from pourwright.plan.plan import FanDay, FinishRange, MoldsDay
from pourwright.report.charts.fan import fan_chart
from pourwright.report.charts.frame import Drawing
from pourwright.report.charts.molds import molds_chart
from pourwright.report.charts.records import (
    Deadline,
    Finish,
    Look,
    MoldLife,
    MoldsFinish,
    RiskBar,
    StageBar,
)
from pourwright.report.charts.risks import risks_chart
from pourwright.report.charts.timeline import timeline_chart
from pourwright.report.charts.use import use_chart
from pourwright.report.charts.ways import ways_chart

START = date(2036, 2, 20)  # the last week of a leap February
LEVELS = ("p10", "p25", "p50", "p75", "p90")
LONG = "casting, fettling and drying of everything that was ever asked for, and then some more"
WIDE = "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW"
FOREIGN = "釉薬をかけて乾かす作業の日数と窯の回数"


def day(number: int) -> date:
    return START + timedelta(days=number)


def fan_rows(days: int, pieces: int, step: int = 1) -> list[FanDay]:
    """Return a fan that rises from nothing to all the pieces."""
    rows = []
    for i in range(0, days, step):
        share = i / max(days - 1, 1)
        lags = zip(LEVELS, (0.55, 0.7, 0.85, 1.0, 1.2), strict=True)
        rows.append(
            FanDay(date=day(i), **{p: min(pieces, int(pieces * share * k * 1.9)) for p, k in lags})
        )
    return rows


def use_rows(days: int, molds: int, *, worn: int = 0) -> list[MoldsDay]:
    rows = []
    for i in range(days):
        on = molds if days // 5 <= i < days - days // 5 else 0
        worn_by_then = worn if i > days // 2 else 0
        rows.append(
            MoldsDay(
                date=day(i), p10=max(on - 1, 0), p50=on, p90=on + (i > 2), worn_p50=worn_by_then
            )
        )
    return rows


def mold_table(molds: int, words: dict[int, str] | None = None) -> list[MoldsFinish]:
    return [
        MoldsFinish(
            m,
            day(30 + 200 // m),
            day(36 + 220 // m),
            day(50 + 260 // m),
            (words or {}).get(m, ""),
        )
        for m in range(1, molds + 1)
    ]


def risk(what: str, low: str, high: str, first: int, last: int) -> RiskBar:
    return RiskBar(what, low, high, day(first), day(last))


SOME_RISKS = [
    risk("losses in the kiln", "bisque 6 % lost, glaze 15 % lost, third 10 % lost", "bisque 1 % lost, glaze 5 % lost", 75, 60),
    risk("how long molds dry", "9 days", "17 days", 62, 70),
    risk("casts a mold gives", "9 casts", "14 casts", 67, 66),
]  # fmt: skip
MANY_RISKS = [
    risk(f"input number {i} of many", f"{i} days", f"{i + 9} days", 66 - i, 66 + i)
    for i in range(9)
]

STAGES = [
    StageBar("masters", "prepare", ((day(0), day(6)),)),
    StageBar("pouring", "hands", ((day(7), day(7)),)),
    StageBar("mold drying", "dry", ((day(7), day(18)),)),
    StageBar("casting and fettling", "hands", ((day(19), day(50)),)),
    StageBar("glaze firing", "fire", tuple((day(i), day(i + 2)) for i in range(40, 60, 4))),
]
MOLDS = [MoldLife(f"M-{i:03d}", day(7 + i), (day(19 + i), day(50))) for i in range(1, 5)]


def forty(*, labels: str = "M-{:03d}") -> list[MoldLife]:
    return [
        MoldLife(
            labels.format(i), day(7 + i // 4), (day(19 + i // 4), day(50 + i)), worn=i % 3 == 0
        )
        for i in range(1, 41)
    ]


def fan(rows: list[FanDay], wanted: int, **more: object) -> Callable[[Look], Drawing]:
    return lambda look: fan_chart(rows, look, wanted=wanted, **more)


def timeline(stages: list, molds: list, **more: object) -> Callable[[Look], Drawing]:
    asked = {"finish": Finish(day(60), (day(55), day(75))), **more}
    return lambda look: timeline_chart(stages, molds, look, **asked)


def on(number: int) -> Deadline:
    return Deadline(day(number))


ENDS = FinishRange(day(50), day(56), day(70))


def even(number: int, pieces: int) -> FanDay:
    """Return a day on which every run has as many pieces."""
    return FanDay(day(number), *[pieces] * 5)


CASES: dict[str, Callable[[Look], Drawing]] = {
    "fan": fan(fan_rows(80, 33), 33, deadline=on(70), finish=ENDS),
    "fan-no-date": fan(fan_rows(80, 33), 33, finish=ENDS),
    "fan-one-day": fan(fan_rows(1, 1), 1, deadline=on(0), finish=FinishRange(day(0), day(0), day(0))),
    "fan-nothing-finished": fan([even(i, 0) for i in range(9)], 4),
    "fan-date-before": fan(fan_rows(80, 33), 33, deadline=on(-400), finish=ENDS),
    "fan-date-just-before": fan(fan_rows(80, 33), 33, deadline=on(-5), finish=ENDS),
    "fan-date-far-off": fan(fan_rows(80, 33), 33, deadline=on(4000), finish=ENDS),
    "fan-date-is-the-finish": fan(fan_rows(80, 33), 33, deadline=on(56), finish=ENDS),
    "fan-one-piece": fan(fan_rows(30, 1), 1, deadline=on(29)),
    "fan-many-pieces": fan(fan_rows(900, 98765, step=9), 98765, deadline=on(880), finish=FinishRange(day(700), day(700), day(700))),
    "fan-all-at-once": fan([even(0, 0), even(1, 9)], 9),
    "ways": lambda look: ways_chart([day(i) for i in (50, 52, 53, 53, 54, 54, 55, 58, 61, 70)], look, deadline=on(66)),
    "ways-one-day": lambda look: ways_chart([day(5)] * 10, look),
    "ways-date-far-off": lambda look: ways_chart([day(i) for i in range(10)], look, deadline=on(4000)),
    "ways-years": lambda look: ways_chart([day(300 * i) for i in range(10)], look, deadline=on(-5)),
    "use": lambda look: use_chart(use_rows(60, 3, worn=2), look, pours=[day(0), day(30)], deadline=on(55)),
    "use-one-day": lambda look: use_chart(use_rows(1, 1), look, pours=[day(0)], deadline=on(0)),
    "use-none": lambda look: use_chart([MoldsDay(day(i), 0, 0, 0, 0) for i in range(9)], look),
    "use-forty": lambda look: use_chart(use_rows(200, 40, worn=40), look, pours=[day(i) for i in range(40)]),
    "use-date-before": lambda look: use_chart(use_rows(60, 3), look, deadline=on(-900)),
    "molds": lambda look: molds_chart(mold_table(6, {4: "this plan", 3: "fewest"}), look, deadline=on(110)),
    "molds-one": lambda look: molds_chart(mold_table(1), look, deadline=on(100)),
    "molds-forty": lambda look: molds_chart(mold_table(40, {40: "this plan"}), look),
    "molds-one-day": lambda look: molds_chart([MoldsFinish(3, day(0), day(0), day(0), "this plan")], look, deadline=on(0)),
    "molds-date-before": lambda look: molds_chart(mold_table(5), look, deadline=on(-900)),
    "molds-long-word": lambda look: molds_chart(mold_table(3, {2: LONG}), look, deadline=on(1)),
    "risks": lambda look: risks_chart(SOME_RISKS, look, average=day(66), deadline=on(70)),
    "risks-one": lambda look: risks_chart(SOME_RISKS[:1], look, average=day(66)),
    "risks-no-move": lambda look: risks_chart([risk("nothing", "1", "2", 60, 60)], look, average=day(60), deadline=on(60)),
    "risks-many": lambda look: risks_chart(MANY_RISKS, look, average=day(66), deadline=on(80)),
    "risks-long": lambda look: risks_chart([risk(LONG, LONG, LONG, 3, 90), risk(WIDE, WIDE, WIDE, 4, 5), risk(FOREIGN, FOREIGN, FOREIGN, 40, 41)], look, average=day(66)),
    "risks-far": lambda look: risks_chart([risk("delay", "1 day", "3 years", 0, 1095)], look, average=day(30), deadline=on(-3000)),
    "timeline": timeline(STAGES, MOLDS, closed=[(day(24), day(33))], deadline=on(70)),
    "timeline-one-mold": timeline(STAGES[:1], MOLDS[:1], deadline=on(70)),
    "timeline-one-day": timeline([StageBar("all", "hands", ((day(0), day(0)),))], [MoldLife("M-001", day(0))], finish=Finish(day(0)), deadline=on(0)),
    "timeline-forty": timeline(STAGES, forty(), deadline=on(90)),
    "timeline-long": timeline([StageBar(LONG, "hands", ((day(0), day(9)),)), StageBar(WIDE, "fire", ((day(3), day(4)),)), StageBar(FOREIGN, "dry", ((day(3), day(4)),))], forty(labels="M-{:03d} " + WIDE)[:3]),
    "timeline-empty": timeline([], [], deadline=on(-1000)),
    "timeline-years": timeline([StageBar("casting", "hands", ((day(0), day(4000)),))], MOLDS, finish=Finish(day(4000)), closed=[(day(i), day(i + 60)) for i in range(0, 4000, 365)]),
}  # fmt: skip
"""Every chart as it is meant to be, and what could break it."""
