"""Widths and areas to compare ours with: exact shapes by formula, the samples by shapely and scikit-image.

    python3 tests/reference/widths.py           remake widths.json
    python3 tests/reference/widths.py --check   compare with it

The exact shapes' numbers come from the formulas written beside each; shapely only confirms them here.
"""

import math

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import linemerge
from skimage.morphology import medial_axis

import drawing
from store import rounded, store

# Largest gap between an exact shape's arcs and the polylines given for them, mm.
CHORD = 1e-4


def arc(cx, cy, r, a, b):
    """Points from angle a to b in degrees, both ends included, within CHORD of the circle."""
    step = 2 * math.acos(1 - CHORD / r)
    count = math.ceil(abs(math.radians(b - a)) / step)
    angles = [math.radians(a + (b - a) * k / count) for k in range(count + 1)]
    return [(cx + r * math.cos(t), cy + r * math.sin(t)) for t in angles]


def circle(cx, cy, r):
    return arc(cx, cy, r, 0, 360)[:-1]


def neck(x, y, diameter, why):
    """The circle centred there that touches the outline at two places or more."""
    return {"at_mm": [x, y], "neck_mm": diameter, "why": why}


def chord(x, y, deg, length, why):
    """The straight cut through a point at an angle, from wall to wall."""
    return {"at_mm": [x, y], "chord_deg": deg, "chord_mm": length, "why": why}


def slot():
    w, length = 8.0, 60.0
    ring = arc(length, 0, w / 2, -90, 90) + arc(0, 0, w / 2, 90, 270)
    return {
        "rings": [ring],
        "area_mm2": w * length + math.pi * w * w / 4,
        "inscribed_mm": w,
        "places": [neck(x, 0, w, "stroke") for x in (0.0, 20.0, 30.0, 60.0)] + [chord(30, 0, 90, w, "stroke")],
    }


def annulus():
    outer, inner = 40.0, 30.0
    mid = (outer + inner) / 2
    places = [
        neck(mid * math.cos(math.radians(t)), mid * math.sin(math.radians(t)), outer - inner, "R - r")
        for t in (0, 37, 90, 200)
    ]
    # Level chord through the ring where the line passes at height h: between the two circles.
    h = 20.0
    xo, xi = math.sqrt(outer**2 - h**2), math.sqrt(inner**2 - h**2)
    places.append(chord((xo + xi) / 2, h, 0, xo - xi, "sqrt(R^2 - h^2) - sqrt(r^2 - h^2)"))
    return {
        "rings": [circle(0, 0, outer), circle(0, 0, inner)],
        "area_mm2": math.pi * (outer**2 - inner**2),
        "inscribed_mm": outer - inner,
        "places": places,
    }


def eccentric_annulus():
    outer, inner, e = 40.0, 28.0, 4.0
    # A circle touching both has its centre at distances R - d/2 and r + d/2 from the two centres.
    places = [
        neck((outer + inner + e) / 2, 0, outer - inner - e, "R - r - e"),
        neck(-(outer + inner - e) / 2, 0, outer - inner + e, "R - r + e"),
    ]
    for t in (60, 100):
        # Polar about the outer centre: |c| = R - d/2 and |c - (e, 0)| = r + d/2.
        cos = math.cos(math.radians(t))
        s = outer + inner
        rho = (s * s - e * e) / (2 * (s - e * cos))
        places.append(neck(rho * cos, rho * math.sin(math.radians(t)), 2 * (outer - rho), "ellipse of centres"))
    return {
        "rings": [circle(0, 0, outer), circle(e, 0, inner)],
        "area_mm2": math.pi * (outer**2 - inner**2),
        "inscribed_mm": outer - inner + e,
        "places": places,
    }


