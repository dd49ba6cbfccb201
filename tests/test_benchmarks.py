"""Benchmarks are judged by their ratios; nothing here is timed."""

from pytest import approx

from benchmarks import run, ten_years, yardstick
from pourwright.ledger.book import Book
from pourwright.ledger.file.store import Store


def test_a_benchmark_below_four_fifths_of_its_ratio_is_named():
    committed = {"plan.bench_a": 10.0, "plan.bench_b": 10.0}
    found = run.complaints({"plan.bench_a": 7.9, "plan.bench_b": 8.1}, committed, set(committed))

    assert found == ["plan.bench_a is at 79% of its committed ratio 10"]


def test_a_benchmark_without_a_ratio_and_a_ratio_without_a_benchmark_are_named():
    found = run.complaints({"plan.bench_new": 3.0}, {"plan.bench_gone": 1.0}, {"plan.bench_new"})

    assert [line.split()[0] for line in found] == ["plan.bench_new", "plan.bench_gone"]


def test_every_benchmark_has_a_committed_ratio_and_no_ratio_is_left_over():
    assert set(run.read_ratios()) == {name for name, _ in run.benchmarks()}


def test_ratios_are_read_as_they_were_written(tmp_path):
    ratios = {"plan.bench_a": 1.25, "laws.bench_b": 130.0, "plan.bench_c": 0.0123}
    run.write_ratios(ratios, tmp_path / "ratios.toml")

    assert run.read_ratios(tmp_path / "ratios.toml") == ratios


def test_the_yardstick_does_the_same_work_every_time():
    """A guard against change, no outside check: every committed ratio rests on the workload."""
    assert yardstick.workload() == approx(7480794445.913024, rel=1e-9)


def test_the_ten_years_are_a_book_as_commands_would_have_made_it(tmp_path):
    copies = ten_years.lay_out(tmp_path / "studio", 0, 7, (0.01, 0.3, 0.6))
    book = Book(Store.open(tmp_path / "studio" / "book.db"))
    with book.store:
        assert book.verify() == []
        assert book.rebuild() == []
        with book.reading() as reading:
            assert sorted(one.state for one in reading.editions) == ["closed"] * 4 + ["declared"] * 2 + ["planned"]  # fmt: skip
            assert reading.head().seq == sum(one.upto for one in copies)
            days = [entry.recorded for entry in reading.entries()]
            assert days == sorted(days)
