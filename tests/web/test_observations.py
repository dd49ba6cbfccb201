"""Three phones that tap over the network, some away for a while: the bench shows what the model says."""

from datetime import UTC, datetime, timedelta

import pytest

from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.slip import slip_cards
from tests.bench_studio import EDITION
from tests.ledger.test_observations import Studio, a_day
from tests.web.bench_fixtures import bench as bench

DAYS = 100


class Served(Studio):
    """The same three phones; what they deliver goes to a studio that is served."""

    def __init__(self, draw, bench, mold):
        super().__init__(draw, datetime.now(UTC) - timedelta(days=2))
        self.bench, self.mold = bench, mold

    def deliver(self, phone):
        kept = [self.command(one) | {"by": phone} for one in self.kept[phone]]
        if kept:
            answers = self.bench.post("/api/commands", json=kept).json()
            assert [one for one in answers if not one["ok"] and "already" not in one] == []
        super().deliver(phone)

    def command(self, one):
        base = {"edition": EDITION}
        if isinstance(one, tuple):
            number, at = one
            command = {"do": "cast", "id": f"{self.mold} {number} {at} {self.count} {id(one)}",
                       "molds": self.mold, "cast": number, "at": at.isoformat(), "go_on": True}  # fmt: skip
        else:
            command = {"do": "undo-step" if one.undoes else "start-step", "id": f"{self.mold} {one.id}",
                       "what": one.thing, "step": one.stage, "at": one.at.isoformat()}  # fmt: skip
            command |= (
                {"undoes": f"{self.mold} {one.undoes}"} if one.undoes else {"tap": one.number}
            )
        return base | command


@pytest.mark.whole
def test_a_hundred_days_of_three_phones_are_as_the_model_has_them(bench):
    bench.do("pour", edition=EDITION, count=DAYS, at="2026-01-06", go_on=True)
    bench.do("dry", edition=EDITION, molds="all", go_on=True)
    days = {}
    for n in range(DAYS):
        mold = f"M-{n + 4:03d}"
        days[mold] = a_day(n, lambda draw, mold=mold: Served(draw, bench, mold), most=16)
    desk = bench.app.state.desk
    with desk.book.reading() as reading:
        cards = slip_cards(
            reading.things, EDITION, steps_of(reading.things, EDITION), None, desk.now()
        )
    shown = {card.label: card for card in cards}
    stages = set()
    for mold, day in days.items():
        casts, card = day.casts(), shown[mold]
        assert card.phase == (casts[-1].stage if casts else "idle"), mold
        assert card.here.press, mold
        stages.add(card.phase)
        if casts:
            began = casts[-1].began[card.phase].at
            assert card.here.start_ms == began.timestamp() * 1000, mold
            assert bool(card.unsaid) == (len(casts) > 1)
    assert stages == {"idle", "fill", "drain", "stiffen", "open"}
    assert desk.book.verify() == []
