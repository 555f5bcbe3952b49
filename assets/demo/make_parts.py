"""Makes the three parts of the demo job as solids and writes them as binary STL, in millimetres.

Run: python make_parts.py [FOLDER]     (needs build123d, manifold3d and trimesh; versions that were used: see README.md)

The scenario is invented: a hand-held soil probe that a growers' co-operative uses in its greenhouses.

handle.stl  front half of the hand-held shell. X runs along the hand, the cable end at -X, the probe's stem at +X; the show
            face looks along +Z; the joint with the back half is the plane Z = 0, open towards -Z.
cap.stl     round cap, axis along Z, head up, spigot with its O-ring groove down; the joint under the head is Z = 0.
grip.stl    soft saddle that is pulled over the handle from +Z; same coordinates as the handle.
"""

import math
import sys
from pathlib import Path

import numpy as np
import trimesh
from build123d import (
    Align,
    Axis,
    Box,
    BuildLine,
    BuildPart,
    BuildSketch,
    Cone,
    Cylinder,
    Edge,
    Plane,
    Polyline,
    Pos,
    RectangleRounded,
    Rot,
    Solid,
    Sphere,
    Spline,
    Wire,
    export_stl,
    extrude,
    fillet,
    make_face,
    revolve,
)
from manifold3d import Error, Manifold, Mesh, OpType

DRAFT = math.tan(math.radians(1.0))
WALL = 2.0
RIB = 1.4
CENTRED_BELOW = (Align.CENTER, Align.CENTER, Align.MIN)

# Half outline at the joint, from the cable end to the stem end: palm swell, waist for the fingers, wider display end.
HALF_OUTLINE = [(-60.0, 0.0), (-56.5, 9.0), (-46.0, 16.6), (-30.0, 19.2), (-6.0, 18.2), (14.0, 19.8), (34.0, 21.2), (48.0, 18.6), (57.5, 10.0), (60.0, 0.0)]


def outline_points(inward, count=48):
    """Points of the outline moved inwards by `inward` mm along its normals (a negative number grows it)."""
    mirrored = [(x, -y) for x, y in reversed(HALF_OUTLINE[1:-1])]
    curve = Spline(*[(x, y) for x, y in HALF_OUTLINE + mirrored], periodic=True)
    points = []
    for i in range(count):
        t = i / count
        p, d = curve.position_at(t), curve.tangent_at(t)
        # The outline runs clockwise seen from +Z, so the right hand of its tangent is inside.
        points.append((p.X + d.Y * inward, p.Y - d.X * inward))
    return points


def outline_wire(inward, z):
    """The outline as one periodic curve; equal parameters on every level keep the draft lines of a loft straight."""
    points = [(x, y, z) for x, y in outline_points(inward)]
    parameters = [i / len(points) for i in range(len(points) + 1)]
    return Wire([Edge.make_spline(points, periodic=True, parameters=parameters)])


def pillow(inward, z_low, z_crown=18.0, round_edge=5.0):
    """Drafted body with a crowned, rounded show face; every surface moved inwards by `inward`."""
    z_high = 22.0
    body = Solid.make_loft(
        [outline_wire(inward + z * DRAFT, z) for z in (z_low, z_high)], ruled=True
    )
    crown_radius = 601.5
    drum = Pos(0, 0, z_crown - crown_radius) * Rot(90, 0, 0) * Cylinder(crown_radius - inward, 80)
    slab = Pos(0, 0, z_low - 5) * Box(140, 70, 60, align=CENTRED_BELOW)
    body = body & (drum & slab)
    if isinstance(body, list) or len(body.solids()) != 1:
        raise RuntimeError("pillow is not one solid")
    body = body.solids()[0]
    # The rim where the crown meets the walls is the only edge that is neither low nor a seam.
    rim = [e for e in body.edges() if e.bounding_box().min.Z > 10.0]
    return fillet(rim, round_edge - inward)


def boss(x, y, tip_z, tip_radius, reach=24.0):
    """Round boss that grows from its tip into the show face by one degree a side."""
    return Pos(x, y, tip_z) * Cone(tip_radius, tip_radius + reach * DRAFT, reach, align=CENTRED_BELOW)


def plate(x, y, size_x, size_y, z_low, height=30.0):
    """Upright rib, drafted by half a degree a side along its thin direction, wider at the root."""
    grow = height * DRAFT / 2
    thin_x = size_x < size_y
    low = Wire.make_polygon(rect(size_x, size_y, z_low, x, y), close=True)
    high = Wire.make_polygon(
        rect(size_x + (2 * grow if thin_x else 0), size_y + (0 if thin_x else 2 * grow), z_low + height, x, y), close=True
    )
    return Solid.make_loft([low, high], ruled=True)


def rect(size_x, size_y, z, x, y):
    a, b = size_x / 2, size_y / 2
    return [(x - a, y - b, z), (x + a, y - b, z), (x + a, y + b, z), (x - a, y + b, z)]


def rounded_hole(x, y, size_x, size_y, radius, z_low, z_high):
    return Pos(x, y, z_low) * extrude(RectangleRounded(size_x, size_y, radius), z_high - z_low)