def wedge():
    # A stake 19 wide tapering to 6 over 126, along +x; the apex of its flanks lies beyond the tip.
    w0, w1, length = 19.0, 6.0, 126.0
    slope = (w0 - w1) / 2 / length
    half = math.atan(slope)
    apex = w0 / 2 / slope
    places = []
    for x in (20.0, 63.0, 110.0):
        d = apex - x
        places.append(neck(x, 0, 2 * d * math.sin(half), "2 d sin(half angle)"))
        places.append(chord(x, 0, 90, 2 * d * math.tan(half), "2 d tan(half angle)"))
    # Touches the butt end and both flanks: r = (apex - r) sin(half).
    r = apex * math.sin(half) / (1 + math.sin(half))
    places.append(neck(r, 0, 2 * r, "largest circle"))
    return {
        "rings": [[(0, -w0 / 2), (length, -w1 / 2), (length, w1 / 2), (0, w0 / 2)]],
        "area_mm2": (w0 + w1) / 2 * length,
        "inscribed_mm": 2 * r,
        "places": places,
    }


def tee():
    # A cap 60 x 10 on a stem 8 x 30. The junction's circle touches the cap's top and both corners:
    # r = 10 - y and r^2 = 4^2 + y^2.
    y = (100 - 16) / 20
    return {
        "rings": [[(-4, -30), (4, -30), (4, 0), (30, 0), (30, 10), (-30, 10), (-30, 0), (-4, 0)]],
        "area_mm2": 840.0,
        "inscribed_mm": 2 * (10 - y),
        "places": [
            neck(0, -15, 8.0, "stem"),
            neck(20, 5, 10.0, "cap"),
            neck(0, y, 2 * (10 - y), "junction"),
            chord(0, -15, 0, 8.0, "stem"),
            chord(20, 5, 90, 10.0, "cap"),
        ],
    }


def ell():
    # Bars 10 and 8 wide. The corner's circle touches both outer sides and the inner corner (10, 8):
    # (10 - r)^2 + (8 - r)^2 = r^2.
    a, b = 10.0, 8.0
    r = a + b - math.sqrt(2 * a * b)
    return {
        "rings": [[(0, 0), (50, 0), (50, b), (a, b), (a, 40), (0, 40)]],
        "area_mm2": 50 * b + a * (40 - b),
        "inscribed_mm": 2 * r,
        "places": [neck(5, 28, a, "upright bar"), neck(35, 4, b, "level bar"), neck(r, r, 2 * r, "corner")],
    }


def cross():
    # Four arms of one width: the junction's circle passes through the four corners.
    w, long = 8.0, 30.0
    h = w / 2
    ring = [(h, h), (h, long), (-h, long), (-h, h), (-long, h), (-long, -h), (-h, -h), (-h, -long), (h, -long), (h, -h),
            (long, -h), (long, h)]
    return {
        "rings": [ring],
        "area_mm2": 4 * long * w - w * w,
        "inscribed_mm": w * math.sqrt(2),
        "places": [neck(0, 0, w * math.sqrt(2), "junction"), neck(18, 0, w, "arm"), neck(0, -18, w, "arm")],
    }


def hourglass():
    # Two holes of radius 15, 8.6 apart, in a plate: the web's width along the grain grows from its neck.
    r, gap, w, h = 15.0, 8.6, 110.0, 60.0
    c = r + gap / 2
    places = [neck(0, 0, gap, "gap")]
    for y in (0.0, 5.0, 10.0, 14.0):
        places.append(chord(0, y, 0, gap + 2 * (r - math.sqrt(r * r - y * y)), "gap + 2 (r - sqrt(r^2 - h^2))"))
        # Circle on the web's axis: touches both holes.
        places.append(neck(0, y, 2 * (math.hypot(c, y) - r), "2 (hypot(c, h) - r)"))
    return {
        "rings": [[(-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)], circle(-c, 0, r), circle(c, 0, r)],
        "area_mm2": w * h - 2 * math.pi * r * r,
        "inscribed_mm": None,
        "places": places,
    }


EXACT = {
    "slot": slot, "annulus": annulus, "eccentric_annulus": eccentric_annulus, "wedge": wedge, "tee": tee, "ell": ell,
    "cross": cross, "hourglass": hourglass,
}


