"""Change the laws in small ways and count how many changes the tests notice: make mutate.

    python -m tests.mutate                     every mutant, in an hour or so
    python -m tests.mutate --share 0.2         a fifth of them, drawn with a fixed seed
    python -m tests.mutate --again             the survivors, and what was changed since, once more
    python -m tests.mutate --survivors         what the survivors of the last run change

mutmut makes the mutants of `pourwright.materials` and runs on each the tests of
tests/materials that call the changed function. Two kinds are left out, and counted:

- words for the maker: a mutant that changes, empties or drops nothing but text of a refusal
  or a sentence. Short names that the code chooses by, as "wet" or "large", stay in;
- with a share below 1, those that were not drawn. The seed is fixed.

The examples in docstrings kill nothing here: they hold our own earlier figures.

Of the survivors that were read one by one, most are as good as the law (the type of an array,
one step of bisection more, ``<`` for ``<=`` where no float lies). These are true gaps:

- limits of a range, off by one unit, that no test stands on;
- the rates of ``bisque_segments``, the bounds in the fits of ``fit_thermometer_log`` and
  ``_grid``, and how gently ``drying_face`` sets in: our own choices, with nothing to hold against;
- how long slip stands in a wet mold in ``cast_week``, radiation in the falling stage of
  ``drying_time``, the modes beyond the fortieth of ``core_course``.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import math
import os
import random
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
MUTANTS = ROOT / "mutants"
LAWS = Path("src/pourwright/materials")
SEED = 20_240
LEAST = 0.85
LEAST_OF_A_MODULE = 0.70
FEWEST_TO_JUDGE = 10
LEFT_OUT = 34  # mutmut's own code of a skipped mutant
OUTCOMES = {0: "survived", 1: "killed", 3: "killed", 33: "no tests", 5: "no tests"}
ENDLESS = {36, 24, -24, 152, 255}
SENTENCE_WORDS = 4
TEXT_NAMES = {"what", "unit", "allowed", "hint"}

# --- which mutants only change words


def change(old: ast.AST, new: ast.AST) -> list[ast.AST]:
    """Return the nodes from the whole function down to the one that the mutant changes."""
    path = [old]
    if type(old) is not type(new):
        return path
    differing = [
        (a, b)
        for (field, a), (_, b) in zip(ast.iter_fields(old), ast.iter_fields(new), strict=True)
        if as_text(a) != as_text(b) and not (field == "name" and isinstance(old, ast.FunctionDef))
    ]
    if len(differing) != 1:
        return path
    before, after = differing[0]
    if isinstance(before, ast.AST) and isinstance(after, ast.AST):
        return path + change(before, after)
    if isinstance(before, list) and isinstance(after, list):
        return path + changed_item(before, after)
    return path


def changed_item(before: list[ast.AST], after: list[ast.AST]) -> list[ast.AST]:
    """Return the path on into the one item of a list that is another or was dropped."""
    if len(before) == len(after):
        pairs = [(a, b) for a, b in zip(before, after, strict=True) if as_text(a) != as_text(b)]
        return change(*pairs[0]) if len(pairs) == 1 else []
    for at, item in enumerate(before):
        rest = before[:at] + before[at + 1 :]
        if as_text(rest) == as_text(after):
            return [item]
    return []


def as_text(value: object) -> str:
    """Return what a part of the tree says, wherever it stands in the file."""
    if isinstance(value, ast.AST):
        return ast.dump(value)
    if isinstance(value, list):
        return "\n".join(map(as_text, value))
    return repr(value)


def only_words(old: ast.FunctionDef, new: ast.FunctionDef) -> bool:
    """Return whether a mutant changes nothing but words for the maker."""
    *above, last = change(old, new)
    if isinstance(last, ast.keyword):
        last = last.value
    if not is_text(last):
        return False
    if any(is_refusal(node) for node in above):
        return True
    in_sentence = any(isinstance(node, ast.JoinedStr) for node in above)
    return not isinstance(last, ast.Name) and (in_sentence or is_sentence(last))


def is_text(node: ast.AST) -> bool:
    """Return whether a node is a literal of text, or a name that stands for a refusal's text."""
    literal = isinstance(node, ast.Constant) and isinstance(node.value, str)
    named = isinstance(node, ast.Name) and node.id in TEXT_NAMES
    return literal or named or isinstance(node, ast.JoinedStr)


