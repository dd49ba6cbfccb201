"""A small studio of our own invention for the tests of today, the bench and the shelf."""

from pathlib import Path
from typing import Any

STUDIO = """version = 1

[studio]
name = "The Quiet Heron"
country = "DK"
zone = "Europe/Copenhagen"
currency = "DKK"

[plaster]
consistency = 70
bag = "25 kg"
bucket = "12 l"
scale_step = "10 g"
spare = "5 %"

[pouring]
working_time = "3 min"
set = "60 min"

[kiln]
loads_a_week = 2
bisque_days = 2
"""

BRIEF = """version = 1
studio = "../studio.toml"

[edition]
id = "reed-bowl"
name = "Reed bowl"
pieces = 24
proofs = 2

[preparation]
have = "masters"

[mold]
life = 30
conditioning = 2

[[mold.parts]]
name = "outside"
masters = 2
volume = "2.4 l"

[[mold.parts]]
name = "foot"
masters = 2
volume = "0.8 l"

[casting]
fill = "1.2 l"
wall = "5 mm"

[casting.test]
wall = "4 mm"
time = "8 min"

[work]
fettle = "12 min"

[firing]
glaze_load = 8
bisque_load = 12
"""

EDITION = "reed-bowl"


def lay_out(folder: Path, brief: str = BRIEF) -> Path:
    """Write the studio's files into a folder."""
    (folder / "editions").mkdir(parents=True, exist_ok=True)
    (folder / "studio.toml").write_text(STUDIO, encoding="utf-8")
    (folder / "editions" / "reed-bowl.toml").write_text(brief, encoding="utf-8")
    return folder


def planned(**more: Any) -> dict[str, Any]:
    """Return the command that plans the edition."""
    return {
        "do": "plan-edition", "id": "plan", "edition": EDITION, "name": "Reed bowl", "pieces": 24,
        "proofs": 2, "parts": "outside, foot", "molds": 6, "life": 30, "conditioning": 2,
    } | more  # fmt: skip
