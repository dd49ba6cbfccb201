"""Every rule, in one table by kind: what the book refuses, with a sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pourwright.ledger.entry import Body
from pourwright.ledger.rules import edition as of_edition
from pourwright.ledger.rules import molds as of_molds
from pourwright.ledger.rules import numbers as of_numbers
from pourwright.ledger.rules import record as of_record
from pourwright.ledger.rules import ware as of_ware
from pourwright.ledger.things import Things

Rule = Callable[[Things, Body], Iterator[str]]

_OPEN = of_edition.rule_edition_is_open
_MOLD = (of_molds.rule_mold_is_not_destroyed,)
_HERE = (of_ware.rule_pieces_are_here, of_ware.rule_pieces_are_in_no_load)
_LOAD = (
    _OPEN,
    of_ware.rule_something_is_counted,
    of_ware.rule_firing_is_on_the_route,
    of_ware.rule_stage_holds_enough,
    *_HERE,
    of_ware.rule_pieces_stand_where_it_begins,
)

FIRST: tuple[Rule, ...] = (of_edition.rule_edition_is_known, of_edition.rule_what_is_named_is_known)
"""Judged before all others, which rely on them."""

RULES: dict[str, tuple[Rule, ...]] = {
    "edition-planned": (
        of_edition.rule_edition_is_new,
        of_edition.rule_proof_letters_are_letters,
    ),
    "edition-declared": (
        _OPEN,
        of_edition.rule_edition_is_declared_once,
        of_edition.rule_size_is_free,
    ),
    "edition-resized": (
        _OPEN,
        of_edition.rule_size_is_told,
        of_edition.rule_size_is_free,
    ),
    "edition-closed": (
        _OPEN,
        of_edition.rule_closing_edition_is_declared,
        of_edition.rule_nothing_is_owed,
        of_edition.rule_every_number_is_made,
        of_edition.rule_no_unmarked_ware_is_left,
        of_edition.rule_no_load_is_in_the_kiln,
        of_edition.rule_no_surplus_is_undeclared,
        of_edition.rule_every_number_is_finished,
        of_edition.rule_every_form_is_told,
        of_edition.rule_nothing_else_could_remake_it,
    ),
    "form-made": (_OPEN,),
    "casts-tested": (
        _OPEN,
        of_edition.rule_form_is_here,
        of_edition.rule_test_casts_come_from_a_block_mold,
        of_edition.rule_no_more_good_tests_than_cast,
    ),
    "form-approved": (_OPEN, of_edition.rule_form_is_here),
    "form-destroyed": (of_edition.rule_form_is_here,),
    "form-kept": (
        of_edition.rule_something_is_named,
        of_edition.rule_form_is_here,
        *_MOLD,
        of_molds.rule_spare_is_free,
    ),
    "molds-poured": (
        _OPEN,
        of_molds.rule_something_is_poured,
        of_molds.rule_label_is_free,
    ),
    "part-poured": (_OPEN, of_molds.rule_part_is_one_of_the_molds),
    "part-swapped": (
        _OPEN,
        *_MOLD,
        of_molds.rule_part_is_one_of_the_molds,
        of_molds.rule_spare_is_free,
        of_molds.rule_spare_fits,
    ),
    "part-broken": (
        *_MOLD,
        of_molds.rule_part_is_one_of_the_molds,
        of_molds.rule_part_is_not_broken_yet,
    ),
    "mold-weighed": (of_molds.rule_weighing_is_whole, *_MOLD),
    "mold-dried": _MOLD,
    "straps-tagged": _MOLD,
    "mold-judged": _MOLD,
    "mold-retired": (*_MOLD, of_molds.rule_mold_is_not_retired_yet),
    "mold-destroyed": (
        of_edition.rule_something_is_named,
        *_MOLD,
        of_molds.rule_spare_is_free,
    ),
    "casts-made": (
        _OPEN,
        *_MOLD,
        of_molds.rule_cast_mold_is_complete,
        of_ware.rule_no_more_good_than_cast,
        of_ware.rule_lost_molds_were_cast,
        of_ware.rule_cast_is_not_written_yet,
    ),
    "casts-counted": (
        _OPEN,
        *_MOLD,
        of_molds.rule_cast_mold_is_complete,
        of_ware.rule_no_more_good_than_cast,
    ),
    "ware-lost": (
        _OPEN,
        of_ware.rule_something_is_counted,
        of_ware.rule_stage_is_told,
        of_ware.rule_stage_is_on_the_route,
        of_ware.rule_stage_holds_enough,
        *_HERE,
    ),
    "ware-glazed": (
        _OPEN,
        of_ware.rule_something_is_counted,
        of_ware.rule_glazed_ware_waits_for_it,
        *_HERE,
    ),
    "ware-decorated": (
        _OPEN,
        of_ware.rule_something_is_counted,
        of_ware.rule_decorated_ware_waits_for_it,
        *_HERE,
    ),
    "load-closed": (*_LOAD, of_ware.rule_load_is_not_closed_yet),
    "load-opened": (
        _OPEN,
        of_ware.rule_load_is_closed,
        of_ware.rule_no_more_lost_than_loaded,
    ),
    "load-fired": (*_LOAD, of_ware.rule_no_more_lost_than_loaded),
    "ware-finished": (
        _OPEN,
        of_ware.rule_something_stands_before_it,
        of_ware.rule_stage_holds_enough,
        *_HERE,
        of_ware.rule_pieces_stand_where_it_begins,
        of_ware.rule_no_piece_is_both_finished_and_lost,
    ),
    "piece-marked": (
        _OPEN,
        of_numbers.rule_numbers_or_count_are_told,
        of_numbers.rule_marked_edition_is_declared,
        of_numbers.rule_number_is_within_the_edition,
        of_numbers.rule_no_two_living_bear_one_number,
        of_numbers.rule_number_is_not_settled,
        of_numbers.rule_replacement_has_evidence,
        of_numbers.rule_mold_of_the_piece_fits,
        of_ware.rule_stage_is_on_the_route,
        of_ware.rule_stage_holds_enough,
    ),
    "piece-sold": (
        of_numbers.rule_piece_is_living,
        of_numbers.rule_piece_is_not_sold_twice,
    ),
    "piece-shipped": (
        of_ware.rule_pieces_are_here,
        of_ware.rule_pieces_are_in_no_load,
        of_numbers.rule_piece_that_leaves_is_finished,
    ),
    "piece-given": (
        of_ware.rule_pieces_are_here,
        of_ware.rule_pieces_are_in_no_load,
        of_numbers.rule_piece_that_leaves_is_finished,
        of_numbers.rule_given_piece_is_not_sold,
    ),
    "piece-returned": (of_numbers.rule_returned_piece_is_away,),
    "piece-broken": (of_numbers.rule_piece_is_living, of_ware.rule_pieces_are_in_no_load),
    "number-settled": (of_numbers.rule_settled_number_is_owed,),
    "surplus-declared": (
        of_ware.rule_something_is_counted,
        of_ware.rule_stage_is_on_the_route,
        of_ware.rule_stage_holds_enough,
        *_HERE,
        of_numbers.rule_surplus_bears_no_number,
        of_numbers.rule_surplus_is_finished_or_destroyed,
    ),
    "lot-mixed": (),
    "lot-read": (of_record.rule_lot_is_known, of_record.rule_something_is_read),
    "thermometer-logged": (
        of_record.rule_thermometer_stood_in_something,
        of_record.rule_clock_readings_have_a_start,
    ),
    "stock-counted": (of_ware.rule_stage_is_on_the_route,),
    "note-made": (),
    "photo-kept": (of_record.rule_photo_is_new,),
    "photo-erased": (of_record.rule_photo_is_known,),
    "step-started": (),  # what was seen is never refused: see ``ledger/observations.py``
    "step-ended": (),
    "step-voided": (),
}


ALREADY = (
    "rule_cast_is_not_written_yet",
    "rule_load_is_closed",
    "rule_load_is_not_closed_yet",
)
"""What refuses a tap that another phone has made before: a count is decided once."""


def refusals(things: Things, kind: str, body: Body) -> list[tuple[str, str]]:
    """Return why an entry must not be, by the state before it: each rule's name and sentence."""
    is_of_known = "edition" in body and kind != "edition-planned"
    first = _said(FIRST, things, body) if is_of_known else []
    found = first or _said(RULES[kind], things, body)
    return [one for one in found if one[0] in ALREADY] or found


def _said(rules: tuple[Rule, ...], things: Things, body: Body) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for rule in rules:
        found += [(rule.__name__, sentence) for sentence in rule(things, body)]
        if found and rule in FIRST:
            break  # the next one looks into what this one has not found
    return found
