"""Between our meshes and the library that unites and cuts closed bodies."""

from __future__ import annotations

import manifold3d
import numpy as np

from pourwright.shape.mesh import Mesh


def solid_of(mesh: Mesh) -> manifold3d.Manifold | None:
    """Return a closed body made of a mesh; None if its triangles do not close one.

    Parameters
    ----------
    mesh : Mesh
        Any.
    """
    told = manifold3d.Mesh64(
        vert_properties=np.ascontiguousarray(mesh.vertices_mm, dtype=np.float64),
        tri_verts=np.ascontiguousarray(mesh.faces, dtype=np.uint64),
    )
    solid = manifold3d.Manifold(told)
    is_sound = solid.status() == manifold3d.Error.NoError and not solid.is_empty()
    return solid if is_sound else None


def mesh_of(solid: manifold3d.Manifold) -> Mesh:
    """Return a body's surface.

    Parameters
    ----------
    solid : Manifold
        Any that is not empty.
    """
    told = solid.to_mesh64()
    vertices = np.array(told.vert_properties, dtype=np.float64)[:, :3]
    return Mesh(vertices, np.array(told.tri_verts, dtype=np.int64))
