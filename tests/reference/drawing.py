"""Reads a sample drawing without any of our own code: svgelements flattens it, shapely says what is wood.

The rules are the project's: a filled element is wood by its own fill rule, unfilled outlines are wood
by nesting, overlapping wood is one piece. Coordinates come out in mm, x right, y up.
"""

import math
import re
import tomllib
import xml.etree.ElementTree as xml
from pathlib import Path

import svgelements
from shapely import affinity, polygonize
from shapely.geometry import LinearRing, Polygon
from shapely.ops import unary_union

ROOT = Path(__file__).resolve().parents[2]
SHAPES = ROOT / "shapes"
BENCHES = ROOT / "benches" / "shapes"

# Largest gap between a curve and its chord, mm, unless the caller says another.
TOLERANCE = 1e-4

MM = {"mm": 1.0, "in": 25.4, "px": 25.4 / 96, "": 25.4 / 96}


def page(file):
    """The page's width and height in mm, from the root element."""
    root = xml.parse(file).getroot()
    sizes = [re.fullmatch(r"([0-9.]+)(mm|in|px|)", root.get(side)) for side in ("width", "height")]
    return [float(size[1]) * MM[size[2]] for size in sizes]


def flatten(path, tolerance):
    """The closed rings of a path in file order, as lists of points."""
    rings = []
    for subpath in path.as_subpaths():
        points = []
        for segment in svgelements.Path(subpath):
            if isinstance(segment, svgelements.Move):
                points = [(segment.end.x, segment.end.y)]
            elif isinstance(segment, (svgelements.Line, svgelements.Close)):
                points.append((segment.end.x, segment.end.y))
            else:
                points += [(p.x, p.y) for p in bend(segment, tolerance)]
        rings.append(points)
    return rings


def bend(segment, tolerance):
    """Points along a curve, the last one its end, so that no chord is farther off than `tolerance`, in the path's own unit."""
    count = 4
    while True:
        points = [segment.point(k / count) for k in range(1, count + 1)]
        start = [segment.point(0.0)] + points[:-1]
        middles = [segment.point((k + 0.5) / count) for k in range(count)]
        gap = max(
            math.hypot((a.x + b.x) / 2 - m.x, (a.y + b.y) / 2 - m.y) for a, b, m in zip(start, points, middles)
        )
        if gap <= tolerance:
            return points
        count *= 2


def signed_area(ring):
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1])) / 2


def even_odd(rings):
    wood = Polygon()
    for ring in rings:
        wood = wood.symmetric_difference(Polygon(ring))
    return wood


def nonzero(rings):
    """For rings that do not cross themselves or each other, which is all our samples have."""
    pieces = unary_union([LinearRing(ring) for ring in rings])
    wood = []
    for face in polygonize([pieces]).geoms:
        inside = face.representative_point()
        turns = sum(math.copysign(1, signed_area(r)) for r in rings if Polygon(r).contains(inside))
        if turns:
            wood.append(face)
    return unary_union(wood)


def pieces(file, tolerance=TOLERANCE):
    """The pieces of wood in a file: polygons in mm, y up, in the order of their lower left corners."""
    document = svgelements.SVG.parse(str(file), reify=False)
    # Everything stands in pixels by now; svgelements' own millimetre is rounded to six digits, the page's size is not.
    width, height = page(file)
    scale = width / document.width
    wood, outlines = [], []
    for element in document.elements():
        if not isinstance(element, svgelements.Shape):
            continue
        rings = flatten(svgelements.Path(*element.segments(transformed=True)), tolerance / scale)
        if element.fill is None or element.fill.value is None:
            outlines += rings
        else:
            rule = element.values.get("fill-rule", "nonzero")
            wood.append(even_odd(rings) if rule == "evenodd" else nonzero(rings))
    if outlines:
        wood.append(even_odd(outlines))
    whole = unary_union(wood)
    parts = list(whole.geoms) if whole.geom_type == "MultiPolygon" else [whole]
    found = [affinity.affine_transform(part, [scale, 0, 0, -scale, 0, height]) for part in parts]
    return sorted(found, key=lambda p: (round(p.bounds[0], 6), round(p.bounds[1], 6)))


def board(name):
    return tomllib.loads((SHAPES / name / "board.toml").read_text())


def names():
    return sorted(folder.name for folder in SHAPES.iterdir() if (folder / "board.toml").exists())


def design(name):
    bench = BENCHES / f"{name}.svg"
    return bench if bench.exists() else SHAPES / name / f"{name}.svg"
