"""A reader of the book's file from docs/book-file.md alone: sqlite3, json, hashlib, none of our code.

python -m tests.ledger.plain_reader book.db
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import sys
from contextlib import closing
from typing import Any

COLUMNS = "seq id kind scope recorded command_id text digest command answer seal".split()


def as_json(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def sha(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def read(path: str) -> dict[str, Any]:
    """Return what a book holds: faults, head, entries that count, casts of molds, bearers of numbers."""
    with closing(sqlite3.connect(path)) as file:
        rows = file.execute(f"SELECT {', '.join(COLUMNS)} FROM entry ORDER BY seq").fetchall()
        heads = file.execute("SELECT seq, digest, recorded FROM head").fetchall()
        versions = file.execute("SELECT version_num FROM alembic_version").fetchall()
        marks = [
            file.execute(f"PRAGMA {p}").fetchone()[0] for p in ("application_id", "user_version")
        ]
        docs = {
            (kind, key): json.loads(doc)
            for kind, key, doc in file.execute("SELECT kind, id, doc FROM thing")
        }
    faults = []
    last = (0, "0" * 64, "")
    entries: list[dict[str, Any]] = []
    for values in rows:
        row = dict(zip(COLUMNS, values, strict=True))
        entry = json.loads(row["text"])
        right = {
            **{name: entry[name] for name in ("seq", "id", "kind", "recorded", "command_id")},
            "scope": entry["body"].get("edition") or "studio",
            "digest": sha(f"[{as_json(last[1])},{as_json(row['text'])}]"),
            "seal": sha(f"[{', '.join(as_json(row[n]) for n in ('digest', 'command', 'answer'))}]"),
        }
        faults += [(row["seq"], name) for name, value in right.items() if row[name] != value]
        if row["seq"] != last[0] + 1 or row["recorded"] < last[2] or entry["v"] != 1:
            faults.append((row["seq"], "order"))
        last = row["seq"], row["digest"], row["recorded"]
        entries.append(entry)
    faults += [(0, "head")] if heads != [last] else []
    faults += [(0, "marks")] if (versions, marks) != ([("0006",)], [1347376466, 6]) else []
    counting = what_counts(entries)
    casts, bearers = casts_of_molds(counting), bearers_of_numbers(counting)
    return {
        "faults": faults,
        "head": last,
        "counting": [(entry["seq"], entry["kind"], entry["at"], entry["body"]) for entry in counting],
        "casts": casts,
        "casts in things": {key: doc["casts"] for (kind, key), doc in docs.items() if kind == "mold"},
        "seen lost": seen_lost(counting),
        "bearers": sorted(bearers.values()),
        "bearers in things": sorted(doc["bearers"] for (kind, _), doc in docs.items() if kind == "number"),
    }  # fmt: skip


def what_counts(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the entries as their corrections have them."""
    words: dict[str, dict[str, Any]] = {}
    for entry in reversed(entries):
        is_void = words.get(entry["id"], {}).get("void", False)
        if entry["kind"] == "entry-corrected" and not is_void:
            words.setdefault(entry["corrects"], entry["body"])
    counting = []
    for entry in entries:
        word = words.get(entry["id"])
        if entry["kind"] == "entry-corrected" or (word and word["void"]):
            continue
        if word:
            entry = entry | {"body": word["body"], "at": word.get("when") or entry["at"]}
        counting.append(entry)
    return counting


def casts_of_molds(entries: list[dict[str, Any]]) -> dict[str, int]:
    casts: dict[str, int] = {}
    for entry in entries:
        kind, body = entry["kind"], entry["body"]
        if kind == "molds-poured":
            casts |= dict.fromkeys(body["made"], 0)
        elif kind == "casts-made":
            for mold in body["molds"]:
                casts[mold] += body.get("each", 1)
        elif kind == "casts-counted":
            casts[body["mold"]] = max(casts[body["mold"]], body["casts"])
    return casts


def seen_lost(entries: list[dict[str, Any]]) -> dict[str, str]:
    """Return why pieces were seen lost at the kiln, by load and piece: what stands and is earliest."""
    undos = {e["command_id"]: e["body"]["undoes"] for e in entries if e["kind"] == "step-voided"}

    def is_gone(key: str, above: tuple[str, ...]) -> bool:
        mine = [undo for undo, of in undos.items() if of == key and undo not in above]
        return any(not is_gone(undo, (*above, undo)) for undo in mine)

    seen = [
        (entry["at"], entry["by"], entry["body"].get("tap", 0), entry["command_id"], entry["body"])
        for entry in entries
        if entry["kind"] == "step-started" and entry["body"]["step"] == "lost"
    ]
    causes: dict[str, str] = {}
    for *_, key, body in sorted(seen, key=lambda one: one[:4]):
        if not is_gone(key, (key,)):
            causes.setdefault(body["what"], body["cause"])
    return causes


def bearers_of_numbers(entries: list[dict[str, Any]]) -> dict[tuple[str, str, int], list[str]]:
    bearers: dict[tuple[str, str, int], list[str]] = {}
    for entry in entries:
        body = entry["body"]
        if entry["kind"] == "piece-marked" and body["kind"] in ("numbered", "proof"):
            for number, piece in zip(body["numbers"], body["made"], strict=True):
                bearers.setdefault((body["edition"], body["kind"], number), []).append(piece)
    return bearers


if __name__ == "__main__":
    print(json.dumps(read(sys.argv[1]), ensure_ascii=False, indent=1))
