"""Reads large public sets of outlines and tells how it went: icons as SVG, and fonts' glyphs as SVG and DXF.

    python3 tests/corpora.py FOLDER            fetch the sets into FOLDER, check them, write docs/corpora.md
    python3 tests/corpora.py FOLDER --few      a tenth of every set, nothing written

Each set is a package of a registry, named with its version and fetched by the registry's own client (npm, pip). Every
drawing is read by target/release/shortgrain (`check --measure`), told what the drawing leaves open (--scale, --inner); a few
of each set, chosen by the hash of their names, are checked as a person would, with a board. Counted are answers, refusals by
what they name, crashes, and times. On a sample of 500 the area that is read is held against another reader's: svgelements
flattens, shapely fills and unites.

Needs: svgelements, shapely, fonttools, ezdxf (tests/reference/requirements.txt), npm, pip.
"""

import hashlib
import json
import math
import re
import subprocess
import sys
import tarfile
import time
import zipfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PROGRAM = ROOT / "target" / "release" / "shortgrain"
sys.path.insert(0, str(ROOT / "tests" / "reference"))

# Package, version, and where in it the drawings are.
ICONS = [
    ("@tabler/icons", "3.51.0", "icons/*/*.svg"),
    ("@fortawesome/fontawesome-free", "7.3.1", "svgs/*/*.svg"),
    ("bootstrap-icons", "1.13.2", "icons/*.svg"),
    ("@mdi/svg", "7.4.47", "svg/*.svg"),
    ("@primer/octicons", "19.42.0", "build/svg/*.svg"),
]
FONTS = [("fontpkg-overpass", None), ("fontpkg-lato", None)]

# An icon's page becomes a piece this wide, mm.
WIDE = 120.0

# Seconds after which a check counts as hanging.
HANGS = 60

BOARD = ["--wood", "cherry", "--thickness", "12mm", "--grain", "0deg"]

SAMPLE = 500

# Of each set so many are checked whole; each takes seconds.
CHECKED = 10


def npm(folder, name, version):
    place = folder / name.replace("/", "+")
    if not place.exists():
        told = subprocess.run(["npm", "pack", "--json", f"{name}@{version}"], cwd=folder, check=True, capture_output=True)
        file = folder / json.loads(told.stdout)[0]["filename"].replace("@", "").replace("/", "-")
        with tarfile.open(file) as archive:
            archive.extractall(place, filter="data")
        file.unlink()
    return place / "package"


