"""DXF drawings written by ezdxf, and what ezdxf and shapely say of them.

    python3 tests/reference/dxf.py           remake tests/drawings/dxf/*.dxf and dxf.json
    python3 tests/reference/dxf.py --check   compare with them

ezdxf resolves blocks, planes and splines, and flattens; shapely joins the lines and nests the outlines, odd
ones wood, even ones openings. Nothing here knows our reader.
"""

import io
import math
import sys
from pathlib import Path

import ezdxf
import shapely
from ezdxf import disassemble
from shapely import affinity
from shapely.geometry import LineString, Polygon

from store import rounded, store

DRAWINGS = Path(__file__).resolve().parents[1] / "drawings" / "dxf"

# Largest gap between a curve and its chord, mm.
TOLERANCE = 1e-4

# What $INSUNITS stands for, in mm; drawings without it are read as mm.
MM = {0: 1.0, 1: 25.4, 4: 1.0, 5: 10.0}

# The date, numbers and program names that ezdxf would write anew each time.
ezdxf.options.write_fixed_meta_data_for_testing = True

BELOW = {"extrusion": (0, 0, -1)}


def bracket():
    """R12, which has no unit: lines and arcs in any order and direction, one line twice."""
    doc = ezdxf.new("R12", units=0)
    doc.layers.add("BRACKET")
    space = doc.modelspace()
    on = {"layer": "BRACKET"}
    space.add_line((10, 0), (90, 0), dxfattribs=on)
    space.add_line((100, 60), (100, 10), dxfattribs=on)
    space.add_arc((90, 10), 10, 270, 0, dxfattribs=on)
    space.add_line((100, 60), (70, 60), dxfattribs=on)
    space.add_arc((70, 50), 10, 90, 180, dxfattribs=on)
    space.add_line((60, 50), (60, 30), dxfattribs=on)
    space.add_line((60, 30), (60, 50), dxfattribs=on)
    space.add_arc((50, 30), 10, 270, 0, dxfattribs=on)
    space.add_line((0, 20), (50, 20), dxfattribs=on)
    space.add_line((0, 20), (0, 10), dxfattribs=on)
    space.add_arc((10, 10), 10, 180, 270, dxfattribs=on)
    space.add_circle((80, 30), 8, dxfattribs=on)
    return doc


def bulges():
    """Polylines of both kinds with arcs to the left and right, under and over half a circle."""
    doc = ezdxf.new("R2000", units=4)
    space = doc.modelspace()
    space.add_lwpolyline(
        [(0, 0, 0), (80, 0, 1), (80, 40, 0), (50, 40, -1), (30, 40, 0), (0, 40, -0.3)],
        format="xyb", close=True, dxfattribs={"layer": "PLATE"},
    )
    # An old polyline: a slot, and most of a circle over a short chord.
    space.add_polyline2d([(10, 10, 0), (30, 10, 1), (30, 16, 0), (10, 16, 1)], format="xyb", close=True)
    space.add_polyline2d([(60, 18, 3), (62, 18, 0)], format="xyb", close=True)
    # Open, but its ends meet.
    space.add_lwpolyline([(100, 0), (130, 0), (115, 25), (100, 0)], dxfattribs={"layer": "WEDGE"})
    return doc


def curves():
    """Splines by poles, by weighted poles and through points, ellipses whole and in part; inches."""
    doc = ezdxf.new("R2010", units=1)
    space = doc.modelspace()
    # A leaf: two splines from tip to tip.
    space.add_open_spline([(0, 0), (1, 1.5), (3, 2), (5, 1), (6, 0)], dxfattribs={"layer": "LEAF"})
    space.add_open_spline([(0, 0), (1.5, -2), (4, -1.5), (6, 0)], degree=2, dxfattribs={"layer": "LEAF"})
    # A circle as a rational spline of degree two.
    h = math.sqrt(0.5)
    poles = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    space.add_rational_spline(
        [(10 + 1.5 * x, 1.5 * y) for x, y in poles],
        weights=[1, h, 1, h, 1, h, 1, h, 1], degree=2, knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4],
        dxfattribs={"layer": "DISC"},
    )
    # Through points only, closed by a line.
    space.add_spline([(14, 0), (15, 2), (17, 1), (18, 2.5), (20, 0)], dxfattribs={"layer": "WAVE"})
    space.add_line((14, 0), (20, 0), dxfattribs={"layer": "WAVE"})
    space.add_ellipse((3, 0), (0.8, 0.3), 0.5, dxfattribs={"layer": "LEAF"})
    space.add_ellipse((30, 0), (0, 2), 0.4, math.radians(200), math.radians(40), dxfattribs={"layer": "SCOOP"})
    ends = [space[-1].start_point, space[-1].end_point]
    space.add_line(ends[0], ends[1], dxfattribs={"layer": "SCOOP"})
    return doc


