"""Writing files: whole or not at all, and a sentence when it cannot be done."""

import json
import os
from pathlib import Path

import pytest

from pourwright.errors import NotDoable
from pourwright.report.files import plan_json, plan_page, save_plan, write_files
from tests.plans import sample_plan


@pytest.fixture
def undrawn(monkeypatch):
    """Leave the page out where only writing is in question."""
    monkeypatch.setattr("pourwright.report.files.plan_page", lambda _: "<!doctype html>\n")


def test_all_files_are_written_and_nothing_else(tmp_path, undrawn):
    folder = tmp_path / "plans" / "august"

    written = save_plan(sample_plan(), folder)

    assert [path.name for path in written] == ["plan.json", "plan.html", "plan.ics"]
    assert sorted(path.name for path in folder.iterdir()) == ["plan.html", "plan.ics", "plan.json"]
    assert json.loads(written[0].read_text(encoding="utf-8")) == sample_plan()
    assert written[1].read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_file_is_what_its_plan_gives(tmp_path, undrawn):
    one, two = (save_plan(sample_plan(), tmp_path / name) for name in ("1", "2"))

    assert [path.read_bytes() for path in one] == [path.read_bytes() for path in two]
    assert one[0].read_bytes() == plan_json(sample_plan()).encode()
    assert b"\r" not in one[0].read_bytes() + one[1].read_bytes()


def test_the_json_holds_no_number_that_json_does_not_know():
    with pytest.raises(ValueError, match="JSON compliant"):
        plan_json(sample_plan(drying={"wet_kg": float("nan")}))


def test_the_page_is_that_of_its_plan_and_does_not_depend_on_the_order_of_fields():
    plan = sample_plan()
    shuffled = {key: plan[key] for key in sorted(plan)}

    page = plan_page(plan)

    assert page.startswith("<!doctype html>")
    assert plan_page(shuffled) == page


def test_a_file_where_the_folder_should_be_is_told(tmp_path, undrawn):
    (tmp_path / "plans").write_text("not a folder")

    with pytest.raises(NotDoable, match=r"cannot be written into .*plans.*--out"):
        save_plan(sample_plan(), tmp_path / "plans")


def test_a_failure_halfway_keeps_the_old_file_and_leaves_no_scrap(tmp_path, monkeypatch):
    write_files(tmp_path, {"plan.json": "old"})

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotDoable, match="No space left on device"):
        write_files(tmp_path, {"plan.json": "new and longer"})

    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]
    assert (tmp_path / "plan.json").read_text() == "old"


def test_files_can_be_read_by_whom_the_umask_allows(tmp_path):
    before = os.umask(0o027)
    try:
        (path,) = write_files(tmp_path, {"a.txt": "a"})
    finally:
        os.umask(before)

    assert path.stat().st_mode & 0o777 == 0o640


def test_a_folder_that_may_not_be_written_in_is_told(tmp_path, undrawn, monkeypatch):
    """Root may write anywhere, so the refusal is played."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(NotDoable, match="Permission denied"):
        save_plan(sample_plan(), tmp_path / "plans")
