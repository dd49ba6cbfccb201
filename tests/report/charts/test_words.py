"""Words on a chart: cut to their room, and never over one another."""

from hypothesis import given
from hypothesis import strategies as st

from pourwright.report.charts.words import (
    Word,
    shortened,
    width_px,
    with_room,
    wrapped,
)

TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=60)
WORDS = st.lists(
    st.builds(
        Word,
        x_px=st.floats(-50, 400),
        y_px=st.floats(-20, 320),
        text=TEXT,
        align=st.sampled_from(["left", "center", "right"]),
        bold=st.booleans(),
    ),
    max_size=12,
)


@given(TEXT, st.floats(20, 400))
def test_a_shortened_line_fits(text, room):
    short = shortened(text, room, 13)

    assert width_px(short, 13) <= room
    assert short == text or short.endswith("…")


@given(TEXT, st.floats(40, 400), st.integers(1, 3))
def test_wrapped_lines_fit_and_are_few(text, room, most):
    lines = wrapped(text, room, 13, most)

    assert len(lines) <= most
    assert all(width_px(line, 13) <= room for line in lines)


def test_a_number_stays_with_its_unit():
    assert wrapped("dry for 12 days", width_px("dry for 12", 13), 13) == ["dry for", "12\xa0days"]


@given(WORDS)
def test_words_that_are_kept_stand_apart_on_the_image(words):
    kept = with_room(words, 13, 360, 300)

    for i, word in enumerate(kept):
        left, top, right, bottom = word.box_px(13)
        assert left >= 0
        assert top >= 0
        assert right <= 360
        assert bottom <= 300
        for other in kept[i + 1 :]:
            a, b = word.box_px(13), other.box_px(13)
            across = min(a[2], b[2]) - max(a[0], b[0])
            down = min(a[3], b[3]) - max(a[1], b[1])
            assert min(across, down) <= 0.01


def test_the_first_word_wins_and_a_needed_one_stays():
    first, second = Word(10, 20, "first"), Word(12, 22, "second")

    assert with_room([first, second], 13, 360, 300) == [first]
    assert len(with_room([first, Word(12, 22, "second", must=True)], 13, 360, 300)) == 2