def blocks():
    """Blocks in blocks, turned, stretched, mirrored, in rows and columns, seen from below; centimetres."""
    doc = ezdxf.new("R2018", units=5)
    hole = doc.blocks.new("HOLE", base_point=(1, 0))
    hole.add_circle((1, 0), 0.4)
    tag = doc.blocks.new("TAG")
    tag.add_lwpolyline([(0, 0, 0), (4, 0, 0.4), (4, 2, 0), (0, 2, 0)], format="xyb", close=True)
    tag.add_blockref("HOLE", (1, 1))
    tag.add_blockref("HOLE", (3, 1), dxfattribs={"xscale": 1.5, "yscale": 0.5, "rotation": 30})
    space = doc.modelspace()
    space.add_blockref("TAG", (0, 0), dxfattribs={"layer": "FIRST"})
    space.add_blockref("TAG", (10, 3), dxfattribs={"rotation": 75, "xscale": 2, "yscale": 2})
    space.add_blockref("TAG", (20, 0), dxfattribs={"rotation": -20, "xscale": -1, "yscale": 1.5})
    space.add_blockref("TAG", (-30, 0), dxfattribs={"rotation": 15, "xscale": 1, "yscale": 1} | BELOW)
    grid = space.add_blockref("TAG", (0, 12), dxfattribs={"rotation": 10, "layer": "GRID"})
    grid.grid(size=(2, 3), spacing=(3.5, 6))
    return doc


def below():
    """Arcs, circles, polylines and ellipses in a plane seen from below: x runs the other way."""
    doc = ezdxf.new("R2000", units=4)
    space = doc.modelspace()
    space.add_line((0, 0), (50, 0))
    space.add_line((50, 0), (50, 30))
    # Centre (40, 30) seen from below, from 0 to 180 degrees: the half circle over x = 30 to 50.
    space.add_arc((-40, 30), 10, 0, 180, dxfattribs=BELOW)
    space.add_line((30, 30), (0, 30))
    space.add_line((0, 30), (0, 0))
    space.add_circle((-15, 15), 6, dxfattribs=BELOW)
    space.add_lwpolyline([(-60, 0, 0.5), (-90, 0, 0), (-75, 30, 0)], format="xyb", close=True, dxfattribs=BELOW)
    space.add_ellipse((120, 10), (12, 4), 0.5, math.radians(30), math.radians(300), dxfattribs=BELOW)
    ends = [space[-1].start_point, space[-1].end_point]
    space.add_line(ends[0], ends[1])
    return doc


def crowded():
    """An outline among what is none: words, dimensions, shading, hidden layers, a sheet of paper."""
    doc = ezdxf.new("R2010", units=4, setup=True)
    doc.layers.add("OFF").off()
    doc.layers.add("COLD").freeze()
    doc.layers.add("OUTLINE")
    space = doc.modelspace()
    space.add_lwpolyline([(0, 0), (120, 0), (120, 80), (0, 80)], close=True, dxfattribs={"layer": "OUTLINE"})
    space.add_circle((60, 40), 20, dxfattribs={"layer": "OUTLINE"})
    space.add_text("408", dxfattribs={"layer": "NOTE"})
    space.add_mtext("oak, 19 mm", dxfattribs={"layer": "NOTE"})
    space.add_point((5, 5), dxfattribs={"layer": "NOTE"})
    hatch = space.add_hatch(dxfattribs={"layer": "NOTE"})
    hatch.paths.add_polyline_path([(0, 0), (9, 0), (9, 9)], is_closed=True)
    space.add_linear_dim(base=(0, -9), p1=(0, 0), p2=(120, 0)).render()
    space.add_circle((60, 40), 30, dxfattribs={"layer": "OFF"})
    space.add_circle((60, 40), 35, dxfattribs={"layer": "COLD"})
    space.add_circle((60, 40), 38, dxfattribs={"invisible": 1})
    doc.layout("Layout1").add_circle((60, 40), 10)
    return doc


