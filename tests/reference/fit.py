"""Measures the files for cutting in cutting/made: ezdxf reads the DXF, svgelements the SVG, shapely measures both.

    python3 tests/reference/fit.py           remake fit.json
    python3 tests/reference/fit.py --check   compare with it

None of our own code takes part. Arcs become chords 1e-5 mm off here. Growing and shrinking again by GEOS is good to about 1e-3 mm,
since it simplifies hollow curves first; straight-sided outlines are rounded corner by corner instead.
"""

import math
import xml.etree.ElementTree as xml

import ezdxf
import numpy
import svgelements
from ezdxf.math import bulge_to_arc
from shapely import affinity, distance, get_coordinates, line_interpolate_point, prepare, set_precision
from shapely import points as all_points
from shapely.geometry import Point, Polygon
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from drawing import flatten, pieces
from store import FOLDER, rounded as shortened, store

MADE = FOLDER / "cutting" / "made"
CHORD = 1e-5
CUT = {"OUTLINE", "OPENING", "POCKET_BACK", "INSERT", "BACKER", "PLY", "PIN"}
SVG = "{http://www.w3.org/2000/svg}"

# What each insert was asked to be: bits' diameters, clearance, the angle of its grain, its corners.
FITS = {
    "letter": {"pocket_bit": 6.0, "insert_bit": 8.0, "clearance": 0.05, "grain": 23.0, "straight": True},
    "leaf": {"pocket_bit": 6.35, "insert_bit": 3.175, "clearance": 0.1, "grain": 0.0},
    "ends": {"pocket_bit": 6.35, "insert_bit": 6.35, "clearance": 0.05, "grain": 0.0, "bar": (60.0, 12.0), "radius": 6.0},
    "relieved": {"pocket_bit": 6.0, "insert_bit": 6.0, "clearance": 0.08, "grain": 0.0, "bar": (60.0, 25.0), "radius": 0.0},
}


def from_dxf(name):
    """The polygons of each layer, y up."""
    layers = {}
    for entity in ezdxf.readfile(MADE / f"{name}.dxf").modelspace().query("LWPOLYLINE"):
        if entity.closed:
            layers.setdefault(entity.dxf.layer, []).append(Polygon(chords(entity)))
    return layers


def least_radii(name, layer):
    """The tightest convex and hollow arc on a layer, as ezdxf finds them; none is null."""
    least = {True: None, False: None}
    for entity in ezdxf.readfile(MADE / f"{name}.dxf").modelspace().query(f"LWPOLYLINE[layer=='{layer}']"):
        nodes = list(entity.get_points("xyb"))
        for (x, y, bulge), (u, v, _) in zip(nodes, nodes[1:] + nodes[:1]):
            if bulge:
                radius = bulge_to_arc((x, y), (u, v), bulge)[3]
                known = least[bulge > 0]
                least[bulge > 0] = radius if known is None else min(known, radius)
    return [least[True], least[False]]


def chords(polyline):
    """Points along a closed polyline; ezdxf finds each bulge's circle (its own paths would make it a cubic curve)."""
    nodes = list(polyline.get_points("xyb"))
    points = []
    for (x, y, bulge), (u, v, _) in zip(nodes, nodes[1:] + nodes[:1]):
        points.append((x, y))
        if bulge:
            centre, start, end, radius = bulge_to_arc((x, y), (u, v), bulge)
            sweep = (end - start) % math.tau
            count = math.ceil(sweep / (2 * math.acos(1 - CHORD / radius)))
            angles = [start + sweep * k / count for k in range(1, count)]
            around = [(centre.x + radius * math.cos(a), centre.y + radius * math.sin(a)) for a in angles]
            points += around if bulge > 0 else around[::-1]
    return points


def from_svg(name):
    """The same from the SVG's groups, hidden ones too."""
    root = xml.parse(MADE / f"{name}.svg").getroot()
    height = float(root.get("viewBox").split()[3])
    layers = {}
    for group in root.findall(f"{SVG}g"):
        for element in group.findall(f"{SVG}path"):
            if not element.get("d").endswith("Z"):
                continue
            for ring in flatten(svgelements.Path(element.get("d")), CHORD):
                layers.setdefault(group.get("id"), []).append(Polygon([(x, height - y) for x, y in ring]))
    return layers


def apart(a, b):
    """How far the edges of two polygons leave each other: every corner of one against the edge of the other."""
    return max(farthest(a.boundary, b.boundary), farthest(b.boundary, a.boundary))


