"""``pourwright paper``: a PDF where it was asked for, and refusals as sentences."""

import pikepdf
import pytest

from pourwright.cli.main import run
from pourwright.paper.kinds import KINDS
from tests.plans import brief_of, sample_plan


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    """Run in a folder of the test's own, without planning."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("pourwright.studio.plans.plan_of_brief", lambda *_: sample_plan())
    return tmp_path


BRIEF = str(brief_of("us-pitcher"))


def test_a_sheet_is_written_under_the_name_of_its_kind(elsewhere, capsys):
    assert run(["paper", "pour", BRIEF]) == 0

    assert capsys.readouterr().out == "Written: pour.pdf\n"
    with pikepdf.open(elsewhere / "pour.pdf") as pdf:
        assert [float(edge) for edge in pdf.pages[0].mediabox] == [0, 0, 612, 792], "US Letter"


def test_the_help_tells_every_kind(capsys):
    assert run(["paper", "--help"]) == 0
    told = capsys.readouterr().out

    assert all(f"\n    {one.name} " in told and one.about in told for one in KINDS)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["pur", BRIEF], "Did you mean pour?"),
        (["pour", "nowhere.toml", "--size", "a4"], "nowhere.toml"),
        (["pour", BRIEF, "--day", "2026-09-04"], "it is on Thu 3 Sep 2026"),
        (["pour", BRIEF, "--out", "no.pdf/x.pdf"], "Name a file of yours with --out"),
    ],
)
def test_what_cannot_be_printed_is_a_sentence(words, said, elsewhere, capsys, monkeypatch):
    (elsewhere / "no.pdf").write_text("a file, no folder")
    if "nowhere.toml" in words:
        monkeypatch.undo()
        monkeypatch.chdir(elsewhere)

    assert run(["paper", *words]) == 2
    assert said in capsys.readouterr().err
