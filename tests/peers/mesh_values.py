"""Prints tests/mesh/reference_values.rs: what trimesh and manifold3d say of the demo parts and the awkward meshes.

Run from the project's root: python tests/peers/mesh_values.py > tests/mesh/reference_values.rs
"""

from pathlib import Path

import manifold3d
import numpy as np
import trimesh
from importlib.metadata import version

ROOT = Path(__file__).resolve().parents[2]
CLOSED = [
    "assets/demo/handle.stl",
    "assets/demo/cap.stl",
    "assets/demo/grip.stl",
    "tests/assets/plate_with_hole.stl",
    "tests/assets/far_plate.stl",
    "tests/assets/inch_plate.stl",
    "tests/assets/tied_towers.stl",
    "tests/assets/overlapping_bodies.stl",
    "tests/assets/inner_void.stl",
    "tests/assets/flipped_body.stl",
]
UNITED = ["overlapping_bodies", "touching_face", "touching_edge", "touching_vertex", "duplicated_part"]


def number(x):
    return repr(round(float(x), 6))


def row(path):
    mesh = trimesh.load_mesh(ROOT / path)
    moved = mesh.copy()
    # Sums about the middle of the box: trimesh takes them about the file's origin.
    middle = mesh.bounds.mean(axis=0)
    moved.apply_translation(-middle)
    centroid = moved.center_mass + middle if abs(moved.volume) > 1e-9 else moved.centroid + middle
    low, high = ("[" + ", ".join(number(x) for x in side) + "]" for side in mesh.bounds)
    return f"""    Reference {{
        path: "{path}",
        triangles: {len(mesh.faces)},
        vertices: {len(mesh.vertices)},
        volume_mm3: {number(moved.volume)},
        area_mm2: {number(moved.area)},
        centroid_mm: [{", ".join(number(x) for x in centroid)}],
        low_mm: {low},
        high_mm: {high},
        bodies: {mesh.body_count},
        euler: {mesh.euler_number},
        closed: {str(bool(mesh.is_watertight and mesh.is_winding_consistent)).lower()},
    }},"""


def united(name):
    """Volume and area of the union of the separate shells of a file, by manifold3d, largest first."""
    mesh = trimesh.load_mesh(ROOT / f"tests/assets/{name}.stl", process=False)
    half = len(mesh.faces) // 2
    solids = []
    for faces in (mesh.faces[:half], mesh.faces[half:]):
        shell = trimesh.Trimesh(mesh.vertices, faces)
        shell.merge_vertices()
        shell.remove_unreferenced_vertices()
        solids.append(
            manifold3d.Manifold(
                manifold3d.Mesh(np.asarray(shell.vertices, np.float32), np.asarray(shell.faces, np.uint32))
            )
        )
    both = solids[0] + solids[1]
    return f'    ("tests/assets/{name}.stl", {number(both.volume())}, {number(both.surface_area())}),'


print(f"""//! Values of meshes in this project by general-purpose libraries, printed by `tests/peers/mesh_values.py`.
//!
//! Counts, sums and bounds: trimesh {version("trimesh")} (numpy {version("numpy")}). Unions: manifold3d {version("manifold3d")}.

/// What the library says of one file, welded; lengths in the file's own unit.
pub struct Reference {{
    pub path: &'static str,
    pub triangles: usize,
    pub vertices: usize,
    pub volume_mm3: f64,
    pub area_mm2: f64,
    pub centroid_mm: [f64; 3],
    pub low_mm: [f64; 3],
    pub high_mm: [f64; 3],
    pub bodies: u32,
    /// Vertices − edges + triangles.
    pub euler: i64,
    /// Every edge shared by two triangles that run along it in opposite directions.
    pub closed: bool,
}}

/// Meshes without open or crowded edges.
pub const MESHES: &[Reference] = &[""")
print("\n".join(row(path) for path in CLOSED))
print("""];

/// File, volume and surface of the union of its two bodies.
pub const UNITED: &[(&str, f64, f64)] = &[""")
print("\n".join(united(name) for name in UNITED))
print("];")
