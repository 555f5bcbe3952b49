"""What the scripts of this folder share: number sequences that Rust repeats, and cells of a closed mesh."""

import numpy as np

MASK = (1 << 64) - 1


class Sequence:
    """Linear congruential numbers with Knuth's MMIX constants; tests/solve/sequence.rs gives the same ones."""

    def __init__(self, seed):
        self.state = seed

    def below(self, n):
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & MASK
        return (self.state >> 33) % n


def voxels(mesh, cell):
    """Cells whose centre lies inside a closed mesh, by parity along Z, and the centre of cell (0, 0, 0).

    The grid is laid off the mesh by an odd share of a cell, so that no centre falls on an edge of round size.
    """
    low = mesh.bounds[0] - cell * np.array([1.37, 1.41, 1.33])
    shape = np.ceil((mesh.bounds[1] - low) / cell).astype(int) + 1
    crossings = np.zeros(shape, np.int32)
    for a, b, c in mesh.triangles:
        x0, y0 = np.floor((np.minimum(np.minimum(a, b), c)[:2] - low[:2]) / cell).astype(int)
        x1, y1 = np.ceil((np.maximum(np.maximum(a, b), c)[:2] - low[:2]) / cell).astype(int)
        x, y = np.meshgrid(np.arange(x0, x1 + 1), np.arange(y0, y1 + 1), indexing="ij")
        px, py = low[0] + x * cell, low[1] + y * cell
        double = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        if double == 0.0:
            continue
        u = ((px - a[0]) * (c[1] - a[1]) - (py - a[1]) * (c[0] - a[0])) / double
        v = ((b[0] - a[0]) * (py - a[1]) - (b[1] - a[1]) * (px - a[0])) / double
        inside = (u >= 0) & (v >= 0) & (u + v < 1)
        if not inside.any():
            continue
        z = a[2] + u[inside] * (b[2] - a[2]) + v[inside] * (c[2] - a[2])
        first = np.ceil((z - low[2]) / cell).astype(int).clip(0, shape[2] - 1)
        np.add.at(crossings, (x[inside], y[inside], first), 1)
    return np.cumsum(crossings, axis=2) % 2 == 1, low