def confirmed(name, shape):
    """The shape with shapely's numbers beside the formula's; stops when they part by more than the chords explain."""
    polygon = Polygon(shape["rings"][0], shape["rings"][1:])
    assert polygon.is_valid, name
    walls = polygon.boundary
    for place in shape["places"]:
        at = Point(place["at_mm"])
        if "neck_mm" in place:
            place["shapely_mm"] = 2 * walls.distance(at)
            assert abs(place["shapely_mm"] - place["neck_mm"]) < 3 * CHORD, (name, place)
        else:
            (x, y), t = place["at_mm"], math.radians(place["chord_deg"])
            line = LineString([(x - 500 * math.cos(t), y - 500 * math.sin(t)), (x + 500 * math.cos(t), y + 500 * math.sin(t))])
            parts = polygon.intersection(line)
            parts = [p for p in getattr(parts, "geoms", [parts]) if p.distance(at) < 1e-6]
            place["shapely_mm"] = parts[0].length
            assert abs(place["shapely_mm"] - place["chord_mm"]) < 10 * CHORD, (name, place)
    shape["shapely_area_mm2"] = polygon.area
    assert abs(polygon.area - shape["area_mm2"]) < CHORD * walls.length, name
    if shape["inscribed_mm"] is not None:
        circle_of = shapely.maximum_inscribed_circle(polygon, tolerance=1e-4)
        assert abs(2 * circle_of.length - shape["inscribed_mm"]) < 5e-4, (name, circle_of.length)
    return shape


# The bench drawings are measured too.
BENCHES = ["pierced-disc-3000", "plate-300"]

# Named places on the samples: boxes [x0, y0, x1, y1] in mm (y up, from the page's lower left corner) that
# cut the outline into just two walls, whose distance is the neck.
PLACES = {
    "house-number": {
        "4, lower bridge": [80.2, 56, 90, 67],
        "4, upper bridge": [80.2, 109, 90, 129.8],
        "0, upper bridge": [157, 121, 169, 130.5],
        "0, lower bridge": [157, 31.5, 169, 41],
        "8, upper bridge": [238, 121, 249, 130.5],
        "8, middle bridge": [238, 80, 249, 89],
        "8, lower bridge": [238, 31.5, 249, 41],
    },
    "planter-markers": {"D, left bridge": [134.4, 154.3, 137.8, 160.7], "D, right bridge": [155.2, 154.3, 158.6, 160.7]},
    "clock-dial": {"spoke at 15 degrees": [197, 144, 205, 159], "rim at 3 o'clock": [238, 131, 262, 136]},
    "game-token": {"web at 12 o'clock": [18, 33, 28, 37]},
    "drawer-label": {"left side": [3, 22, 17, 32], "upper rail": [30, 33, 50, 51]},
    "coat-hook-10": {"upper bridge": [63, 64.5, 72, 69.5], "lower bridge": [63, 26.5, 72, 31.5], "web between 1 and 0": [41, 35, 55, 58]},
    "choir-numerals": {"foot of the 2": [24, 3, 41, 15], "top bar of the 5": [125, 59, 145, 71], "bar of the 7": [173, 59, 185, 71]},
    "bee-hive": {"level web": [30, 107.5, 35, 115.5], "slanting web": [41.3, 115.1, 47.3, 121.1]},
    "snow-crystal": {"arm along the grain": [69, 45, 75, 55], "arm at 60 degrees": [60, 61.2, 67, 68.2]},
    "number-tray": {"neck of tile 0": [56, 38, 59, 48]},
    "pasta-gauge": {"end rim": [222, 36, 236, 57], "web before the big hole": [143, 42, 162, 51], "rim beside the big hole": [180, 79, 204, 90]},
    "router-template": {"upright web": [66, 124, 78, 132], "level web": [46, 102, 55, 111]},
    "pierced-disc-3000": {
        f"{row} {side} bridge": [x, y, x + 16, y + 5]
        for row, y in (("upper", 122.5), ("middle", 77.5), ("lower", 32.5)) for side, x in (("left", 57), ("right", 87))
    },
    "plate-300": {},
}


