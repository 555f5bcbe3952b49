#!/usr/bin/env python3
"""Reads the drawing page of a setup sheet back with a second reader (mutool of Debian's mupdf-tools) and compares what is
painted there with the check of the same plan and with the mesh:

- the scale is the one that is printed, by the size of the box in all three views;
- each gate, vent and insert has in each view a leader from its place to a balloon with its number;
- each of their distances from wall and floor is printed, and its line starts at that place;
- the outline of the part reaches as far as the mesh does.

usage: read_back.py SHEET.pdf CHECK.json MESH.stl
"""
import json
import re
import struct
import subprocess
import sys
import xml.etree.ElementTree as xml

MM = 25.4 / 72
NEAR = 0.15


def trace(pdf, page):
    out = subprocess.run(["mutool", "trace", pdf, str(page)], capture_output=True, check=True).stdout
    text = out.decode("utf-8", "replace")
    return xml.fromstring(re.sub(r"&#x0?[0-8bcefBCEF];|[\x00-\x08\x0b\x0c\x0e-\x1f]", "", text))


def transformed(matrix, x, y):
    a, b, c, d, e, f = matrix
    return ((a * x + c * y + e) * MM, (b * x + d * y + f) * MM)


def painted(root):
    """Texts as (words, x, y) of their start and end; strokes as (width in mm, chain of points), on the page in mm from the top left."""
    texts, strokes = [], []
    for node in root.iter():
        matrix = [float(v) for v in node.get("transform", "1 0 0 1 0 0").split()]
        if node.tag == "fill_text":
            for span in node.iter("span"):
                letters = list(span.iter("g"))
                if letters:
                    words = "".join(g.get("unicode", "") for g in letters)
                    size = float(span.get("trm").split()[0])
                    first, last = letters[0], letters[-1]
                    x0 = float(first.get("x"))
                    x1 = float(last.get("x")) + float(last.get("adv")) * size
                    y = float(first.get("y"))
                    turn = [1, 0, 0, 1, matrix[4], matrix[5]]
                    dx, dy = matrix[0] / 2.8346458, matrix[1] / 2.8346458
                    start = transformed(turn, x0, y)
                    end = (start[0] + (x1 - x0) * MM * dx, start[1] + (x1 - x0) * MM * dy)
                    texts.append((words, start, end))
        elif node.tag == "stroke_path":
            width = float(node.get("linewidth")) * abs(matrix[0]) * MM
            chain = []
            for step in node:
                if step.tag == "moveto":
                    if len(chain) > 1:
                        strokes.append((width, chain))
                    chain = []
                if step.tag in ("moveto", "lineto"):
                    chain.append(transformed(matrix, float(step.get("x")), float(step.get("y"))))
                if step.tag == "curveto":
                    chain.append(transformed(matrix, float(step.get("x3")), float(step.get("y3"))))
            if len(chain) > 1:
                strokes.append((width, chain))
    return texts, strokes


