"""The count of mutants leaves out words for the maker, and nothing that computes."""

import ast
from collections import Counter

import pytest
from scipy.stats import binomtest

from tests import mutate


def one(line: str) -> ast.FunctionDef:
    return ast.parse(f"def f(x, hint=''):\n    {line}\n").body[0]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("require('wall', x, 'mm', x > 0)", "require('XXwallXX', x, 'mm', x > 0)"),
        ("require('wall', x, 'mm', x > 0)", "require('wall', x, None, x > 0)"),
        ("require('wall', x, 'mm', x > 0)", "require(x, 'mm', x > 0)"),
        ("require('wall', x, hint=hint)", "require('wall', x, hint=None)"),
        ("require('wall', x, f'at most {x:g}')", "require('wall', x, None)"),
        ("m._require_mass('dry ware', x)", "m._require_mass('DRY WARE', x)"),
        ("raise NotDoable('no cast')", "raise NotDoable('NO CAST')"),
        ("y = 'Cut the spare first.'", "y = None"),
        ("return f'{x} mm' + ' ' + 'of the wall that stands'", "return f'{x} mm' + ' ' + None"),
        ("return f'{x:g} mm'", "return f'{x:g} XXmmXX'"),
    ],
)
def test_a_mutant_of_words_is_left_out(old, new):
    assert mutate.only_words(one(old), one(new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("require('wall', x, 'mm', x > 0)", "require('wall', x, 'mm', x >= 0)"),
        ("require('wall', x, 'mm', x > 0)", "require('wall', None, 'mm', x > 0)"),
        ("require('wall', x, 'mm', x > 0)", "require('wall', x, 'mm')"),
        ("return f'{60 * x:g} min'", "return f'{60 / x:g} min'"),
        ("return 1 if x == 'wet' else 2", "return 1 if x == 'WET' else 2"),
        ("return grown(x, 'inside a ball')", "return grown(x, None)"),
        ("return f(x, hint)", "return f(x, None)"),
        ("return x + 1", "return x - 1"),
        ("y = x", "y = None"),
        ("return [x, 'wet']", "return [x]"),
    ],
)
def test_a_mutant_of_anything_else_is_tried(old, new):
    assert not mutate.only_words(one(old), one(new))


def test_the_names_of_the_functions_are_no_change():
    mutant = one("return x - 1")
    mutant.name = "x_f__mutmut_12"

    assert isinstance(mutate.change(one("return x + 1"), mutant)[-1], ast.Add)
    assert mutate.original("pourwright.x_f__mutmut_12") == "pourwright.x_f__mutmut_orig"


@pytest.mark.parametrize(("killed", "tries"), [(9, 10), (870, 1000), (0, 20), (20, 20)])
def test_the_interval_is_that_of_a_general_library(killed, tries):
    wilson = binomtest(killed, tries).proportion_ci(0.95, method="wilson")

    assert mutate.interval(killed, tries) == pytest.approx((wilson.low, wilson.high), abs=1e-6)


def test_a_share_is_drawn_the_same_each_time():
    names = {f"mutant {number}" for number in range(40)}

    assert len(mutate.drawn(names, 0.25)) == 10
    assert mutate.drawn(names, 0.25) == mutate.drawn(sorted(names, reverse=True), 0.25)
    assert mutate.drawn(names, 1.0) == names


def test_only_what_a_test_noticed_counts_as_noticed():
    """Exit codes as mutmut writes them: 0 passed, 1 failed, 33 no test, 34 skipped, -24 timeout."""
    count = mutate.tried({"a": 1, "b": 0, "c": 33, "d": 34, "e": -24, "f": -11, "g": None})

    assert count == Counter(killed=1, survived=1, endless=1, broken=1, **{"no tests": 1})
    assert mutate.share_killed(count) == 2 / 5
    assert mutate.table({"air": count, "wear": Counter()}) == [
        *mutate.table({})[:2],
        "| `air` | 5 | 1 | 1 | 2 | 1 | 40.0% |",
        "| all | 5 | 1 | 1 | 2 | 1 | 40.0% |",
    ]