def is_sentence(node: ast.AST) -> bool:
    """Return whether a text is written to be read: an f-string, or several words."""
    if isinstance(node, ast.Constant):
        return len(str(node.value).split()) >= SENTENCE_WORDS
    return isinstance(node, ast.JoinedStr)


def is_refusal(node: ast.AST) -> bool:
    """Return whether a call refuses its values, or makes the error that is raised."""
    if isinstance(node, ast.Raise):
        return True
    if not isinstance(node, ast.Call):
        return False
    name = ast.unparse(node.func).rpartition(".")[2].lstrip("_")
    return name.startswith("require")


# --- mutants on disk


def functions(path: Path) -> dict[str, ast.FunctionDef]:
    """Return every function and method of a file of mutants by its name."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def original(name: str) -> str:
    """Return the name of the unchanged function that stands beside a mutant."""
    return f"{name.rpartition('_')[0]}_orig"


def books() -> Iterator[tuple[Path, dict[str, Any]]]:
    """Yield each module's file of outcomes, and what it holds."""
    for path in sorted((MUTANTS / LAWS).rglob("*.py.meta")):
        yield path, json.loads(path.read_text(encoding="utf-8"))


def outcomes() -> dict[str, dict[str, int | None]]:
    """Return module, as a path below the laws -> mutant -> exit code of its tests."""
    return {
        path.relative_to(MUTANTS / LAWS).as_posix().removesuffix(".py.meta"): book[
            "exit_code_by_key"
        ]
        for path, book in books()
    }


def mark(codes: dict[str, int | None]) -> None:
    """Write exit codes of mutants, so that mutmut takes them as told."""
    for path, book in books():
        held = book["exit_code_by_key"]
        held.update({name: code for name, code in codes.items() if name in held})
        path.write_text(json.dumps(book, indent=4), encoding="utf-8")


def make(*, anew: bool) -> None:
    """Let mutmut write the mutants: all of them anew, or of changed functions only."""
    if anew:
        shutil.rmtree(MUTANTS, ignore_errors=True)
    MUTANTS.mkdir(exist_ok=True)
    steps = (
        "from mutmut import __main__ as m; m.set_mutant_under_test('mutant_generation');"
        " m.copy_src_dir(); m.copy_also_copy_files(); m.setup_source_paths(); m.create_mutants(1)"
    )
    subprocess.run([sys.executable, "-c", steps], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)


def words() -> set[str]:
    """Return the mutants that only change words for the maker."""
    found = set()
    for module, codes in outcomes().items():
        by_name = functions(MUTANTS / LAWS / f"{module}.py")
        for mutant in codes:
            name = mutant.rpartition(".")[2]
            if only_words(by_name[original(name)], by_name[name]):
                found.add(mutant)
    return found


def drawn(names: Iterable[str], share: float) -> set[str]:
    """Return a share of the mutants, the same ones each time."""
    ordered = sorted(names)
    return set(random.Random(SEED).sample(ordered, math.ceil(share * len(ordered))))


def run(processes: int) -> None:
    """Let mutmut try every mutant that has no outcome yet."""
    program = Path(sys.executable).parent / "mutmut"
    environment = os.environ | {"HYPOTHESIS_PROFILE": "mutate"}
    command = [str(program), "run", "--max-children", str(processes)]
    log = MUTANTS / "run.log"
    with log.open("w", encoding="utf-8") as kept:
        # Its progress is a spinner: fit for a terminal, thousands of lines elsewhere.
        out = None if sys.stdout.isatty() else kept
        done = subprocess.run(
            command, cwd=ROOT, env=environment, stdin=subprocess.DEVNULL, stdout=out, check=False
        )
    if done.returncode:
        sys.exit(f"mutmut stopped; if nothing is said above, it is in {log.relative_to(ROOT)}.")


# --- what came of it


def outcome(code: int | None) -> str:
    """Return what an exit code of the tests means."""
    if code in ENDLESS:
        return "endless"
    return "broken" if code is None else OUTCOMES.get(code, "broken")


def tried(codes: dict[str, int | None]) -> Counter[str]:
    """Return how many mutants came to which end, left out what was not tried."""
    return Counter(outcome(code) for code in codes.values() if code not in {LEFT_OUT, None})


def share_killed(count: Counter[str]) -> float:
    """Return the share of the tried mutants that the tests noticed."""
    return (count["killed"] + count["endless"]) / max(1, count.total())


