"""The same work in general-purpose libraries and in this project, values and seconds side by side.

Run from the project's root: python tests/peers/compare.py [MESH]
Ours comes from `cargo bench --bench bench -- peers`, which also writes what both sides must work on to do the very same:
the rays, the cells of the distance and of the components, and the graph of the parting.
"""

import os
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

import gudhi
import igraph
import manifold3d
import numpy as np
import pyamg
import scipy.sparse as sparse
import skfmm
import trimesh
from scipy.sparse.csgraph import maximum_flow

from fields import voxels

ROOT = Path(__file__).resolve().parents[2]
SHARED = ROOT / "target/peers"


def timed(work, times=3):
    best, result = np.inf, None
    for _ in range(times):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    return best, result


def line(topic, who, seconds, words):
    print(f"{topic:<34} {who:<28} {seconds:9.4f} s  {words}", flush=True)


def ours(path):
    """Seconds and values by topic."""
    command = ["cargo", "bench", "--quiet", "--bench", "bench", "--", "peers"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, env={**os.environ, "PEERS_MESH": str(Path(path).resolve())})
    if done.returncode != 0:
        raise SystemExit(f"our side did not run (exit {done.returncode}):\n{done.stderr[-2000:]}")
    rows = [row.split("\t") for row in done.stdout.splitlines() if row.count("\t") == 2]
    return {topic: (float(seconds), words) for topic, seconds, words in rows}


def shared_cells():
    """The cells that our side marched through, as a grid, their edge, and the cell that it started from."""
    places = np.fromfile(SHARED / "cells.bin", "<u2").reshape(-1, 3).astype(int)
    inside = np.zeros(places.max(axis=0) + 2, bool)
    inside[tuple(places.T)] = True
    return inside, float((SHARED / "cells.txt").read_text()), places[0]


def shared_pressure():
    """The links between cells as a matrix, held at the first hundred cells and a very little everywhere, and what flows in."""
    to = np.fromfile(SHARED / "neighbours.bin", "<u4").reshape(-1, 6).astype(np.int64)
    weight = np.fromfile(SHARED / "links.bin", "<f4").reshape(-1, 6).astype(float)
    n = len(to)
    rows = np.repeat(np.arange(n), 6)[to.ravel() < n]
    columns, values = to.ravel()[to.ravel() < n], weight.ravel()[to.ravel() < n]
    own = weight.sum(axis=1) + np.where(np.arange(n) < 100, 1.0, np.float32(1e-6))
    return sparse.csr_matrix((np.concatenate([-values, own]), (np.concatenate([rows, np.arange(n)]), np.concatenate([columns, np.arange(n)])))), np.full(n, 1e-3)


def shared_graph():
    """Nodes, and the arcs of the parting's graph as rows, columns and capacities; source and sink come last."""
    with open(SHARED / "cut.txt") as file:
        nodes, edges = map(int, file.readline().split())
        terminal = np.loadtxt(file, dtype=np.int64, max_rows=nodes)
        a, b, forth, back = np.loadtxt(file, dtype=np.int64, max_rows=edges).T
    every = np.arange(nodes)
    rows = np.concatenate([a, b, np.full(nodes, nodes), every])
    columns = np.concatenate([b, a, every, np.full(nodes, nodes + 1)])
    capacity = np.concatenate([forth, back, np.maximum(terminal, 0), np.maximum(-terminal, 0)])
    used = capacity > 0
    return nodes, rows[used], columns[used], capacity[used]


