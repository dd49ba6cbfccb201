"""Published figures that the laws are held against, with author, title, year and place.

Each module holds ``CHECKS``, a list of `tests.sources.check.Check`.
"""