def interval(killed: int, tries: int) -> tuple[float, float]:
    """Return Wilson's 95 % interval of a share (J. Am. Stat. Assoc. 22 (1927) 209)."""
    z = 1.959964
    middle = (killed + z * z / 2) / (tries + z * z)
    half = z * math.sqrt(killed * (tries - killed) / tries + z * z / 4) / (tries + z * z)
    return middle - half, middle + half


def table(by_module: dict[str, Counter[str]]) -> list[str]:
    """Return the lines of the table, one a module, as Markdown."""
    lines = [
        "| module | mutants | killed | endless | survived | no test | noticed |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    whole: Counter[str] = Counter()
    for module, count in by_module.items():
        if count.total():
            lines.append(row(f"`{module}`", count))
            whole += count
    return [*lines, row("all", whole)]


def row(name: str, count: Counter[str]) -> str:
    """Return one line of the table; a mutant that broke the run counts as survived."""
    numbers = (count.total(), count["killed"], count["endless"],
               count["survived"] + count["broken"], count["no tests"])  # fmt: skip
    return f"| {name} | {' | '.join(map(str, numbers))} | {share_killed(count):.1%} |"


def report() -> int:
    """Print the table and the count; 0 if enough mutants were noticed, else 1."""
    by_module = {module: tried(codes) for module, codes in outcomes().items()}
    whole = sum(by_module.values(), Counter())
    every = [code for codes in outcomes().values() for code in codes.values()]
    killed = whole["killed"] + whole["endless"]
    low, high = interval(killed, max(1, whole.total()))
    print("\n".join(table(by_module)))
    print(
        f"\n{killed} of {whole.total()} mutants noticed: {share_killed(whole):.1%}"
        f" (95 % interval if drawn from more: {low:.1%} to {high:.1%})."
        f"\n{every.count(LEFT_OUT)} of {len(every)} left out: words for the maker, or not drawn."
    )
    few = [
        module
        for module, count in by_module.items()
        if count.total() >= FEWEST_TO_JUDGE and share_killed(count) < LEAST_OF_A_MODULE
    ]
    if few:
        print(f"Under {LEAST_OF_A_MODULE:.0%}: {', '.join(few)}.")
    return int(share_killed(whole) < LEAST or bool(few))


def survivors() -> Iterator[str]:
    """Yield the mutants of the last run that no test noticed."""
    for codes in outcomes().values():
        for mutant, code in codes.items():
            if code not in {LEFT_OUT, None} and outcome(code) not in {"killed", "endless"}:
                yield mutant


def show(mutant: str) -> str:
    """Return the lines that a mutant changes."""
    module, _, name = mutant.removeprefix("pourwright.materials.").rpartition(".")
    by_name = functions(MUTANTS / LAWS / f"{module.replace('.', '/')}.py")
    old, new = (
        ast.unparse(by_name[each]).replace(each, "f", 1).splitlines()
        for each in (original(name), name)
    )
    lines = difflib.unified_diff(old, new, n=0, lineterm="")
    changed = [line for line in lines if line[:3] not in {"---", "+++"} and line[0] != "@"]
    return "\n".join([mutant.removeprefix("pourwright.materials."), *changed])


def main() -> int:
    """Do what was asked; see the top of this file."""
    parser = argparse.ArgumentParser(description="Count the mutants that the tests notice.")
    parser.add_argument("--share", type=float, default=1.0, help="of all mutants, 0 to 1")
    parser.add_argument("--processes", type=int, default=1, help="how many at a time")
    parser.add_argument("--again", action="store_true", help="try the last survivors once more")
    parser.add_argument("--survivors", action="store_true", help="show them, and try nothing")
    asked = parser.parse_args()

    if asked.survivors:
        print("\n\n".join(map(show, survivors())))
        return 0
    make(anew=not asked.again)
    in_words = words()
    every = {name for codes in outcomes().values() for name in codes}
    if asked.again:
        left = in_words
        mark(dict.fromkeys(survivors()))
    else:
        left = every - drawn(every - in_words, asked.share)
    mark(dict.fromkeys(left, LEFT_OUT))
    print(f"{len(every)} mutants, {len(in_words)} of them only words.", flush=True)
    run(asked.processes)
    return report()


if __name__ == "__main__":
    sys.exit(main())