def farthest(line, other):
    prepare(other)
    return float(distance(all_points(get_coordinates(line)), other).max())


def round_buffer(shape, by):
    return shape.buffer(by, quad_segs=256)


def centred(shape):
    x0, y0, x1, y1 = shape.bounds
    return affinity.translate(shape, -(x0 + x1) / 2, -(y0 + y1) / 2)


def read_back(name):
    document = ezdxf.readfile(MADE / f"{name}.dxf")
    audit = document.audit()
    space = document.modelspace()
    layers = {}
    for entity in space:
        layers[entity.dxf.layer] = layers.get(entity.dxf.layer, 0) + 1
    dxf, svg = from_dxf(name), from_svg(name)
    assert sorted(dxf) == sorted(svg), (name, sorted(dxf), sorted(svg))
    worst = max(apart(a, b) for layer in dxf for a, b in zip(dxf[layer], svg[layer], strict=True))
    return {
        "version": document.dxfversion,
        "units": document.units,
        "errors": len(audit.errors),
        "fixes": len(audit.fixes),
        "open_on_cut_layers": sum(
            not (entity.dxftype() == "LWPOLYLINE" and entity.closed) for entity in space if entity.dxf.layer in CUT
        ),
        "layers": dict(sorted(layers.items())),
        "off": sorted(layer.dxf.name for layer in document.layers if layer.is_off()),
        "svg_apart_mm": worst,
    }


def with_round_corners(drawn, convex, hollow):
    """A polygon of straight sides with its corners rounded, each by itself: what lies between a corner's two tangent points and
    its circle goes, or comes."""
    ring = list(orient(drawn).exterior.coords)[:-1]
    whole = drawn
    for before, corner, after in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1]):
        a, b = (unit(before, corner), unit(after, corner))
        half = math.acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1]))) / 2
        is_convex = a[0] * b[1] - a[1] * b[0] < 0
        radius = convex if is_convex else hollow
        reach, middle = radius / math.tan(half), unit((corner[0] + a[0] + b[0], corner[1] + a[1] + b[1]), corner)
        at = lambda way, far: (corner[0] + way[0] * far, corner[1] + way[1] * far)
        centre = at(middle, radius / math.sin(half))
        kite = Polygon([corner, at(a, reach), centre, at(b, reach)])
        tip = kite.difference(Point(centre).buffer(radius, quad_segs=4096))
        whole = whole.difference(tip) if is_convex else whole.union(tip)
        # Hairs stay where a circle meets its tangents, thinner than the last digit.
        whole = set_precision(whole, 1e-7)
        whole = Polygon(max(getattr(whole, "geoms", [whole]), key=lambda part: part.area).exterior)
    return whole


def unit(p, origin):
    x, y = p[0] - origin[0], p[1] - origin[1]
    return x / math.hypot(x, y), y / math.hypot(x, y)


def rounded(name, asked):
    """What the insert has to be, by shapely alone, seen from the face."""
    pocket, hollow = asked["pocket_bit"] / 2, asked["insert_bit"] / 2 + asked["clearance"]
    if "bar" in asked:
        length, width = asked["bar"]
        drawn = Polygon([(0, 0), (length, 0), (length, width), (0, width)])
        return drawn, with_round_corners(drawn, asked["radius"], None) if asked["radius"] else drawn
    [drawn] = pieces(FOLDER / "cutting" / f"{name}.svg", 1e-5)
    if asked.get("straight"):
        return drawn, with_round_corners(drawn, pocket, hollow)
    opened = round_buffer(round_buffer(drawn, -pocket), pocket)
    return drawn, round_buffer(round_buffer(opened, hollow), -hollow)


def room(edge, radius, inside):
    """How much nearer than its radius a disc that touches the edge comes to it elsewhere: 0 when a bit of this radius can
    cut all of it. The disc stands at the middle of each chord, inside or outside."""
    ring = orient(Polygon(edge)).exterior
    corners = get_coordinates(ring)
    start, end = corners[:-1], corners[1:]
    way = (end - start) / numpy.linalg.norm(end - start, axis=1, keepdims=True)
    inwards = numpy.column_stack((-way[:, 1], way[:, 0]))
    centres = (start + end) / 2 + inwards * (radius if inside else -radius)
    prepare(ring)
    return float(max(0.0, (radius - distance(all_points(centres), ring)).max()))


