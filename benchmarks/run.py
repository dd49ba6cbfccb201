"""Run the benchmarks and compare their ratios with the committed ones: make bench.

A benchmark is a function ``bench_...`` in a module of this folder. It returns a ratio, larger
for faster: to the yardstick, or to a slower way of doing the same. The run fails if one falls
below 80 % of its committed ratio, if one has none, or if a committed one is gone.

    python -m benchmarks.run                    all of them
    python -m benchmarks.run plan               those with "plan" in their name
    python -m benchmarks.run --commit plan      and write what was measured as their ratios
"""

from __future__ import annotations

import argparse
import importlib
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

FOLDER = Path(__file__).parent
RATIOS = FOLDER / "ratios.toml"
LEAST_SHARE = 0.8


def benchmarks() -> Iterator[tuple[str, Callable[[], float]]]:
    """Yield the name, such as "plan.bench_example", and the function of every benchmark."""
    for path in sorted(FOLDER.glob("*.py")):
        if path.stem in {
            "__init__",
            "coverage",
            "coverage_page",
            "page_client",
            "run",
            "studio_server",
            "ten_years",
            "yardstick",
        }:
            continue
        module = importlib.import_module(f"benchmarks.{path.stem}")
        for name, value in sorted(vars(module).items()):
            if name.startswith("bench_") and callable(value):
                yield f"{path.stem}.{name}", value


def read_ratios(path: Path = RATIOS) -> dict[str, float]:
    """Return the committed ratios by benchmark."""
    tables = tomllib.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    return {f"{part}.{name}": float(r) for part, rows in tables.items() for name, r in rows.items()}


def write_ratios(ratios: Mapping[str, float], path: Path = RATIOS) -> None:
    """Write the ratios, one table a module."""
    lines = [
        "# How often the work could be done in one run of benchmarks/yardstick.py, or how many",
        "# times as fast as a slower way it is. Written by: python -m benchmarks.run --commit NAME",
    ]
    for part in sorted({name.split(".")[0] for name in ratios}):
        rows = {name: r for name, r in sorted(ratios.items()) if name.split(".")[0] == part}
        lines += ["", f"[{part}]", *(f"{n.split('.')[1]} = {r:.3g}" for n, r in rows.items())]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def complaints(
    measured: Mapping[str, float], committed: Mapping[str, float], existing: set[str]
) -> list[str]:
    """Return a sentence for each benchmark that became slow, is new, or is gone."""
    found = []
    for name, ratio in measured.items():
        if name not in committed:
            found.append(f"{name} has no committed ratio; if {ratio:.3g} is right, commit it")
        elif ratio < LEAST_SHARE * committed[name]:
            share = ratio / committed[name]
            found.append(f"{name} is at {share:.0%} of its committed ratio {committed[name]:.3g}")
    gone = sorted(set(committed) - existing)
    return [*found, *(f"{name} has a committed ratio and is no more" for name in gone)]


def main() -> int:
    """Run the benchmarks asked for; 0 if all are as fast as they were, else 1."""
    parser = argparse.ArgumentParser(description="Run the benchmarks.")
    parser.add_argument("names", nargs="*", help="only those with one of these in their name")
    parser.add_argument("--commit", action="store_true", help="write what was measured")
    asked = parser.parse_args()

    all_of_them = dict(benchmarks())
    committed = read_ratios()
    measured = {}
    for name, bench in all_of_them.items():
        if asked.names and not any(part in name for part in asked.names):
            continue
        measured[name] = bench()
        before = f"{committed[name]:.3g}" if name in committed else "none"
        print(f"{name:<44} {measured[name]:>9.3g}   committed {before}", flush=True)

    if asked.commit:
        kept = {name: r for name, r in committed.items() if name in all_of_them}
        committed = {**kept, **measured}
        write_ratios(committed)
    found = complaints(measured, committed, set(all_of_them))
    for sentence in found:
        print(sentence, file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
