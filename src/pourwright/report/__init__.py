"""A plan for people: sections in words, charts, pages, the calendar file."""
