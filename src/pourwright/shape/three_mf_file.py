"""Several bodies written as one 3MF, each with its name, in millimeters."""

from __future__ import annotations

import io
import zipfile
from xml.sax.saxutils import quoteattr

from pourwright.shape.mesh import Mesh
from pourwright.shape.stl_file import as_read_back

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0"
 Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>"""
_EPOCH = (1980, 1, 1, 0, 0, 0)
"""A zip's earliest time, so that the same bodies give the same bytes."""


def three_mf_bytes(bodies: dict[str, Mesh]) -> bytes:
    """Return bodies as a 3MF.

    Parameters
    ----------
    bodies : dict of str to Mesh
        Closed bodies by their names.
    """
    objects = "".join(
        _object(number, name, body) for number, (name, body) in enumerate(bodies.items(), 1)
    )
    items = "".join(f'<item objectid="{number}"/>' for number in range(1, len(bodies) + 1))
    model = (
        f'<?xml version="1.0" encoding="UTF-8"?><model unit="millimeter" xmlns="{_CORE}">'
        f"<resources>{objects}</resources><build>{items}</build></model>"
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as made:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", model),
        ):
            made.writestr(zipfile.ZipInfo(name, _EPOCH), text, zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def _object(number: int, name: str, body: Mesh) -> str:
    kept = as_read_back(body)  # single numbers, as an STL keeps them, need nine digits
    corners = "".join(
        f'<vertex x="{x:.9g}" y="{y:.9g}" z="{z:.9g}"/>' for x, y, z in kept.vertices_mm.tolist()
    )
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in kept.faces.tolist())
    told = f"<mesh><vertices>{corners}</vertices><triangles>{faces}</triangles></mesh>"
    return f'<object id="{number}" type="model" name={quoteattr(name)}>{told}</object>'
