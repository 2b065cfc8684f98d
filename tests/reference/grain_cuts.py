"""Every cut along the grain through the samples by brute force, to compare our own enumeration with.

    python3 tests/reference/grain_cuts.py           remake grain_cuts.json
    python3 tests/reference/grain_cuts.py --check   compare with it

A piece is turned by minus its grain angle about the page's lower left corner, so that the grain lies
along u and a line along the grain has one v. Lines stand at v = k + 0.47 mm for every whole k, clear
of drawn coordinates. Each stretch of a line in wood is one interval; whether cutting that interval
alone parts the piece is settled by noding it into the outline and counting the faces: no rule about
rings is used.
"""

import math

import shapely
from shapely import affinity
from shapely.geometry import LineString

import drawing
from store import rounded, store

# Coarser than for areas: the cuts need no more, and thousands of overlays are made.
TOLERANCE = 0.01

# An interval is carried this far into the void at both ends, so that it surely meets the outline.
OVERHANG = 1e-6


def intervals(polygon, v):
    u0, _, u1, _ = polygon.bounds
    cut = polygon.intersection(LineString([(u0 - 1, v), (u1 + 1, v)]))
    parts = [p for p in getattr(cut, "geoms", [cut]) if p.geom_type == "LineString" and not p.is_empty]
    return sorted((p.bounds[0], p.bounds[2]) for p in parts)


def sides(polygon, v, start, end):
    """The areas of the two sides when this interval alone is cut, smaller first; None if it stays one."""
    cut = LineString([(start - OVERHANG, v), (end + OVERHANG, v)])
    edges = shapely.union_all([polygon.boundary, cut])
    faces = [f for f in shapely.polygonize([edges]).geoms if polygon.contains(f.representative_point())]
    if len(faces) == 1:
        return None
    areas = sorted(f.area for f in faces)
    assert len(areas) == 2, (v, start, end, areas)
    assert math.isclose(sum(areas), polygon.area, rel_tol=1e-9), (v, start, end)
    return areas


def cuts(polygon):
    _, v0, _, v1 = polygon.bounds
    lines = []
    for k in range(math.floor(v0) - 1, math.ceil(v1) + 1):
        v = k + 0.47
        found = intervals(polygon, v)
        if not found:
            continue
        parting = []
        for index, (start, end) in enumerate(found):
            areas = sides(polygon, v, start, end)
            if areas:
                parting.append([index, areas[0]])
        lines.append([v, [value for interval in found for value in interval], parting])
    return lines


def sample(name):
    grain = float(drawing.board(name)["grain"].removesuffix("deg"))
    pieces = []
    for polygon in drawing.pieces(drawing.design(name), TOLERANCE):
        turned = affinity.rotate(polygon, -grain, origin=(0, 0))
        pieces.append({"bounds_mm": list(polygon.bounds), "area_mm2": polygon.area, "lines": cuts(turned)})
    return {"grain_deg": grain, "pieces": pieces}


def main():
    data = {"samples": {name: rounded(sample(name)) for name in drawing.names()}}
    about = (
        "Lines along the grain at v = k + 0.47 mm; each line is [v, [u start, u end, ...] of its intervals in wood, "
        "[[interval index, smaller side's area], ...] for intervals that part the piece when cut alone]; curves flattened within 0.01 mm."
    )
    store(__file__, about, ["shapely", "svgelements"], data, depth=7)


if __name__ == "__main__":
    main()
