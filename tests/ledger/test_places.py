"""Folders on other computers, and those that a program keeps alike, are recognized and warned of."""

from pathlib import Path

import pytest

from pourwright.ledger.file import places
from pourwright.ledger.file.places import doubt_about, kind_of_mount

MOUNTS = """\
22 1 8:2 / / rw,relatime shared:1 - ext4 /dev/sda2 rw
31 22 0:26 / /proc rw - proc proc rw
40 22 0:44 / /srv/pots rw,relatime shared:20 - nfs4 box:/pots rw,vers=4.2
41 40 0:45 / /srv/pots/near rw - tmpfs tmpfs rw
42 22 0:46 / /mnt/with\\040space rw master:3 - cifs //box/share rw
43 22 0:47 / /mnt/drive rw - fuse.sshfs me@box: rw
44 22
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [("/", "ext4"), ("/srv", "ext4"), ("/srv/pots/cups", "nfs4"), ("/srv/pots/near/x", "tmpfs"),
     ("/srv/potsherds", "ext4"), ("/mnt/with space/cups", "cifs"), ("/mnt/drive", "fuse.sshfs")],
)  # fmt: skip
def test_the_nearest_mount_tells_the_kind(folder, kind):
    assert kind_of_mount(Path(folder), MOUNTS) == kind


@pytest.mark.parametrize("mark", places._MARKS)
def test_a_folder_below_a_mark_is_doubted(tmp_path, mark):
    (tmp_path / mark).mkdir()
    (tmp_path / "pottery" / "cups").mkdir(parents=True)
    assert "seems to be kept alike" in doubt_about(tmp_path / "pottery" / "cups")


def test_a_folder_on_another_computer_is_doubted(tmp_path, monkeypatch):
    monkeypatch.setattr(places, "kind_of_mount", lambda _folder, _mounts: "nfs")
    assert "lies on another computer" in doubt_about(tmp_path)


def test_this_computers_own_disk_is_not_doubted(tmp_path):
    assert doubt_about(tmp_path) == ""