def fonts(folder, name):
    place = folder / name
    if not place.exists():
        subprocess.run(
            [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", str(folder), name], check=True
        )
        wheel = next(folder.glob(f"{name.replace('-', '_')}-*.whl"))
        version = wheel.name.split("-")[1]
        with zipfile.ZipFile(wheel) as archive:
            archive.extractall(place)
        wheel.unlink()
        (place / "version").write_text(version)
    return place, (place / "version").read_text()


def glyphs(place, out):
    """Every glyph of every font as a drawing, capitals 100 mm high: SVG and DXF by turns."""
    import ezdxf
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen
    from fontTools.ttLib import TTFont

    out.mkdir(exist_ok=True)
    made = []
    for file in sorted([*place.rglob("*.ttf"), *place.rglob("*.otf")]):
        font = TTFont(file, lazy=True)
        glyphs = font.getGlyphSet()
        scale = 100 / (getattr(font["OS/2"], "sCapHeight", 0) or 0.7 * font["head"].unitsPerEm)
        for k, name in enumerate(sorted(set(font.getBestCmap().values()))):
            pen = SVGPathPen(glyphs, ntos=lambda v: f"{v:.4f}")
            glyphs[name].draw(TransformPen(pen, (scale, 0, 0, -scale, 0, 0)))
            data = pen.getCommands()
            if not data:
                continue
            stem = f"{file.stem}-{hashlib.sha1(name.encode()).hexdigest()[:8]}"
            if k % 5:
                path = out / f"{stem}.svg"
                path.write_text(
                    '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="-100 -250 400 400">'
                    f'<path d="{data}"/></svg>'
                )
            else:
                path = out / f"{stem}.dxf"
                record = DecomposingRecordingPen(glyphs)
                glyphs[name].draw(TransformPen(record, (scale, 0, 0, scale, 0, 0)))
                doc = ezdxf.new("R2000", units=4)
                trace(doc.modelspace(), record.value)
                doc.saveas(path)
            made.append(path)
    return made


def trace(space, commands):
    """A glyph's contours as lines and splines."""
    at = start = None
    for command, points in commands:
        if command == "moveTo":
            at = start = points[0]
        elif command == "lineTo":
            if points[0] != at:
                space.add_line(at, points[0])
            at = points[0]
        elif command == "curveTo":
            space.add_open_spline([at, *points], degree=3)
            at = points[-1]
        elif command == "qCurveTo":
            # TrueType leaves out the points half-way between two controls.
            controls, end = list(points[:-1]), points[-1]
            if end is None:
                controls, end = controls, tuple((a + b) / 2 for a, b in zip(controls[-1], controls[0]))
                at = start = end
            for k, control in enumerate(controls):
                last = k + 1 == len(controls)
                to = end if last else tuple((a + b) / 2 for a, b in zip(control, controls[k + 1]))
                space.add_open_spline([at, control, to], degree=2)
                at = to
        elif command == "closePath" and at != start:
            space.add_line(at, start)


def told(file):
    """What a person would say of a drawing: that an icon's page is so wide, and what lies inside is cut out."""
    if file.suffix == ".dxf":
        return []
    box = re.search(r'viewBox="\s*[-\d.]+[ ,]+[-\d.]+[ ,]+([\d.]+)', file.read_text())
    if "400mm" in file.read_text()[:200] or not box:
        return ["--inner", "opening"]
    return ["--drawn-in", "mm", "--scale", f"{WIDE / float(box[1]):.8f}", "--tolerance", "0.005mm", "--inner", "opening", "--page", "ignore"]


def read(file):
    return run(file, ["--measure"])


def check(file):
    return run(file, [*BOARD, "--quiet"])


def run(file, more):
    """The file, what came of it, the seconds it took, and the area in mm² where that is told."""
    start = time.monotonic()
    call = [PROGRAM, "check", file, *told(file), *more]
    try:
        ran = subprocess.run(call, capture_output=True, text=True, timeout=HANGS)
    except subprocess.TimeoutExpired:
        return file, "hangs", HANGS, None
    took = time.monotonic() - start
    if ran.returncode in (0, 1):
        area = re.search(r"^area: ([\d.]+) mm²", ran.stdout, re.M)
        return file, "answered", took, float(area[1]) if area else None
    if ran.returncode == 2 and ran.stderr.startswith("shortgrain: ") and "panicked" not in ran.stderr:
        return file, "refused: " + reason(ran.stderr.splitlines()[0]), took, None
    return file, f"crashed ({ran.returncode})", took, None


# What a refusal names, by words of its sentence.
REASONS = [
    ("is open:", "an outline that is open"),
    ("crosses itself", "an outline that crosses itself"),
    ("nothing visible is drawn", "nothing visible"),
    ("nothing is drawn", "nothing drawn"),
    ("the least that is read", "a speck under 1 mm"),
    ("hides part of this shape", "a mask or a clip path that cannot be followed"),
    ("a clip path cuts through this line", "a line cut by a clip path"),
    ("still text", "text"),
    ("leaves the shape without area", "a shape without extent"),
    ("has no", "a shape without extent"),
    ("cannot be read", "an attribute that cannot be read"),
]


def reason(line):
    return next((name for words, name in REASONS if words in line), "other: " + line[-60:])


def other_area(file):
    """The area another reader finds, in mm², or None for what it does not read."""
    import svgelements
    from shapely.ops import unary_union

    import drawing

    if file.suffix != ".svg":
        return None
    text = file.read_text()
    if "stroke=" in text or "<use" in text or "clip" in text or "<style" in text or "mask" in text:
        return None
    document = svgelements.SVG.parse(str(file), reify=False)
    box = re.search(r'viewBox="\s*[-\d.]+[ ,]+[-\d.]+[ ,]+([\d.]+)', text)
    wide = 400.0 if "400mm" in text[:200] else WIDE
    scale = wide / float(document.width if document.width else box[1])
    parts = []
    for element in document.elements():
        if isinstance(element, svgelements.Shape):
            rings = drawing.flatten(svgelements.Path(*element.segments(transformed=True)), 0.002 / scale)
            rings = [ring for ring in rings if len(ring) > 2]
            rule = element.values.get("fill-rule", "nonzero")
            if rings:
                parts.append(drawing.even_odd(rings) if rule == "evenodd" else nonzero(rings))
    return unary_union(parts).area * scale * scale if parts else None


def nonzero(rings):
    """Faces by their winding number, which works for rings that cross too."""
    import numpy
    from shapely import polygonize
    from shapely.geometry import LineString
    from shapely.ops import unary_union

    lines = unary_union([LineString([*ring, ring[0]]) for ring in rings])
    wood = []
    for face in polygonize([lines]).geoms:
        at = face.representative_point()
        turns = 0
        for ring in rings:
            p = numpy.array([*ring, ring[0]])
            up = (p[:-1, 1] <= at.y) & (p[1:, 1] > at.y)
            down = (p[:-1, 1] > at.y) & (p[1:, 1] <= at.y)
            side = (p[1:, 0] - p[:-1, 0]) * (at.y - p[:-1, 1]) - (at.x - p[:-1, 0]) * (p[1:, 1] - p[:-1, 1])
            turns += int((up & (side > 0)).sum()) - int((down & (side < 0)).sum())
        if turns:
            wood.append(face)
    return unary_union(wood)


def by_hash(files, count):
    """The same sample each time."""
    return sorted(files, key=lambda file: hashlib.sha1(file.name.encode()).digest())[:count]


def main():
    folder = Path(sys.argv[1]).resolve()
    few = "--few" in sys.argv[2:]
    folder.mkdir(parents=True, exist_ok=True)
    sets = []
    for name, version, where in ICONS:
        sets.append((f"{name} {version}", sorted(npm(folder, name, version).glob(where))))
    for name, _ in FONTS:
        place, version = fonts(folder, name)
        sets.append((f"glyphs of {name} {version}", glyphs(place, folder / f"{name}-glyphs")))
    rows, reasons, areas = [], Counter(), {}
    for name, files in sets:
        files = by_hash(files, 40) if few else files
        with ThreadPoolExecutor(2) as pool:
            done = list(pool.map(read, files))
            answered = [file for file, outcome, _, _ in done if outcome == "answered"]
            checked = list(pool.map(check, by_hash(answered, 3 if few else CHECKED)))
        counts = Counter(outcome.split(":")[0].split(" (")[0] for _, outcome, _, _ in done)
        whole = Counter(outcome.split(":")[0].split(" (")[0] for _, outcome, _, _ in checked)
        reasons.update(outcome for _, outcome, _, _ in done if outcome.startswith("refused"))
        slow = [max((took for _, _, took, _ in runs), default=0.0) for runs in (done, checked)]
        rows.append((name, len(files), counts, slow[0], whole, slow[1]))
        areas |= {file: area for file, outcome, _, area in done if outcome == "answered"}
        print(name, len(files), dict(counts), f"slowest {slow[0]:.2f} s; checked", dict(whole), f"slowest {slow[1]:.1f} s", flush=True)
        for file, outcome, _, _ in done + checked:
            if outcome.startswith(("crashed", "hangs", "refused: other")):
                print("  ", file, outcome, flush=True)
    compared, worst, apart = 0, 0.0, []
    for file in by_hash(areas, len(areas)):
        if compared == (50 if few else SAMPLE):
            break
        other = other_area(file)
        if other:
            compared += 1
            off = abs(areas[file] / other - 1)
            worst = max(worst, off)
            if off > 1e-3:
                apart.append((file.name, areas[file], other))
    print(f"areas: {compared} compared, worst {100 * worst:.4f} %, {len(apart)} over 0.1 %", *apart[:20], sep="\n  ")
    for outcome, count in reasons.most_common():
        print(count, outcome)
    if not few:
        write(rows, reasons, compared, worst, apart)


def write(rows, reasons, compared, worst, apart):
    lines = [
        "# Large sets of outlines",
        "",
        "Made by `tests/corpora.py` from drawings that others made for other ends. Every one is read, an icon's page taken as",
        f"{WIDE:g} mm wide and a glyph's capitals as 100 mm high; a fifth of the glyphs are written as DXF, in lines and splines. Of each set",
        f"{CHECKED}, chosen by the hash of their names, are checked with the solid model, in cherry 12 mm thick.",
        "",
        "| set | drawings | read | refused | crashed | hung | slowest | checked | crashed | hung | slowest |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    total = Counter()
    for name, there, counts, slow, whole, slow_check in rows:
        ends = [counts["answered"], counts["refused"], counts["crashed"], counts["hangs"]]
        checks = [whole["answered"], whole["crashed"], whole["hangs"]]
        lines.append(
            f"| {name} | {there} | {' | '.join(map(str, ends))} | {slow:.2f} s | {' | '.join(map(str, checks))} | {slow_check:.1f} s |"
        )
        total.update(there=there, read=ends[0], refused=ends[1], crashed=ends[2], hung=ends[3], checked=checks[0])
    sums = [total[k] for k in ("there", "read", "refused", "crashed", "hung")]
    lines += [f"| all | {' | '.join(map(str, sums))} | | {total['checked']} | | | |", ""]
    lines += ["What the refusals name:", "", "| drawings | reason |", "|---|---|"]
    lines += [f"| {count} | {outcome.removeprefix('refused: ')} |" for outcome, count in reasons.most_common()]
    lines += [
        "",
        "Open outlines are icons drawn in strokes: the width of a line is never wood, and a line whose ends do not meet encloses nothing.",
        "",
        f"Areas against another reader (svgelements and shapely) on {compared} of those answered: the worst differs by "
        f"{100 * worst:.3f} %; {len(apart)} by more than 0.1 %. Compared",
        "are SVGs of filled shapes without strokes, style sheets, `use` and clip paths, which the other reader does not follow.",
        "",
    ]
    (ROOT / "docs" / "corpora.md").write_text("\n".join(lines))


if __name__ == "__main__":
    main()