def main():
    path = sys.argv[1] if len(sys.argv) > 1 else str(ROOT / "assets/demo/handle.stl")
    print(path)
    found = ours(path)

    def beside(topic, name):
        line(name, "ours", *found[topic])

    def measure():
        mesh = trimesh.load_mesh(path)
        return mesh, mesh.is_watertight, mesh.volume, mesh.area, mesh.body_count

    name = "read, weld, measure"
    seconds, (mesh, closed, volume, area, bodies) = timed(measure)
    line(name, f"trimesh {version('trimesh')}", seconds, f"triangles {len(mesh.faces)}, vertices {len(mesh.vertices)}, volume_mm3 {volume:.3f}, area_mm2 {area:.3f}, bodies {bodies}, watertight {closed}")
    beside("read", name)

    name = "1M random rays"
    rays = np.fromfile(SHARED / "rays.bin", "<f4").reshape(-1, 2, 3).astype(float)
    origins, along = rays[:, 0].copy(), rays[:, 1].copy()
    mesh.ray.intersects_first(origins[:1], along[:1])
    seconds, hits = timed(lambda: mesh.ray.intersects_first(origins, along))
    line(name, f"embreex {version('embreex')}", seconds, f"{(hits >= 0).mean():.4f} of them hit")
    beside("rays", name)

    name = "fill a grid, 256 along"
    cell = float(max(mesh.extents)) / 256
    seconds, (filled, _) = timed(lambda: voxels(mesh, cell), 1)
    line(name, f"numpy {version('numpy')}", seconds, f"{filled.sum()} cells, volume {filled.sum() * cell**3:.1f} mm3")
    beside("fill", name)

    name = "distance on the same cells"
    inside, cell, seed = shared_cells()
    level = np.full(inside.shape, 1.0)
    level[tuple(seed)] = -1.0
    seconds, distance = timed(lambda: skfmm.distance(np.ma.MaskedArray(level, ~inside), dx=cell, order=2), 9)
    line(name, f"scikit-fmm {version('scikit-fmm')}", seconds, f"longest {distance.max():.2f} mm")
    beside("distance", name)

    name = "one pressure on the same cells"
    system, right = shared_pressure()

    def pressure():
        solver = pyamg.smoothed_aggregation_solver(system)
        history = []
        x = solver.solve(right, tol=1e-8, accel="cg", maxiter=300, residuals=history)
        return x.max(), len(history) - 1

    seconds, (highest, steps) = timed(pressure)
    line(name, f"pyamg {version('pyamg')}", seconds, f"{steps} steps, highest {highest:.3f}")
    beside("pressure", name)

    name = "components of superlevel sets"

    def components():
        z = np.broadcast_to(np.arange(inside.shape[2]) * cell, inside.shape)
        cubes = gudhi.CubicalComplex(vertices=np.where(inside, -z, np.inf))
        cubes.compute_persistence(homology_coeff_field=2, min_persistence=1.0)
        births = cubes.persistence_intervals_in_dimension(0)[:, 0]
        return births[np.isfinite(births)]

    seconds, pairs = timed(components, 1)
    line(name, f"gudhi {version('gudhi')}", seconds, f"{len(pairs)} that last 1 mm, +Z up, on cells")
    beside("components", name)

    name = "minimum cut of the parting's graph"
    n, rows, columns, capacity = shared_graph()
    if capacity.max() < 2**31:
        network = sparse.csr_array((capacity.astype(np.int32), (rows, columns)), shape=(n + 2, n + 2))
        seconds, flow = timed(lambda: maximum_flow(network, n, n + 1).flow_value, 1)
        line(name, f"scipy {version('scipy')}", seconds, f"flow {flow}")
    graph = igraph.Graph(n=n + 2, edges=np.stack([rows, columns], 1).tolist(), directed=True)
    capacities = capacity.tolist()
    seconds, value = timed(lambda: graph.maxflow_value(n, n + 1, capacity=capacities), 1)
    line(name, f"igraph {version('igraph')}", seconds, f"flow {value:.0f}")
    beside("cut", name)

    name = "union with a rod"
    solid = manifold3d.Manifold(manifold3d.Mesh(np.asarray(mesh.vertices, np.float32), np.asarray(mesh.faces, np.uint32)))
    rod = manifold3d.Manifold.cylinder(float(mesh.extents[2]) + 10, 3.0, 3.0, 48).translate(tuple(map(float, mesh.bounds.mean(axis=0))))
    seconds, volume = timed(lambda: (solid + rod).volume())
    line(name, f"manifold3d {version('manifold3d')}", seconds, f"volume {volume:.3f} mm3, meshes already taken over")
    beside("union", name)


if __name__ == "__main__":
    main()