def wall_distance(polygons, window):
    """The distance between the two walls that a window leaves of the outline."""
    cut = shapely.union_all([p.boundary for p in polygons]).intersection(box(*window))
    walls = linemerge(cut) if cut.geom_type != "LineString" else cut
    walls = list(getattr(walls, "geoms", [walls]))
    assert len(walls) == 2, (window, len(walls))
    return walls[0].distance(walls[1])


def raster(polygon, pixel):
    """True where a pixel's centre lies in wood; row 0 is the lowest. Two empty pixels all round."""
    x0, y0, x1, y1 = polygon.bounds
    columns, rows = math.ceil((x1 - x0) / pixel) + 4, math.ceil((y1 - y0) / pixel) + 4
    xs = x0 + (np.arange(columns) - 1.5) * pixel
    ys = y0 + (np.arange(rows) - 1.5) * pixel
    wood = np.zeros((rows, columns), dtype=bool)
    for row, y in enumerate(ys):
        # Row by row from the crossings of a level line: exact at pixel centres, and quick.
        parts = polygon.intersection(LineString([(x0 - 1, y), (x1 + 1, y)]))
        for part in getattr(parts, "geoms", [parts]):
            if part.geom_type == "LineString" and not part.is_empty:
                a, _, b, _ = part.bounds
                wood[row] |= (xs >= a) & (xs <= b)
    return wood, xs, ys


def by_pixels(polygon, pixel, windows):
    """Twice the distance map's maximum, and its minimum along the medial axis in each window.

    A distance runs from a pixel's centre to the centre of the nearest empty one, half a pixel past
    the wall on average, so one pixel is taken off the doubled value. The true middle may lie 0.7 pixels
    from the nearest pixel's, so the width comes out between 2.5 pixels too small and 1 too large.
    """
    wood, xs, ys = raster(polygon, pixel)
    axis, distance = medial_axis(wood, return_distance=True, rng=0)
    width = (2 * distance - 1) * pixel
    row, column = np.unravel_index(np.argmax(distance), distance.shape)
    found = {}
    for name, (x0, y0, x1, y1) in windows.items():
        inside = axis & (ys[:, None] >= y0) & (ys[:, None] <= y1) & (xs[None, :] >= x0) & (xs[None, :] <= x1)
        if inside.any():
            found[name] = float(width[inside].min())
    return float(width[row, column]), [float(xs[column]), float(ys[row])], found


def sample(name):
    polygons = drawing.pieces(drawing.design(name))
    coarse = drawing.pieces(drawing.design(name), tolerance=0.005)
    windows = PLACES[name]
    largest = max(max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) for p in polygons)
    pixel = 0.1 if largest < 130 else 0.2
    pieces, narrow = [], {}
    for polygon, light in zip(polygons, coarse):
        circle_of = shapely.maximum_inscribed_circle(light, tolerance=1e-3)
        widest, at, found = by_pixels(light, pixel, windows)
        narrow |= found
        pieces.append({
            "bounds_mm": list(polygon.bounds),
            "area_mm2": polygon.area,
            "perimeter_mm": polygon.length,
            "openings": len(polygon.interiors),
            "inscribed": {"at_mm": list(circle_of.coords[0]), "diameter_mm": 2 * circle_of.length, "good_to_mm": 0.02},
            "pixels": {"at_mm": at, "diameter_mm": widest, "pixel_mm": pixel},
        })
    places = {
        where: {"window_mm": window, "neck_mm": wall_distance(polygons, window), "skeleton_mm": narrow.get(where), "pixel_mm": pixel}
        for where, window in windows.items()
    }
    return {"pieces": pieces, "places": places}


def main():
    data = {
        "exact": {name: rounded(confirmed(name, make())) for name, make in EXACT.items()},
        "samples": {name: rounded(sample(name)) for name in drawing.names() + BENCHES},
    }
    about = (
        "Exact shapes by formula (arcs as polylines within 1e-4 mm) and the samples by shapely and scikit-image; "
        "mm, y up. Sample areas: curves flattened within 1e-4 mm."
    )
    store(__file__, about, ["numpy", "scikit-image", "shapely", "svgelements"], data, depth=5)


if __name__ == "__main__":
    main()