def distance(p, q):
    return ((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) ** 0.5


def mesh_points(path):
    data = open(path, "rb").read()
    count = struct.unpack("<I", data[80:84])[0]
    points = set()
    for i in range(count):
        v = struct.unpack_from("<12f", data, 84 + 50 * i)
        points.update((v[3:6], v[6:9], v[9:12]))
    return points


def main():
    pdf, report, mesh = sys.argv[1], json.load(open(sys.argv[2])), sys.argv[3]
    faults = []
    page, texts, strokes = 0, [], []
    while True:
        page += 1
        texts, strokes = painted(trace(pdf, page))
        words = [t[0] for t in texts]
        if "From the front" in words and any(w.startswith("Scale ") for w in words):
            break
        if page > 40:
            sys.exit(f"{pdf}: no page with the views")
    paper, truth = re.match(r"Scale (\d+):(\d+)", next(w for w in words if w.startswith("Scale "))).groups()
    scale = int(paper) / int(truth)
    block = report["block"]["size_mm"]

    # The box of each view: its widest unbroken lines of 0.35 mm stand below the view's name.
    views = {}
    for name, across, up in (("From above", 0, 1), ("From the front", 0, 2), ("From the right", 1, 2)):
        title = next(t for t in texts if t[0] == name)
        wide, tall = block[across] * scale, block[up] * scale
        flat = [
            c
            for w, c in strokes
            if abs(w - 0.35) < 0.02
            and len(c) == 2
            and abs(c[0][1] - c[1][1]) < 0.01
            and abs(abs(c[0][0] - c[1][0]) - wide) < NEAR
            and min(c[0][0], c[1][0]) > title[1][0] - 1
            and min(c[0][0], c[1][0]) < title[1][0] + 40
        ]
        below = sorted((c[0][1], min(c[0][0], c[1][0])) for c in flat if c[0][1] > title[1][1])
        pair = next(((a, b) for a in below for b in below if abs(b[0] - a[0] - tall) < NEAR), None)
        if pair is None:
            faults.append(f"{name}: no box of {wide:.1f} × {tall:.1f} mm")
            continue
        views[name] = (pair[0][1], pair[1][0], across, up)

    def place(view, at):
        left, floor, across, up = views[view]
        base = [block[0] / 2, block[1] / 2, 0.0]
        return (left + (at[across] + base[across]) * scale, floor - (at[up] + base[up]) * scale)

    things = [("gate", i + 1, at) for i, at in enumerate(report["feed"]["gates_mm"])]
    things += [("vent", v["number"], v["position_mm"]) for v in report["vents"]]
    things += [("insert", i["number"], i["position_mm"]) for i in report["inserts"]]
    leaders = [c for w, c in strokes if len(c) == 2 and abs(w - 0.18) < 0.02]
    for view in views:
        free = list(leaders)
        for kind, number, at in things:
            foot = place(view, at)

            def fits(chain):
                for one, other in (chain, chain[::-1]):
                    middle = lambda t: ((t[1][0] + t[2][0]) / 2, (t[1][1] + t[2][1]) / 2)
                    named = any(t[0] == str(number) and distance(middle(t), other) < 2.0 for t in texts)
                    if distance(one, foot) < NEAR and named:
                        return True
                return False

            found = next((c for c in free if fits(c)), None)
            if found is None:
                faults.append(f"{view}: no leader from {kind} {number} at {foot[0]:.2f}, {foot[1]:.2f} mm to its number")
            else:
                free.remove(found)
    # Running dimensions: beside the view from above and the front view, and below the former.
    for view, axis in (("From above", 0), ("From above", 1), ("From the front", 2)):
        if view not in views:
            continue
        left, floor, across, up = views[view]
        for kind, number, at in things:
            value = at[axis] + (0.0 if axis == 2 else block[axis] / 2)
            if not any(t[0] == f"{value:.1f}" for t in texts):
                faults.append(f"{view}: {value:.1f} of {kind} {number} is not printed")
            x, y = place(view, at)
            along = lambda p: abs(p[0] - x) if axis == 0 else abs(p[1] - y)
            beyond = lambda p: p[1] > floor - 0.1 if axis == 0 else p[0] > left + block[across] * scale - 0.1
            starts = [c for w, c in strokes if abs(w - 0.25) < 0.1 and any(along(p) < NEAR and beyond(p) for p in c)]
            if not starts:
                faults.append(f"{view}: no line at {value:.1f} of {kind} {number}")
    # The outline reaches as far as the mesh.
    turn = report["frame"]["box_from_part"]
    r, t = turn["rotation"], turn["translation_mm"]
    points = [[sum(r[i][k] * p[k] for k in range(3)) + t[i] for i in range(3)] for p in mesh_points(mesh)]
    for view, (left, floor, across, up) in views.items():
        box = place(view, [-block[0] / 2, -block[1] / 2, 0.0]), place(view, [block[0] / 2, block[1] / 2, block[2]])
        inside = lambda p: box[0][0] < p[0] < box[1][0] and box[1][1] < p[1] < box[0][1]
        outline = [p for w, c in strokes if abs(w - 0.5) < 0.02 for p in c if inside(p)]
        wanted = [place(view, p) for p in points]
        for axis, pick in ((0, min), (0, max), (1, min), (1, max)):
            drawn, real = pick(p[axis] for p in outline), pick(p[axis] for p in wanted)
            if abs(drawn - real) > NEAR:
                faults.append(f"{view}: the outline ends at {drawn:.2f} mm of the page, the mesh at {real:.2f} mm")
    if faults:
        sys.exit(f"{pdf}, page {page}:\n  " + "\n  ".join(faults))
    print(f"page {page} read back: scale {paper}:{truth}, {len(things)} things in {len(views)} views")


main()
