"""How a plan's time and memory grow with pieces, with molds and with editions: writes docs/science/plan-time.md.

    python -m benchmarks.growth           everything, some twenty minutes of one core
    python -m benchmarks.growth --small   what takes seconds, to try a change; the page is not written

Each plan is made once by the command, between two runs of the yardstick, and told in seconds of
the machine on which the yardstick takes its nominal time.
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from benchmarks.plan import DAY, EXAMPLE, WORKSHOP
from benchmarks.yardstick import NOMINAL_S, seconds, workload

PAGE = Path(__file__).parents[1] / "docs" / "science" / "plan-time.md"

PIECES = (30, 100, 300, 1000, 3000, 10_000)
MOLDS = (1, 5, 20, 50, 100, 200)
EDITIONS = (1, 2, 5, 10, 20)
SMALL = 3


class Asked(NamedTuple):
    """What a plan is asked for; without molds their number is left to it."""

    pieces: int
    molds: int | None
    editions: int


@dataclass(frozen=True)
class Curve:
    """Plans in which one of the three numbers grows."""

    title: str
    grows: str
    plans: tuple[Asked, ...]


CURVES = (
    Curve(
        "Pieces, a mold for every fifty, in a workshop of three people",
        "pieces",
        tuple(Asked(n, max(n // 50, 1), 1) for n in PIECES),
    ),
    Curve(
        "Molds, for a thousand pieces, in the same workshop",
        "molds",
        tuple(Asked(1000, n, 1) for n in MOLDS),
    ),
    Curve(
        "Editions of 64 bowls in one studio, each with a first claim on kiln and hands before the next",
        "editions",
        tuple(Asked(64, None, n) for n in EDITIONS),
    ),
)


def brief(folder: Path, asked: Asked) -> Path:
    """Return a brief written into a folder: the workshop's with its molds told, or else the example's."""
    source = EXAMPLE if asked.molds is None else WORKSHOP
    text = re.sub(
        r"(?m)^pieces = \d+", f"pieces = {asked.pieces}", source.read_text(encoding="utf-8")
    )
    text = re.sub(r"(?m)^molds = \d+", f"molds = {asked.molds}", text)
    text = re.sub(r'(?m)^id = ".*"', f'id = "{folder.name}"', text)
    studio = source.with_name("studio.toml").read_text(encoding="utf-8")
    (folder / "studio.toml").write_text(studio, encoding="utf-8")
    told = folder / "edition.toml"
    told.write_text(text, encoding="utf-8")
    return told


def plan_once(asked: Asked) -> tuple[float, float]:
    """Plan the last of some editions by the command, and return what that took. [s, MB]"""
    with tempfile.TemporaryDirectory() as base:
        briefs = []
        for number in range(asked.editions):
            folder = Path(base) / f"edition-{number + 1}"
            folder.mkdir()
            briefs.append(brief(folder, asked))
        beside = [word for one in briefs[:-1] for word in ("--beside", str(one))]
        command = [
            sys.executable,
            "-m",
            "pourwright",
            "plan",
            str(briefs[-1]),
            *beside,
            "--today",
            str(DAY),
        ]
        yard = seconds(workload)
        began = time.perf_counter()
        planning = subprocess.Popen([*command, "--out", base], stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(planning.pid, 0)
        took = time.perf_counter() - began
        if status:
            raise RuntimeError(f"the plan failed: {asked}")
        return took / min(yard, seconds(workload)) * NOMINAL_S, used.ru_maxrss / 1024


HEAD = """# How long a plan takes

A plan plays an edition through in ten thousand ways, day by day, for each rule that may be the best.
What that takes grows with the pieces, the molds and the editions that share the studio.
Here it is counted with the command, from its start to its files, in seconds of the machine on which `benchmarks/yardstick.py` was first timed, two cores of a cloud machine; other work went on beside it, so a single figure may be off by a third.
Editions in one studio take nearly the cube of their number: each is planned with all before it, on every day until it ends, and each ends later than the one before.
`python -m benchmarks.growth` counts again and writes this page.
"""


def table(curve: Curve) -> str:
    """Return one curve as a table."""
    lines = [
        f"## {curve.title}",
        "",
        f"| {curve.grows} | seconds | memory [MB] |",
        "| ---: | ---: | ---: |",
    ]
    for asked in curve.plans:
        took_s, most_mb = plan_once(asked)
        lines.append(f"| {getattr(asked, curve.grows):,} | {took_s:.1f} | {most_mb:,.0f} |")
    return "\n".join(lines)


def main() -> int:
    """Plan everything, and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true")
    small = parser.parse_args().small
    curves = [replace(curve, plans=curve.plans[:SMALL]) for curve in CURVES] if small else CURVES
    text = "\n\n".join([HEAD.strip(), *(table(curve) for curve in curves)]) + "\n"
    if small:
        print(text)
    else:
        PAGE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
