"""The same work in general-purpose libraries and in this project, values and seconds side by side.

Run from the project's root, after `cargo build --release`: python tests/peers/compare.py [MESH]
A side that cannot run says so; times of ours without a command of their own come from `cargo bench`.
"""

import json
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

import gudhi
import igraph
import manifold3d
import numpy as np
import scipy.sparse as sparse
import skfmm
import trimesh
from scipy.sparse.csgraph import maximum_flow

from fields import voxels

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "target/release/mouldbench"


def timed(work, times=3):
    best, result = np.inf, None
    for _ in range(times):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    return best, result


def line(topic, who, seconds, words):
    print(f"{topic:<34} {who:<28} {seconds:9.4f} s  {words}")


def ours_inspect(path):
    if not PROGRAM.exists():
        print("ours: no release program; run cargo build --release")
        return
    start = time.perf_counter()
    done = subprocess.run([PROGRAM, "inspect", path, "--json"], capture_output=True, text=True)
    seconds = time.perf_counter() - start
    try:
        part = json.loads(done.stdout)
        part = part.get("part", part)
        words = ", ".join(f"{k} {part[k]}" for k in ("triangles", "vertices", "volume_mm3", "area_mm2", "bodies", "watertight") if k in part)
    except (json.JSONDecodeError, AttributeError):
        words = f"no JSON (exit {done.returncode}): {done.stderr.strip()[:120]}"
    line("read, weld, measure", "ours (whole process)", seconds, words)


def ours_bench():
    done = subprocess.run(["cargo", "bench", "--quiet"], cwd=ROOT, capture_output=True, text=True)
    print("\nours, cargo bench:")
    print(done.stdout.strip() or f"nothing printed (exit {done.returncode})")


def main():
    path = sys.argv[1] if len(sys.argv) > 1 else str(ROOT / "assets/demo/handle.stl")
    print(path)

    def measure():
        mesh = trimesh.load_mesh(path)
        return mesh, mesh.is_watertight, mesh.volume, mesh.area, mesh.body_count

    seconds, (mesh, closed, volume, area, bodies) = timed(measure)
    line("read, weld, measure", f"trimesh {version('trimesh')}", seconds, f"triangles {len(mesh.faces)}, vertices {len(mesh.vertices)}, volume_mm3 {volume:.3f}, area_mm2 {area:.3f}, bodies {bodies}, watertight {closed}")
    ours_inspect(path)

    numbers = np.random.default_rng(1)
    count = 1_000_000
    origins = numbers.uniform(mesh.bounds[0], mesh.bounds[1], (count, 3))
    along = numbers.normal(size=(count, 3))
    along /= np.linalg.norm(along, axis=1)[:, None]
    mesh.ray.intersects_first(origins[:1], along[:1])
    seconds, hits = timed(lambda: mesh.ray.intersects_first(origins, along))
    line("1M random rays", f"embreex {version('embreex')}", seconds, f"{(hits >= 0).mean():.4f} of them hit")

    cell = float(max(mesh.extents)) / 256
    seconds, (inside, low) = timed(lambda: voxels(mesh, cell), 1)
    line("fill a grid, 256 along", f"numpy {version('numpy')}", seconds, f"volume {inside.sum() * cell**3:.1f} mm3")

    seed = np.argwhere(inside)[0]
    level = np.full(inside.shape, 1.0)
    level[tuple(seed)] = -1.0
    seconds, distance = timed(lambda: skfmm.distance(np.ma.MaskedArray(level, ~inside), dx=cell, order=2), 1)
    line("distance in the solid, 2nd order", f"scikit-fmm {version('scikit-fmm')}", seconds, f"longest {distance.max():.2f} mm")

    def components():
        z = np.broadcast_to(np.arange(inside.shape[2]) * cell, inside.shape)
        cubes = gudhi.CubicalComplex(vertices=np.where(inside, -z, np.inf))
        cubes.compute_persistence(homology_coeff_field=2, min_persistence=1.0)
        return cubes.persistence_intervals_in_dimension(0)

    seconds, pairs = timed(components, 1)
    line("components of superlevel sets", f"gudhi {version('gudhi')}", seconds, f"{len(pairs)} that last 1 mm, +Z up")

    # The labelling of a parting: area against length on the dual graph, facing as a stand-in for visibility.
    pairs, normals = mesh.face_adjacency, mesh.face_normals[:, 2]
    lengths = np.linalg.norm(np.diff(mesh.vertices[mesh.face_adjacency_edges], axis=1)[:, 0], axis=1)
    scale = 1000.0
    up = np.rint(2 * scale * mesh.area_faces * np.maximum(-normals, 0)).astype(np.int32)
    down = np.rint(2 * scale * mesh.area_faces * np.maximum(normals, 0)).astype(np.int32)
    smooth = np.rint(scale * lengths).astype(np.int32)
    n = len(mesh.faces)
    rows = np.concatenate([pairs[:, 0], pairs[:, 1], np.full(n, n), np.arange(n)])
    columns = np.concatenate([pairs[:, 1], pairs[:, 0], np.arange(n), np.full(n, n + 1)])
    capacity = np.concatenate([smooth, smooth, down, up])
    network = sparse.csr_array((capacity, (rows, columns)), shape=(n + 2, n + 2))
    seconds, flow = timed(lambda: maximum_flow(network, n, n + 1).flow_value, 1)
    line("min cut on triangles", f"scipy {version('scipy')}", seconds, f"flow {flow}")
    graph = igraph.Graph(n=n + 2, edges=np.stack([rows, columns], 1).tolist(), directed=True)
    seconds, value = timed(lambda: graph.maxflow_value(n, n + 1, capacity=capacity.tolist()), 1)
    line("min cut on triangles", f"igraph {version('igraph')}", seconds, f"flow {value:.0f}")

    solid = manifold3d.Manifold(manifold3d.Mesh(np.asarray(mesh.vertices, np.float32), np.asarray(mesh.faces, np.uint32)))
    rod = manifold3d.Manifold.cylinder(float(mesh.extents[2]) + 10, 3.0, 3.0, 48).translate(tuple(map(float, mesh.bounds.mean(axis=0))))
    seconds, volume = timed(lambda: (solid + rod).volume())
    line("union with a rod", f"manifold3d {version('manifold3d')}", seconds, f"volume {volume:.3f} mm3")
    ours_bench()


if __name__ == "__main__":
    main()
