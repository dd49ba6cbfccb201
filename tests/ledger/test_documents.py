"""Documents are kept to the byte as older programs kept them, whatever they are in memory."""

from __future__ import annotations

import json
from pathlib import Path

from tests.ledger.desk import KINDS, Desk, with_finished

KEPT = Path(__file__).parent / "fixtures" / "documents.jsonl"
"""Kind, id and text of each document of the story below, written by the program when documents
were plain mappings; a figure of our own, so it guards against a change and proves nothing else."""


def kept() -> dict[tuple[str, str], str]:
    """Return the texts of the story's documents by kind and id."""
    lines = KEPT.read_text(encoding="utf-8").splitlines()
    return {(kind, key): text for kind, key, text in map(json.loads, lines)}


def eventful(folder: Path) -> Desk:
    """Return a desk on which everything has happened that brings a field in later."""
    desk = with_finished(folder, life=2, claim_days=30)
    desk.do("make-form", edition="tide-cup", what="original", name="the carver's é")
    desk.do("make-form", edition="tide-cup", what="block mold")
    desk.do("test-cast", form=2, count=3, lost="1 torn opening")
    desk.do("approve", form=2, height="109 mm")
    desk.do("destroy-form", edition="tide-cup", forms="F-002", filler="1.2 kg", go_on=True)
    desk.do("keep-form", edition="tide-cup", forms="F-001", where="shelf", why="shown")
    desk.do("pour-part", edition="tide-cup", part="left half", count=2, lot="B-001")
    desk.do("break-part", mold=1, part="left half")
    desk.do("swap-part", mold=1, part="left half")
    desk.do("weigh", mold=1, mass="6 lb 3 oz")
    desk.do("tag", mold=1, tag="blue 7")
    desk.do("judge", molds="1", verdict="softer")
    desk.do("retire", molds="1")
    desk.do("retire", molds="2", why="seam is soft")
    desk.do("destroy", molds="2", spares="T-002", how="broken up", go_on=True)
    desk.do("cast", molds="3", each=6, lot="S-001")
    desk.do("lose", stage="greenware", lost="1 warp", lot="S-001")
    desk.do("mix-lot", what="glaze", mass="5 kg", water="4.2 kg")
    desk.do("read-lot", lot="G-001", liter_weight="1450 g/l")
    desk.do("load", firing="bisque", count=4, kiln="the big kiln")
    desk.do("unload", lost="1 bisque crack", cones="04 down")
    desk.do("glaze", count=2, lot="G-001")
    desk.do("mark", numbers="1-4")
    desk.do("mark", kind="proof", numbers="1")
    desk.do("mark", kind="surplus", count=2)
    desk.do("sell", pieces="1", price="380.00 EUR", reference="spring list")
    desk.do("ship", pieces="1")
    desk.do("give", pieces="2")
    desk.do("return", pieces="2")
    desk.do("break", pieces="3", evidence="shard")
    desk.do("settle", numbers="3", why="none is left")
    desk.do("lose", pieces="4", cause="chip")
    desk.do("surplus", pieces="P-00006", fate="kept unsigned")
    desk.do("photo", about="1", edition="tide-cup", digest="ab" * 32)
    desk.do("photo", edition="tide-cup", digest="cd" * 32)
    desk.do("erase-photo", edition="tide-cup", digest="cd" * 32)
    desk.do("start-step", edition="tide-cup", what="batch 1", step="soak", target="2 min", tap=4)
    desk.do("end-step", edition="tide-cup", what="batch 1", step="soak")
    desk.do("undo-step", edition="tide-cup", what="batch 1", step="soak", undoes="desk-1")
    desk.do("photo", about="2", edition="tide-cup", digest="ab" * 32)
    return desk


def test_documents_are_kept_to_the_byte_as_they_were(tmp_path):
    """What an entry's id is the key of is left out: ids are drawn by chance."""
    rows = {row[:2]: row[3] for row in eventful(tmp_path).picture()[1] if row[1][:2] != "e-"}

    assert rows == kept()


def test_every_field_of_the_documents_is_in_the_story():
    """So that a field added later is not forgotten above."""
    told: dict[str, set[str]] = {}
    for (kind, _), text in kept().items():
        told.setdefault(kind, set()).update(json.loads(text))
    fields = {kind: set(told_of.__struct_encode_fields__) for kind, told_of in KINDS.items()}

    assert fields.keys() - told.keys() == {"finding", "heat", "note", "reading", "stocktake"}
    # what a single edition of two firings, its masters made in the book, has nothing to say of
    elsewhere = {"counter": {"C", "R", "causes"}, "edition": {"decorated", "masters"}}
    assert {kind: fields[kind] - told[kind] for kind in told} == {
        kind: elsewhere.get(kind, set()) for kind in told
    }