def lengthwise_rod(radius, x_low, x_high):
    """Cylinder along X on the joint plane, for stem and cable."""
    return Pos((x_low + x_high) / 2, 0, 0) * Rot(0, 90, 0) * Cylinder(radius, x_high - x_low)


WINDOW = (20.0, 0.0, 22.0, 15.0)
BUTTON_X = -8.0
SCREWS = [(-43.0, 8.5), (-43.0, -8.5), (42.0, 12.4), (42.0, -12.4)]
BUSHES = [(-24.0, 8.5), (-24.0, -8.5)]


def handle():
    # United as meshes: after many cuts the modeller's own mesh of the long walls strays by tenths of a millimetre.
    shell = as_manifold(pillow(0.0, 0.0)) - as_manifold(pillow(WALL, -1.0))

    # Everything inside is grown into the middle of the wall, never through it.
    middle = as_manifold(pillow(1.0, -1.0))
    inside = []
    for x, y in SCREWS:
        side = math.copysign(1.0, y)
        inside.append(boss(x, y, 0.4, 3.2))
        inside.append(plate(x, y + side * 6, RIB, 12.0, 4.0))
        # Along the hand: to the bush behind the cable end's screws, to the saddle behind the stem end's.
        inside.append(plate(-33.5, y, 19.0, RIB, 9.0) if x < 0 else plate(46.0, y, 8.0, RIB, 8.0))
    for x, y in BUSHES:
        side = math.copysign(1.0, y)
        inside.append(boss(x, y, 3.0, 4.3))
        inside.append(plate(x, y + side * 6, RIB, 12.0, 6.0))
    for x in (-15.0, -1.0):
        inside.append(plate(x, 0.0, RIB, 60.0, 12.0))
    # Saddles that carry the stem and clamp the cable.
    saddle = plate(50.0, 0.0, 1.8, 44.0, 0.4) - lengthwise_rod(8.0, 30, 70)
    clamp = plate(-51.0, 0.0, 1.8, 13.0, 0.4) - lengthwise_rod(2.6, -70, -30)
    inside += [saddle, clamp]
    # Frame round the window, which makes good what its recess takes away; collar round the button.
    wx, wy, ww, wh = WINDOW
    frame_z = 13.6
    inside.append((rounded_hole(wx, wy, ww + 8.0, wh + 8.0, 4.0, frame_z, 30.0)))
    inside.append(Pos(BUTTON_X, 0, 12.5) * Cylinder(7.6, 20, align=CENTRED_BELOW))

    part = shell + (united(inside) ^ middle)

    # Snap clips: a tongue on the inner face of each long wall, past the joint, with a hook that looks outwards.
    part = part + united([clip(1), clip(-1)])

    # Holes come last, so that no rib stands across them.
    holes = [
        rounded_hole(wx, wy, ww, wh, 2.0, 0.0, 40.0),
        rounded_hole(wx, wy, ww + 5.0, wh + 5.0, 3.0, 16.7, 40.0),
        Pos(BUTTON_X, 0, 0) * Cone(5.5, 5.5 + 20 * DRAFT, 20, align=CENTRED_BELOW),
        lengthwise_rod(8.0, 52.0, 70.0),
        lengthwise_rod(3.0, -70.0, -53.0),
    ]
    for x, y in SCREWS:
        holes.append(Pos(x, y, -1.0) * Cone(1.3, 1.3 - 12 * DRAFT / 2, 12.0, align=CENTRED_BELOW))
    return (part - united(holes)).simplify(0.002)


def clip(side):
    """Tongue 8 mm wide, 1.8 mm thick, 4.2 mm past the joint, hook 0.8 mm with a sloped nose."""
    x = -6.0
    wall_y = 18.2 - WALL
    profile = [
        (wall_y + 0.6, 8.0),
        (wall_y - 1.2, 7.0),
        (wall_y - 1.9, 2.0),
        (wall_y - 1.9, -4.2),
        (wall_y - 0.6, -4.2),
        (wall_y + 0.7, -2.6),
        (wall_y + 0.7, -2.2),
        (wall_y - 0.1, -1.9),
        (wall_y - 0.1, 0.0),
        (wall_y + 0.6, 0.0),
    ]
    face = make_face(Plane.YZ * Polyline(*[(side * y, z) for y, z in profile], close=True))
    return Pos(x - 4.0, 0, 0) * extrude(face.face(), 8.0, dir=(1, 0, 0))


