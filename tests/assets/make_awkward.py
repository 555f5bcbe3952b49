"""Writes the small awkward meshes of this folder and prints what is known of each.

Run: python make_awkward.py [FOLDER]     (needs numpy and manifold3d; versions that were used: see README.md)

The faults are put in on purpose, triangle by triangle, so nothing here repairs anything.
"""

import math
import struct
import sys
from pathlib import Path

import numpy as np
from manifold3d import CrossSection, Manifold

BOX_CORNERS = np.array([(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)], float)
BOX_FACES = {
    "floor": [(0, 2, 1), (1, 2, 3)],
    "top": [(4, 5, 6), (5, 7, 6)],
    "front": [(0, 1, 4), (1, 5, 4)],
    "back": [(2, 6, 3), (3, 6, 7)],
    "left": [(0, 4, 2), (2, 4, 6)],
    "right": [(1, 3, 5), (3, 7, 5)],
}


def box(low, size, without=()):
    """Triangles of a box with walls of two triangles, as an array n x 3 x 3."""
    corners = np.asarray(low, float) + BOX_CORNERS * np.asarray(size, float)
    return np.array([corners[list(t)] for name, faces in BOX_FACES.items() if name not in without for t in faces])


def flipped(triangles):
    return triangles[:, ::-1, :]


def of_manifold(solid):
    mesh = solid.to_mesh()
    return np.asarray(mesh.vert_properties[:, :3], float)[np.asarray(mesh.tri_verts)]


def plate_with_hole():
    """Plate 40 x 30 x 5 with a hole of 24 sides, radius 5, in the middle of (25, 15)."""
    ring = [(25 + 5 * math.cos(2 * math.pi * i / 24), 15 + 5 * math.sin(2 * math.pi * i / 24)) for i in range(24)]
    plate = CrossSection.square((40, 30)) - CrossSection([ring])
    return of_manifold(Manifold.extrude(plate, 5))


def tied_towers():
    """Plate 40 x 20 x 4 with two towers 8 x 8, both level at Z = 14."""
    towers = Manifold.cube((8, 8, 12)).translate((4, 6, 2)) + Manifold.cube((8, 8, 12)).translate((28, 6, 2))
    return of_manifold(Manifold.cube((40, 20, 4)) + towers)


def moebius(segments=24, radius=20.0, width=6.0):
    """Strip with half a twist: no consistent winding exists, one open edge loop."""
    def across(i, side):
        a = 2 * math.pi * (i % segments) / segments
        # After one turn the sides change places.
        s = side if i < segments else -side
        r = radius + s * width / 2 * math.cos(a / 2)
        return (r * math.cos(a), r * math.sin(a), s * width / 2 * math.sin(a / 2))

    out = []
    for i in range(segments):
        a, b, c, d = across(i, -1), across(i, 1), across(i + 1, -1), across(i + 1, 1)
        out += [(a, c, b), (b, c, d)]
    return np.array(out)


def split_edge_box():
    """Cube of 10 whose front lower edge carries a vertex on one side only, closed by a triangle of no area."""
    cube = box((0, 0, 0), (10, 10, 10))
    a, b, middle = (0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (5.0, 0.0, 0.0)
    out = []
    for t in cube:
        corners = [tuple(p) for p in t]
        if corners == [a, b, (0.0, 0.0, 10.0)]:
            out += [(a, middle, corners[2]), (middle, b, corners[2])]
        else:
            out.append(tuple(corners))
    out.append((a, b, middle))
    return np.array(out)


CUBE = box((0, 0, 0), (10, 10, 10))
MESHES = {
    "overlapping_bodies": np.concatenate([box((0, 0, 0), (20, 10, 10)), box((15, 2, 2), (20, 6, 6))]),
    "touching_face": np.concatenate([CUBE, box((10, 0, 0), (10, 10, 10))]),
    "touching_edge": np.concatenate([CUBE, box((10, 10, 0), (10, 10, 10))]),
    "touching_vertex": np.concatenate([CUBE, box((10, 10, 10), (10, 10, 10))]),
    "open_box": box((0, 0, 0), (30, 20, 10), without=("top",)),
    "flipped_body": np.concatenate([CUBE, flipped(box((20, 0, 0), (10, 10, 10)))]),
    "inner_void": np.concatenate([box((0, 0, 0), (20, 20, 20)), flipped(box((5, 5, 5), (10, 10, 10)))]),
    "plate_with_hole": plate_with_hole(),
    "tied_towers": tied_towers(),
    "moebius": moebius(),
    "finned_cube": np.concatenate([CUBE, [[(10, 0, 0), (20, 0, 0), (10, 10, 0)]]]),
    "mixed_winding": np.concatenate([CUBE[:-1], flipped(CUBE[-1:])]),
    "split_edge_box": split_edge_box(),
    "duplicated_part": np.concatenate([CUBE, CUBE]),
    "inch_plate": plate_with_hole() / 25.4,
}
FAR_OFFSET = np.array([100_000.0, -100_000.0, 100_000.0])


def write_binary(path, triangles):
    with open(path, "wb") as out:
        out.write(b"Mouldbench awkward mesh".ljust(80, b" "))
        out.write(struct.pack("<I", len(triangles)))
        for t in triangles:
            normal = np.cross(t[1] - t[0], t[2] - t[0])
            length = np.linalg.norm(normal)
            normal = normal / length if length > 0 else normal
            out.write(struct.pack("<12fH", *normal, *t.reshape(-1), 0))


def write_text(path, triangles, name):
    with open(path, "w") as out:
        out.write(f"solid {name}\n")
        for t in triangles:
            out.write("  facet normal 0 0 0\n    outer loop\n")
            for p in t:
                out.write("      vertex {:.9f} {:.9f} {:.9f}\n".format(*p))
            out.write("    endloop\n  endfacet\n")
        out.write(f"endsolid {name}\n")


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    for name, triangles in MESHES.items():
        write_binary(folder / f"{name}.stl", triangles)
        a, b, c = (triangles[:, i] for i in range(3))
        volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6
        area = np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2
        print(f"{name}: {len(triangles)} triangles, signed volume {volume:.6f}, area {area:.6f}")
    write_text(folder / "far_plate.stl", MESHES["plate_with_hole"] + FAR_OFFSET, "far_plate")


if __name__ == "__main__":
    main()