def measured(name, asked):
    [pocket], [insert] = from_dxf(f"{name}-back")["POCKET_BACK"], from_dxf(f"{name}-insert")["INSERT"]
    # The strip holds the insert seen from the back, turned until its grain lies along; the pocket only seen from the back.
    lying = centred(affinity.rotate(insert, -asked["grain"], origin=(0, 0)))
    pocket = centred(pocket)
    along = numpy.linspace(0, 1, 4000, endpoint=False)
    ring, edge = (line_interpolate_point(part.exterior, along, normalized=True) for part in (pocket, lying))
    gaps = distance(ring, lying.exterior)
    least = min(gaps.min(), distance(edge, pocket.exterior).min())
    drawn, want = rounded(name, asked)
    want = centred(affinity.scale(want, -1, 1, origin=(0, 0)))
    return {
        "asked_mm": asked["clearance"],
        "gap_mm": [float(least), float(gaps.max())],
        "from_rounded_mm": apart(lying, want),
        "pocket_bit_short_mm": room(pocket.exterior, asked["pocket_bit"] / 2, True),
        "insert_bit_short_mm": room(lying.exterior, asked["insert_bit"] / 2, False),
        "insert_radii_mm": least_radii(f"{name}-insert", "INSERT"),
        "pocket_radii_mm": least_radii(f"{name}-back", "POCKET_BACK"),
        "lost_mm2": lying.area - want.area,
        "drawn_mm2": drawn.area,
        "insert_mm2": lying.area,
        "pocket_mm2": pocket.area,
    }


def plaque():
    face, back, inserts = from_dxf("plaque-face"), from_dxf("plaque-back"), from_dxf("plaque-insert")["INSERT"]
    wood = face["OUTLINE"][0].difference(unary_union(face["OPENING"]))
    [drawn] = pieces(FOLDER / "cutting" / "plaque.svg", 1e-5)
    x0, y0, x1, y1 = drawn.bounds
    u0, v0, u1, v1 = wood.bounds
    placed = affinity.translate(drawn, u0 - x0, v0 - y0)
    # The page is as much wider on the left as on the right, so its middle is the piece's.
    middle = (u0 + u1) / 2
    mirror = lambda shape: affinity.scale(shape, -1, 1, origin=(middle, 0))
    turned = back["OUTLINE"][0].difference(unary_union(back["OPENING"]))
    pins = [p.centroid for p in face["PIN"]]
    over = [mirror(p) for p in pins]
    return {
        "face_from_drawn_mm": apart(wood, placed),
        "back_from_mirrored_face_mm": apart(turned, mirror(wood)),
        "area_apart_mm2": wood.area - drawn.area,
        "pins_after_turning_mm": max(min(p.distance(q.centroid) for q in back["PIN"]) for p in over),
        "between_inserts_mm": min(a.distance(b) for i, a in enumerate(inserts) for b in inserts[:i]),
        "pockets_mm2": [p.area for p in back["POCKET_BACK"]],
    }


def glued():
    """The boards that a blank is glued up of: how far outline and pins lie inside of each, and how it lies in the piece."""
    face, plies = from_dxf("glued-face"), from_dxf("glued-plies")
    boards = []
    for board, outline in zip(plies["PLY"], plies["OUTLINE"], strict=True):
        (x0, y0, *_), (u0, v0, *_) = outline.bounds, face["OUTLINE"][0].bounds
        holes = [affinity.translate(pin, x0 - u0, y0 - v0) for pin in face["PIN"]]
        assert all(board.contains(part) for part in [outline, *holes])
        [a, b, c, *_] = orient(board).exterior.coords
        boards.append({
            "outline_mm": board.exterior.distance(outline.exterior),
            "pins_mm": min(board.exterior.distance(hole.exterior) for hole in holes),
            "sides_mm": [math.dist(a, b), math.dist(b, c)],
            "first_side_deg": math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180,
            "square": board.area - math.dist(a, b) * math.dist(b, c),
            "outline_apart_mm": apart(affinity.translate(face["OUTLINE"][0], x0 - u0, y0 - v0), outline),
        })
    return boards


def main():
    names = sorted(file.stem for file in MADE.glob("*.dxf"))
    data = {
        "files": {name: read_back(name) for name in names},
        "fits": {name: measured(name, asked) for name, asked in FITS.items()},
        "plaque": plaque(),
        "glued": glued(),
    }
    about = "Files for cutting read back by ezdxf and svgelements and measured by shapely; see cutting/made."
    store(__file__, about, ["ezdxf", "numpy", "shapely", "svgelements"], shortened(data), depth=3)


if __name__ == "__main__":
    main()
