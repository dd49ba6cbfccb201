"""Tell days by the studio's calendar: the documents said some by that of UTC.

The tables stay as they are; after all steps the documents are worked out again.
"""

from __future__ import annotations

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Change no table."""