MADE = {f.__name__: f for f in [bracket, bulges, curves, blocks, below, crowded]}

REMARKS = {"TEXT", "MTEXT", "POINT", "HATCH", "DIMENSION"}


def written(doc):
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue()


def outlines(doc, scale):
    """Every visible line and curve of model space as a line string in mm."""
    layers = {layer.dxf.name for layer in doc.layers if layer.is_off() or layer.is_frozen()}
    seen = [e for e in doc.modelspace() if e.dxftype() not in REMARKS and not e.dxf.get("invisible", 0)]
    for entity in disassemble.recursive_decompose(e for e in seen if e.dxf.layer not in layers):
        # Polylines as lines and arcs; every curve by its own equation, not by the cubics ezdxf draws it with.
        parts = entity.virtual_entities() if "POLYLINE" in entity.dxftype() else [entity]
        for part in parts:
            if part.dxftype() == "LINE":
                points = [part.dxf.start, part.dxf.end]
            else:
                points = part.flattening(TOLERANCE / scale)
            yield LineString([(p[0] * scale, p[1] * scale) for p in points])


def rings(lines):
    """Joins lines whose ends are equal to a hundredth of a micrometre; the same line twice counts once."""
    def ends_rounded(line):
        points = [tuple(p) for p in line.coords]
        points[0], points[-1] = [tuple(round(c, 5) for c in p) for p in (points[0], points[-1])]
        return LineString(points)

    once = {}
    for line in map(ends_rounded, lines):
        once.setdefault(shapely.normalize(line).wkb, line)
    merged = shapely.line_merge(shapely.union_all([shapely.MultiLineString(list(once.values()))], grid_size=None))
    return [Polygon(ring) for ring in getattr(merged, "geoms", [merged])]


def pieces(doc):
    scale = MM[doc.units]
    wood = Polygon()
    for ring in rings(list(outlines(doc, scale))):
        assert ring.is_valid
        wood = wood.symmetric_difference(ring)
    parts = list(getattr(wood, "geoms", [wood]))
    parts.sort(key=lambda p: (round(p.bounds[0], 4), round(p.bounds[1], 4)))
    return [
        {"bounds_mm": list(p.bounds), "area_mm2": p.area, "perimeter_mm": p.length, "openings": len(p.interiors)}
        for p in parts
    ]


def main():
    checking = "--check" in sys.argv[1:]
    found = {}
    for name, make in MADE.items():
        text = written(make())
        file = DRAWINGS / f"{name}.dxf"
        if checking:
            # ezdxf writes its classes in no fixed order.
            if sorted(file.read_text().splitlines()) != sorted(text.splitlines()):
                sys.exit(f"{file.name} is not what ezdxf writes now")
        else:
            DRAWINGS.mkdir(exist_ok=True)
            file.write_text(text)
        doc = ezdxf.read(io.StringIO(text))
        kinds = {}
        for entity in doc.modelspace():
            kinds[entity.dxftype()] = kinds.get(entity.dxftype(), 0) + 1
        found[name] = rounded({
            "about": make.__doc__, "version": doc.dxfversion, "units": doc.units, "entities": dict(sorted(kinds.items())),
            "pieces": pieces(doc),
        })
    about = "Pieces of the drawings in tests/drawings/dxf by ezdxf and shapely; mm, in the order of their lower left corners."
    store(__file__, about, ["ezdxf", "shapely"], {"drawings": found}, depth=5)


if __name__ == "__main__":
    main()
