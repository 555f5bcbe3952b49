"""Writes the reference tables of tests/solve from general-purpose libraries.

Run from the project's root: python tests/peers/solve_values.py
writes tests/solve/reference_max_flow.rs, reference_persistence.rs and reference_distance.rs. Takes about a minute.
"""

from importlib.metadata import version
from pathlib import Path

import gudhi
import igraph
import numpy as np
import scipy.sparse as sparse
import skfmm
import trimesh
from scipy import ndimage
from scipy.sparse.csgraph import maximum_flow

from fields import Sequence, voxels

ROOT = Path(__file__).resolve().parents[2]
OUT = ROOT / "tests/solve"


def max_flow_row(seed, nodes, edges, most):
    """Random network: `edges` edges with both capacities below `most`, then two terminal capacities a node."""
    numbers = Sequence(seed)
    arcs = []
    for _ in range(edges):
        a, b = numbers.below(nodes), numbers.below(nodes)
        forth, back = numbers.below(most), numbers.below(most)
        if a != b:
            arcs += [(a, b, forth), (b, a, back)]
    source, sink = nodes, nodes + 1
    for n in range(nodes):
        arcs += [(source, n, numbers.below(most)), (n, sink, numbers.below(most))]
    a, b, c = (np.array(x) for x in zip(*arcs))
    by_scipy = maximum_flow(sparse.csr_array((c.astype(np.int32), (a, b)), shape=(nodes + 2,) * 2), source, sink).flow_value
    graph = igraph.Graph(n=nodes + 2, edges=list(zip(a, b)), directed=True)
    by_igraph = graph.maxflow_value(source, sink, capacity=c.tolist())
    if by_scipy != by_igraph:
        raise SystemExit(f"libraries disagree: {by_scipy} and {by_igraph}")
    return f"    ({seed}, {nodes}, {edges}, {most}, {by_scipy}),"


def write_max_flow():
    rows = [
        max_flow_row(*case)
        for case in [(1, 2, 3, 10), (2, 12, 20, 5), (3, 60, 200, 100), (4, 60, 200, 2), (5, 400, 900, 1000), (6, 400, 3000, 50), (7, 3000, 9000, 10000), (8, 3000, 20000, 7)]
    ]
    (OUT / "reference_max_flow.rs").write_text(
        f"""//! Maximum flow of random networks, printed by `tests/peers/solve_values.py`: scipy {version("scipy")}
//! (`csgraph.maximum_flow`) and igraph {version("igraph")} (`maxflow_value`) agree on every one.

/// Seed, nodes, edges, bound of the capacities, greatest flow.
pub const FLOWS: &[(u64, usize, usize, u64, i128)] = &[
"""
        + "\n".join(rows)
        + "\n];\n"
    )


def superlevel_pairs(heights, inside):
    """(summit, join) of each component of the superlevel sets, elder rule; joins of -inf are left as None."""
    field = np.where(inside, -heights, np.inf)
    cubes = gudhi.CubicalComplex(vertices=field)
    cubes.compute_persistence(homology_coeff_field=2, min_persistence=0)
    pairs = cubes.persistence_intervals_in_dimension(0)
    pairs = [(-b, None if np.isinf(d) else -d) for b, d in pairs if np.isfinite(b)]
    return sorted(pairs, key=lambda p: (-p[0], np.inf if p[1] is None else -p[1]))


def grid_row(seed, shape, levels, outside_in_ten):
    numbers = Sequence(seed)
    heights = np.zeros(shape)
    inside = np.zeros(shape, bool)
    for at in np.ndindex(*shape):
        inside[at] = numbers.below(10) >= outside_in_ten
        heights[at] = numbers.below(levels)
    pairs = superlevel_pairs(heights, inside)
    text = ", ".join(f"({int(b)}, {'None' if d is None else f'Some({int(d)})'})" for b, d in pairs)
    return f"    ({seed}, {list(shape)}, {levels}, {outside_in_ten}, &[{text}]),"


def turned(up):
    """Rotation that brings `up` to +Z."""
    return trimesh.geometry.align_vectors(up, (0, 0, 1))


def part_row(path, up, cell, least):
    mesh = trimesh.load_mesh(ROOT / path)
    up = np.asarray(up, float) / np.linalg.norm(up)
    mesh.apply_transform(turned(up))
    inside, low = voxels(mesh, cell)
    # Crumbs: single cells in the tip of a corner that hang on nothing.
    pieces, count = ndimage.label(inside)
    inside = pieces == 1 + np.argmax(np.bincount(pieces.ravel())[1:])
    z = low[2] + cell * np.arange(inside.shape[2])
    pairs = superlevel_pairs(np.broadcast_to(z, inside.shape), inside)
    pairs = [(b, d) for b, d in pairs if d is None or b - d >= least]
    text = ", ".join(f"({b:.3f}, {'None' if d is None else f'Some({d:.3f})'})" for b, d in pairs)
    print(path, up, len(pairs), "pairs")
    return f'    ("{path}", [{", ".join(repr(round(float(x), 9)) for x in up)}], &[{text}]),'


