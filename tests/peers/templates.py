"""Reads templates back with other libraries: DXF with ezdxf, SVG with the standard library's XML reader.

    python templates.py FOLDER          the folder that `mouldbench sheet --templates FOLDER` wrote

Prints what each file holds and ends with an error where DXF and SVG do not tell of the same holes and outline.
"""

import pathlib
import sys
import xml.etree.ElementTree as xml

import ezdxf

SVG = "{http://www.w3.org/2000/svg}"


def dxf(path):
    """Holes (x, y, diameter), the outline's size, and faults that the library's own audit finds."""
    drawing = ezdxf.readfile(path)
    faults = drawing.audit().errors
    model = drawing.modelspace()
    holes = sorted((c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in model.query("CIRCLE"))
    corners = [v.dxf.location for p in model.query("POLYLINE[layer=='OUTLINE']") for v in p.vertices]
    size = (max(c.x for c in corners), max(c.y for c in corners))
    assert drawing.dxfversion == "AC1009", drawing.dxfversion
    assert min(c.x for c in corners) == 0 and min(c.y for c in corners) == 0
    return holes, size, faults


def svg(path):
    """The same from SVG, brought to the outline's lower left corner with y up."""
    root = xml.parse(path).getroot()
    _, _, width, height = map(float, root.get("viewBox").split())
    assert root.get("width") == f"{width:g}mm" and root.get("height") == f"{height:g}mm", "one unit is one millimetre"
    outline = root.find(f"./{SVG}g[@id='outline']/{SVG}polygon").get("points")
    corners = [tuple(map(float, p.split(","))) for p in outline.split()]
    left, low = min(c[0] for c in corners), max(c[1] for c in corners)
    size = (max(c[0] for c in corners) - left, low - min(c[1] for c in corners))
    circles = root.findall(f"./{SVG}g[@id='holes']/{SVG}circle")
    number = lambda c, name: float(c.get(name))
    return sorted((number(c, "cx") - left, low - number(c, "cy"), 2 * number(c, "r")) for c in circles), size


def main():
    folder = pathlib.Path(sys.argv[1])
    failed = False
    for path in sorted(folder.glob("*.dxf")):
        holes, size, faults = dxf(path)
        others, other_size = svg(path.with_suffix(".svg"))
        apart = max((abs(a - b) for h, o in zip(holes, others) for a, b in zip(h, o)), default=0.0)
        apart = max(apart, *(abs(a - b) for a, b in zip(size, other_size)))
        good = len(holes) == len(others) and apart < 1e-3 and not faults
        failed |= not good
        print(f"{path.stem}: {size[0]:g} x {size[1]:g} mm, {len(holes)} holes, DXF and SVG {apart:.4f} mm apart"
              f"{'' if good else ', FAULT ' + str(faults)}")
    sys.exit(failed)


main()