def cap():
    """Head Ø38, spigot Ø29.6, groove 1.5 mm deep and 2.7 mm wide for a 2 mm ring, vent Ø1.6 through the head."""
    section = [
        (0.8, 4.2), (0.8, 7.3), (18.0 - 9 * DRAFT, 7.3), (18.6, 0.6), (18.0, 0.0),
        (14.9, 0.0), (14.8, -3.2), (13.3, -3.35), (13.3, -6.05), (14.8, -6.2), (14.75, -9.6), (13.9, -11.0),
        (11.75, -11.0), (11.4, 3.2), (10.4, 4.2),
    ]
    with BuildPart() as solid:
        with BuildSketch(Plane.XZ):
            with BuildLine():
                Polyline(*section, close=True)
            make_face()
        revolve(axis=Axis.Z)
    part = solid.part
    # Rounded top edge, drafted finger flutes, a slot for a coin.
    top = [e for e in part.edges() if abs(e.center().Z - 7.3) < 0.05 and e.bounding_box().size.X > 30]
    part = fillet(top, 1.6)
    for i in range(18):
        flute = Pos(20.6, 0, -1) * Cone(2.7, 2.7 + 12 * DRAFT, 12, align=CENTRED_BELOW)
        part = part - Rot(0, 0, 20 * i) * flute
    for angle in (0, 180):
        slot = Pos(8.6, 0, 5.8) * extrude(RectangleRounded(11.0, 2.6, 1.2), 5, taper=-3)
        part = part - Rot(0, 0, angle) * slot
    return one_solid(part)


def grip():
    """Saddle 2.4 mm thick with ribs down both flanks, dimples on top, and a window for the button."""
    x_low, x_high, z_low = -50.0, 6.0, 3.0
    solids = {
        "skin": pillow(-2.4, 0.0),
        "bead": pillow(-3.2, 0.0),
        "hand": pillow(-0.1, -1.0),
        "reach": rounded_hole((x_low + x_high) / 2, 0, x_high - x_low, 80.0, 7.0, z_low, 40.0),
        "band": Pos(0, 0, z_low + 1.2) * Box(200, 80, 9.0, align=CENTRED_BELOW),
        "window": rounded_hole(BUTTON_X, 0, 17.0, 15.0, 4.0, 0.0, 40.0),
        "rib": Box(1.6, 80, 40, align=CENTRED_BELOW),
        "dimple": Sphere(2.7),
    }
    # Skins that lie tenths of a millimetre apart are united as meshes: the modeller leaves gaps there.
    mesh = {name: as_manifold(solid) for name, solid in solids.items()}
    ribs = Manifold.batch_boolean([mesh["rib"].translate((x_low + 8.0 + i * 3.8, 0, 0)) for i in range(12)], OpType.Add)
    part = (mesh["skin"] ^ mesh["reach"]) + (mesh["bead"] ^ mesh["band"] ^ mesh["reach"] ^ ribs)
    # Dimples in a staggered field on the palm's side of the window.
    dimples = []
    for row in range(7):
        for column in range(-2, 3):
            x = -43.0 + row * 3.9
            y = column * 4.5 + (2.25 if row % 2 else 0.0)
            if abs(y) <= 9.5:
                top = 18.0 - x * x / (2 * 601.5) + 2.4
                dimples.append(mesh["dimple"].translate((x, y, top + 2.2)))
    part = part - mesh["hand"] - mesh["window"] - Manifold.batch_boolean(dimples, OpType.Add)
    return part.simplify(0.004)


def united(shapes):
    return Manifold.batch_boolean([as_manifold(shape) for shape in shapes], OpType.Add)


def as_manifold(solid, chord_mm=0.012, angle_rad=0.12):
    vertices, faces = solid.solids()[0].tessellate(chord_mm, angle_rad)
    mesh = trimesh.Trimesh([tuple(v) for v in vertices], faces)
    mesh.merge_vertices()
    made = Manifold(Mesh(np.asarray(mesh.vertices, np.float32), np.asarray(mesh.faces, np.uint32)))
    if made.status() != Error.NoError or made.volume() <= 0.0:
        raise RuntimeError(f"not a closed solid: {made.status()}")
    return made


def one_solid(shape):
    solids = shape.solids()
    if len(solids) != 1:
        raise RuntimeError(f"expected one solid, got {len(solids)}: {[round(s.volume, 2) for s in solids]}")
    if not solids[0].is_valid:
        raise RuntimeError("the modeller calls the solid invalid")
    return solids[0]


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    jobs = {"handle": (handle, None, None), "cap": (cap, 0.015, 0.12), "grip": (grip, None, None)}
    for name in sys.argv[2:] or jobs:
        make, chord_mm, angle_rad = jobs[name]
        made = make()
        path = folder / f"{name}.stl"
        if isinstance(made, Manifold):
            mesh = made.to_mesh()
            trimesh.Trimesh(mesh.vert_properties[:, :3], mesh.tri_verts, process=False).export(path)
        else:
            export_stl(made, str(path), tolerance=chord_mm, angular_tolerance=angle_rad)
        mesh = trimesh.load_mesh(path)
        box = mesh.bounds.round(3).tolist()
        print(
            f"{name}: {len(mesh.faces)} triangles, watertight {mesh.is_watertight}, "
            f"bodies {mesh.body_count}, euler {mesh.euler_number}, volume {mesh.volume:.2f} mm3, area {mesh.area:.2f} mm2, bounds {box}"
        )
        if not (mesh.is_watertight and mesh.is_winding_consistent and mesh.body_count == 1 and mesh.volume > 0):
            raise SystemExit(f"{name} is not one closed body")


if __name__ == "__main__":
    main()