def write_persistence():
    grids = [grid_row(*case) for case in [(11, (6, 5, 4), 1000, 0), (12, (6, 5, 4), 6, 0), (13, (7, 7, 3), 40, 3), (14, (9, 8, 1), 4, 2), (15, (40, 1, 1), 12, 1)]]
    cell, least = 0.5, 1.0
    parts = [
        part_row(path, up, cell, least)
        for path in ("assets/demo/handle.stl", "assets/demo/cap.stl", "assets/demo/grip.stl")
        for up in [(0.95, 0.1, 0.3), (0.13, 0.21, -0.97), (0.3, -0.2, 0.93)]
    ]
    (OUT / "reference_persistence.rs").write_text(
        f"""//! Components of superlevel sets by cubical persistence, printed by `tests/peers/solve_values.py`: gudhi
//! {version("gudhi")} (`CubicalComplex`, six neighbours a cell).

/// Where a component starts, and where an older one joins it; `None` for the oldest of a body.
pub type Pair = (f64, Option<f64>);

/// As [`Pair`], in whole levels.
pub type LevelPair = (u64, Option<u64>);

/// Seed, cells a side, levels, cells outside in ten, pairs. Random heights on a grid of cells.
pub const GRIDS: &[(u64, [usize; 3], u64, u64, &[LevelPair])] = &[
"""
        + "\n".join(grids)
        + f"""
];

/// Cells' edge of [`PARTS`], millimetres. Heights are those of cell centres: off by up to half an edge across.
pub const CELL_MM: f64 = {cell};

/// Pairs of [`PARTS`] that differ by less are left out, millimetres.
pub const LEAST_MM: f64 = {least};

/// File, up, pairs in millimetres along up from the file's origin.
pub const PARTS: &[(&str, [f64; 3], &[Pair])] = &[
"""
        + "\n".join(parts)
        + "\n];\n"
    )


def write_distance():
    """Distance inside the handle from the middle of its end wall over the cable, second order."""
    mesh = trimesh.load_mesh(ROOT / "assets/demo/handle.stl")
    source = np.array([-58.5, 0.0, 8.0])
    targets = {
        "front wall": (-35.0, 0.5, 16.4),
        "tip of a screw boss": (-43.0, 10.8, 1.0),
        "tip of a bush boss": (-24.0, -8.5, 4.0),
        "side wall": (10.0, 18.0, 6.0),
        "between button and window": (6.0, 0.0, 17.0),
        "tip of a clip": (-6.0, 15.2, -3.6),
        "tip of a far boss": (42.0, -14.7, 1.0),
        "end wall over the stem": (58.8, 0.0, 10.0),
    }
    found = {name: [] for name in targets}
    cells = (0.4, 0.3)
    for cell in cells:
        inside, low = voxels(mesh, cell)
        centres = np.stack(np.meshgrid(*[low[k] + cell * np.arange(inside.shape[k]) for k in range(3)], indexing="ij"), axis=-1)
        radius = 0.9
        level = np.linalg.norm(centres - source, axis=-1) - radius
        # Only the ball inside the end wall counts as source; the mask keeps the front in the solid.
        distance = skfmm.distance(np.ma.MaskedArray(level, ~inside), dx=cell, order=2) + radius
        for name, at in targets.items():
            index = np.rint((np.array(at) - low) / cell).astype(int)
            if not inside[tuple(index)]:
                raise SystemExit(f"{name} is not inside")
            # To the asked point: the cell's centre is up to half a diagonal away, so the mean of those round it.
            near = [index + d for d in np.ndindex(3, 3, 3)]
            values = [(distance[tuple(i - 1)], low + (i - 1) * cell) for i in near if inside[tuple(i - 1)]]
            # Fit of a plane: value at the point itself.
            a = np.array([[1.0, *(p - np.array(at))] for _, p in values])
            fit, *_ = np.linalg.lstsq(a, np.array([float(v) for v, _ in values]), rcond=None)
            found[name].append(float(fit[0]))
    print(found)
    rows = [f'    ("{n}", [{", ".join(map(repr, at))}], {found[n][1]:.3f}),' for n, at in targets.items()]
    worst = max(abs(a / b - 1) for a, b in found.values())
    (OUT / "reference_distance.rs").write_text(
        f"""//! Distances inside the demo handle by fast marching, printed by `tests/peers/solve_values.py`: scikit-fmm
//! {version("scikit-fmm")}, second order, on cells of {cells[1]} mm. Cells of {cells[0]} mm differ from these by {100 * worst:.1f} % at most.

/// Source of every distance, millimetres.
pub const SOURCE_MM: [f32; 3] = [{", ".join(map(repr, map(float, source)))}];

/// Place in words, point, distance from the source through the solid, millimetres.
pub const DISTANCES: &[(&str, [f32; 3], f64)] = &[
"""
        + "\n".join(rows)
        + "\n];\n"
    )


if __name__ == "__main__":
    write_max_flow()
    write_distance()
    write_persistence()
