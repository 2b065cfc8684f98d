#!/usr/bin/env python3
"""Draws the sample designs of this folder and the two bench drawings, always with the same bytes.

    python3 shapes/draw.py                  remake every file
    python3 shapes/draw.py --check          say which files differ from what would be drawn
    python3 shapes/draw.py --points 100000  print the pierced disc with that many boundary points

Everything is built from straight lines and circular arcs of our own, numerals and letters too. Each
sample is written the way one or another drawing program leaves it: filled or unfilled, arcs or
cubics, millimetres, inches or pixels, plain, transformed or reused, so that the reader is exercised.
"""

import argparse
import math
import sys
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
BENCHES = FOLDER.parent / "benches" / "shapes"


def number(value, places=4):
    """A coordinate as text: fixed places, no trailing zeros, no negative zero."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


# ---------------------------------------------------------------------------------------------
# Rings: closed outlines of lines and arcs. x right, y down, as the files are.


class Line:
    """From the point before to `end`."""

    def __init__(self, end):
        self.end = end

    def moved(self, place):
        return Line(place(self.end))

    def svg(self, _start, scale):
        return f"L{number(self.end[0] * scale)},{number(self.end[1] * scale)}"

    def length(self, start):
        return math.dist(start, self.end)

    def points(self, start, count):
        """`count` points after `start`, evenly spaced, the last one the end."""
        (x0, y0), (x1, y1) = start, self.end
        return [(x0 + (x1 - x0) * k / count, y0 + (y1 - y0) * k / count) for k in range(1, count + 1)]


class Arc:
    """About `centre` to `end`; clockwise means clockwise as seen on the page."""

    def __init__(self, centre, end, clockwise):
        self.centre, self.end, self.clockwise = centre, end, clockwise

    def moved(self, place):
        # A mirror turns the sense of the arc; two more points tell whether `place` is one.
        o, x, y = place((0, 0)), place((1, 0)), place((0, 1))
        mirror = (x[0] - o[0]) * (y[1] - o[1]) - (x[1] - o[1]) * (y[0] - o[0]) < 0
        return Arc(place(self.centre), place(self.end), self.clockwise != mirror)

    def sweep(self, start):
        a = math.atan2(start[1] - self.centre[1], start[0] - self.centre[0])
        b = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        turn = (b - a) % math.tau if self.clockwise else -((a - b) % math.tau)
        return a, turn

    def radius(self):
        return math.dist(self.centre, self.end)

    def svg(self, start, scale):
        # A half turn is exactly that: rounding must not decide the flag.
        large = int(abs(self.sweep(start)[1]) > math.pi + 1e-9)
        r = number(self.radius() * scale)
        end = f"{number(self.end[0] * scale)},{number(self.end[1] * scale)}"
        return f"A{r},{r} 0 {large} {int(self.clockwise)} {end}"

    def length(self, start):
        return abs(self.sweep(start)[1]) * self.radius()

    def points(self, start, count):
        a, turn = self.sweep(start)
        (cx, cy), r = self.centre, self.radius()
        between = [
            (cx + r * math.cos(a + turn * k / count), cy + r * math.sin(a + turn * k / count))
            for k in range(1, count)
        ]
        return between + [self.end]


class Ring:
    """A closed outline, drawn pen-wise: `Ring(0, 0).to(10, 0).about(10, 5, 10, 10)`."""

    def __init__(self, x, y):
        self.start, self.parts = (x, y), []

    def end(self):
        return self.parts[-1].end if self.parts else self.start

    def to(self, x, y):
        self.parts.append(Line((x, y)))
        return self

    def along(self, *points):
        for x, y in points:
            self.to(x, y)
        return self

    def about(self, cx, cy, x, y, clockwise=True):
        """An arc about (cx, cy) that ends at (x, y)."""
        self.parts.append(Arc((cx, cy), (x, y), clockwise))
        return self

    def moved(self, place):
        ring = Ring(*place(self.start))
        ring.parts = [part.moved(place) for part in self.parts]
        return ring

    def at(self, dx, dy):
        return self.moved(lambda p: (p[0] + dx, p[1] + dy))

    def mirrored(self, x=0.0):
        """Mirrored about the upright line at `x`."""
        return self.moved(lambda p: (2 * x - p[0], p[1]))

    def upside_down(self, y=0.0):
        return self.moved(lambda p: (p[0], 2 * y - p[1]))

    def turned(self, degrees):
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return self.moved(lambda p: (p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos))

    def sides(self):
        """Each part with the point it starts from, the closing line included."""
        start, sides = self.start, []
        for part in self.parts:
            sides.append((start, part))
            start = part.end
        if math.dist(start, self.start) > 1e-9:
            sides.append((start, Line(self.start)))
        return sides

    def svg(self, scale=1.0):
        text = f"M{number(self.start[0] * scale)},{number(self.start[1] * scale)}"
        start = self.start
        for part in self.parts:
            text += " " + part.svg(start, scale)
            start = part.end
        return text + " Z"

    def length(self):
        return sum(part.length(start) for start, part in self.sides())

    def polyline(self, count):
        """About `count` points, every corner kept, the rest as even as that allows."""
        sides, whole = self.sides(), self.length()
        shares = [max(1, round(count * part.length(start) / whole)) for start, part in sides]
        longest = max(range(len(sides)), key=lambda k: sides[k][1].length(sides[k][0]))
        shares[longest] = max(1, shares[longest] + count - sum(shares))
        points = []
        for (start, part), share in zip(sides, shares):
            points += part.points(start, share)
        return points


def rectangle(x, y, w, h, r=0.0):
    """From the corner (x, y), with round corners if `r` is not zero; clockwise on the page."""
    if r == 0:
        return Ring(x, y).along((x + w, y), (x + w, y + h), (x, y + h))
    return (
        Ring(x + r, y)
        .to(x + w - r, y).about(x + w - r, y + r, x + w, y + r)
        .to(x + w, y + h - r).about(x + w - r, y + h - r, x + w - r, y + h)
        .to(x + r, y + h).about(x + r, y + h - r, x, y + h - r)
        .to(x, y + r).about(x + r, y + r, x + r, y)
    )


def disc(cx, cy, d, clockwise=True):
    r = d / 2
    return Ring(cx - r, cy).about(cx, cy, cx + r, cy, clockwise).about(cx, cy, cx - r, cy, clockwise)


def round_height(radius, x):
    """How far a circle of `radius` reaches at `x` from its middle."""
    return math.sqrt(radius * radius - x * x)


def waist(cy1, r1, cy2, r2):
    """Where two circles, one above the other on x = 0, cross: the point at positive x."""
    d = cy2 - cy1
    y = (d * d + r1 * r1 - r2 * r2) / (2 * d)
    return round_height(r1, y), cy1 + y


# ---------------------------------------------------------------------------------------------
# Pierced figures: openings in the wood. Their counters are islands on upright bridges.


def pierced_one(h, s):
    """A stem and a flag, width two strokes, from (0, 0)."""
    return [Ring(s, 0).along((2 * s, 0), (2 * s, h), (s, h), (s, 1.3 * s), (0, 2.3 * s), (0, s))]


def pierced_zero(w, h, s, b):
    """An upright stadium ring of stroke `s`, cut by bridges `b` wide at its top and bottom."""
    ro, ri, x = w / 2, w / 2 - s, b / 2
    yo, yi = ro - round_height(ro, x), ro - round_height(ri, x)
    right = (
        Ring(x, yo).about(0, ro, ro, ro).to(ro, h - ro).about(0, h - ro, x, h - yo)
        .to(x, h - yi).about(0, h - ro, ri, h - ro, False).to(ri, ro).about(0, ro, x, yi, False)
    )
    return [right.at(w / 2, 0), right.mirrored().at(w / 2, 0)]


def pierced_eight(d1, d2, s, b):
    """Two round rings that share a stroke, cut by three bridges on their common upright line.

    The height is d1 + d2 - s, the width d2. Each half is one opening of three bars.
    """
    h, x = d1 + d2 - s, b / 2
    r1, r2 = d1 / 2, d2 / 2
    c1, c2 = r1, h - r2
    i1, i2 = r1 - s, r2 - s
    wx, wy = waist(c1, r1, c2, r2)
    right = (
        Ring(x, c1 - round_height(r1, x)).about(0, c1, wx, wy).about(0, c2, x, c2 + round_height(r2, x))
        .to(x, c2 + round_height(i2, x)).about(0, c2, x, c2 - round_height(i2, x), False)
        .to(x, c1 + round_height(i1, x)).about(0, c1, x, c1 - round_height(i1, x), False)
    )
    return [right.at(r2, 0), right.mirrored().at(r2, 0)]


class Four:
    """The corners of a 4 of height h, width w, stroke s: slant, bar and stem."""

    def __init__(self, w, h, s):
        self.w, self.h, self.s = w, h, s
        self.left, self.right = w - 2.05 * s, w - 1.05 * s  # the stem
        self.top = self.left - 0.45 * s  # where the slant meets the top
        self.bar = 0.63 * h  # the bar's upper edge
        self.rise = self.bar / self.top
        self.inward = s * math.hypot(1, self.rise)  # the slant's inner edge lies this far below

    def outer(self, x):
        """The slant's outer edge at x."""
        return self.bar - self.rise * x

    def inner(self, x):
        return self.outer(x) + self.inward

    def counter(self):
        """The corners of the counter: left, right, top."""
        return (self.inward / self.rise, self.bar), (self.left, self.bar), (self.left, self.inner(self.left))


def pierced_four(w, h, s, b):
    """A closed 4 whose counter hangs on two bridges beside the stem, above it and below."""
    f = Four(w, h, s)
    corner = f.counter()[0]
    x, below = f.left - b, f.bar + s
    slant = Ring(0, f.bar).along((x, f.outer(x)), (x, f.inner(x)), corner, (x, f.bar), (x, below), (0, below))
    stem = Ring(f.left, 0).along(
        (f.right, 0), (f.right, f.bar), (w, f.bar), (w, below), (f.right, below), (f.right, h), (f.left, h)
    )
    return [slant, stem]


# ---------------------------------------------------------------------------------------------
# Pierced letters, height h, stroke s. Their counters are islands on level bridges b high.


def bowl_top(xs, h, s, b):
    """The upper half of a closed bowl of height `h`, from the stem to the bridges at half height."""
    ro, ri, y = h / 2, h / 2 - s, (h - b) / 2
    return (
        Ring(0, 0).to(xs, 0).about(xs, ro, xs + round_height(ro, b / 2), y)
        .to(xs + round_height(ri, b / 2), y).about(xs, ro, xs, s, False).along((s, s), (s, y), (0, y))
    )


def letter_d(h, s, b):
    upper = bowl_top(0.33 * h, h, s, b)
    return [upper, upper.upside_down(h / 2)]


def letter_b(h, s, b):
    xs, hu = 0.33 * h, 0.53 * (h + s) - s * 0.25
    hl = h + s - hu
    ru, rl, cu, cl = hu / 2, hl / 2, hu / 2, h - hl / 2
    wx, wy = waist(cu, ru, cl, rl)
    y1, y2, half = cu + b / 2, cl - b / 2, b / 2
    middle = (
        Ring(0, y1).along((s, y1), (s, hu - s), (xs, hu - s)).about(xs, cu, xs + round_height(ru - s, half), y1, False)
        .to(xs + round_height(ru, half), y1).about(xs, cu, xs + wx, wy).about(xs, cl, xs + round_height(rl, half), y2)
        .to(xs + round_height(rl - s, half), y2).about(xs, cl, xs, hu, False).along((s, hu), (s, y2), (0, y2))
    )
    return [bowl_top(xs, hu, s, b), middle, bowl_top(xs, hl, s, b).upside_down(hl / 2).at(0, h - hl)]


def bowl_bottom(h, hp, s, b, leg):
    """The lower half of a bowl of height `hp` on a stem, with an R's leg or without one."""
    xs, r, y = 0.4 * h, hp / 2, (hp + b) / 2
    ring = (
        Ring(0, y).along((s, y), (s, hp - s), (xs, hp - s))
        .about(xs, r, xs + round_height(r - s, b / 2), y, False).to(xs + round_height(r, b / 2), y)
        .about(xs, r, xs, hp)
    )
    if leg:
        width = s * math.hypot(1, r / (h - hp))
        ring.along((xs + r, h), (xs + r - width, h), (xs - width, hp))
    return ring.along((s, hp), (s, h), (0, h))


def letter_p(h, s, b):
    hp = 0.56 * h
    return [bowl_top(0.4 * h, hp, s, b), bowl_bottom(h, hp, s, b, leg=False)]


def letter_r(h, s, b):
    hp = 0.56 * h
    return [bowl_top(0.4 * h, hp, s, b), bowl_bottom(h, hp, s, b, leg=True)]


def on_circle(cx, cy, r, degrees):
    return cx + r * math.cos(math.radians(degrees)), cy + r * math.sin(math.radians(degrees))


def letter_c(h, s):
    r, c = h / 2, h / 2
    return [
        Ring(*on_circle(c, c, r, -45)).about(c, c, *on_circle(c, c, r, 45), False)
        .to(*on_circle(c, c, r - s, 45)).about(c, c, *on_circle(c, c, r - s, -45))
    ]


def letter_s(h, s):
    m = (h - s) / 4  # mean radius of both bows
    ro, ri, c1, c2 = m + s / 2, m - s / 2, m + s / 2, 3 * m + s / 2
    return [
        Ring(*on_circle(ro, c1, ro, -20)).about(ro, c1, ro, c1 + ro, False)
        .about(ro, c2, *on_circle(ro, c2, ri, 160))
        .to(*on_circle(ro, c2, ro, 160)).about(ro, c2, ro, c2 - ro, False)
        .about(ro, c1, *on_circle(ro, c1, ri, -20))
    ]


# ---------------------------------------------------------------------------------------------
# Files


def path(rings, scale=1.0, indent="  ", **attributes):
    """One path element of several rings."""
    named = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
    data = f"\n{indent}   ".join(ring.svg(scale) for ring in rings)
    return f'{indent}<path{named}\n{indent}   d="{data}"/>'


def svg(width, height, view, title, body):
    """A whole file; `width` and `height` carry their unit."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="{view}">\n'
        f"  <title>{title}</title>\n{body}\n</svg>\n"
    )


def house_number():
    """One filled path, even-odd, in a group that is moved."""
    plaque = rectangle(0, 0, 305, 152, 6)
    screws = [disc(25, 76, 5), disc(280, 76, 5)]
    four, zero, eight = pierced_four(72, 102, 12.7, 6.4), pierced_zero(66, 102, 12.7, 6.4), pierced_eight(54, 60.7, 12.7, 6.4)
    gap, x = 17.0, (305 - 72 - 66 - 60.7 - 2 * 17.0) / 2
    rings = [plaque] + screws
    for figure, width in ((four, 72), (zero, 66), (eight, 60.7)):
        rings += [ring.at(x, 25) for ring in figure]
        x += width + gap
    body = '  <g id="house-number-408" transform="translate(5 5)">\n'
    body += path(rings, indent="    ", id="plaque", fill="#000000", fill_rule="evenodd") + "\n  </g>"
    return svg("315mm", "162mm", "0 0 315 162", "House number 408", body)


def marker(openings):
    """A head disc on a stake, its pierced letter in the middle of the head, from (0, 0)."""
    c, r = 25.5, 25.5
    shoulder = c + round_height(r, 9.5)
    outline = (
        Ring(c - 9.5, shoulder).about(c, c, c + 9.5, shoulder)
        .to(c + 3, 175).about(c, 175, c - 3, 175)
    )
    xs = [p[0] for ring in openings for p in ring.polyline(200)]
    dx = c - (min(xs) + max(xs)) / 2
    return [outline] + [ring.at(dx, c - 15) for ring in openings]


def planter_markers():
    """Six pieces in one file, each a group with its own transform, styled by a class."""
    letters = {
        "B": letter_b(30, 4, 3.2), "C": letter_c(30, 4), "D": letter_d(30, 4, 3.2),
        "P": letter_p(30, 4, 3.2), "R": letter_r(30, 4, 3.2), "S": letter_s(30, 4),
    }
    body = "  <style>.wood { fill: #1a1a1a; fill-rule: evenodd; stroke: none }</style>"
    for k, (name, openings) in enumerate(letters.items()):
        body += f'\n  <g id="marker-{name}" transform="translate({number(5 + 58 * k)},5)">\n'
        body += path(marker(openings), indent="    ", **{"class": "wood"}) + "\n  </g>"
    return svg("351mm", "188mm", "0 0 351 188", "Planter markers B C D P R S", body)


def clock_dial():
    """In inches: a rim, a hub and one spoke used twelve times, all overlapping."""
    rim = path([disc(0, 0, 10), disc(0, 0, 8.5)], indent="    ", id="rim", fill_rule="evenodd")
    hub = path([disc(0, 0, 3), disc(0, 0, 0.3125)], indent="    ", id="hub", fill_rule="evenodd")
    spokes = "\n".join(
        f'    <use href="#spoke" transform="rotate({30 * k})"/>' for k in range(1, 12)
    )
    body = (
        '  <g id="dial" transform="translate(5.25,5.25) rotate(15)" fill="black">\n'
        f"{rim}\n{hub}\n"
        '    <rect id="spoke" x="1.25" y="-0.1875" width="3.25" height="0.375"/>\n'
        f"{spokes}\n  </g>"
    )
    return svg("10.5in", "10.5in", "0 0 10.5 10.5", "Open clock dial", body)


KAPPA = 4 / 3 * math.tan(math.pi / 8)


def cubic_disc(cx, cy, d, scale=1.0, clockwise=True):
    """A circle as four cubics, the way many programs leave it: 0.03 % of the radius out."""
    r, k = d / 2, KAPPA * d / 2
    quarters = [(1, 0, 0, 1), (0, 1, -1, 0), (-1, 0, 0, -1), (0, -1, 1, 0)]
    if not clockwise:
        quarters = [(x, -y, u, -v) for x, y, u, v in quarters]
    place = lambda x, y: f"{number((cx + x) * scale)},{number((cy + y) * scale)}"
    text = f"M{place(quarters[0][0] * r, quarters[0][1] * r)}"
    for x, y, u, v in quarters:
        text += f" C{place(x * r + u * k, y * r + v * k)} {place(u * r + x * k, v * r + y * k)} {place(u * r, v * r)}"
    return text + " Z"


def kidney(middle, width, web):
    """A slot of `width` on the circle of radius `middle`, its round ends leaving webs of `web`."""
    r, half = width / 2, math.degrees(math.asin((width + web) / 2 / middle))
    a, b = half - 90, 30 - half

    def cap(ring, angle, onward, radius):
        # Two quarter turns: a half turn's middle is lost when its ends are rounded.
        x, y = on_circle(0, 0, middle, angle)
        ring.about(x, y, *on_circle(x, y, r, angle + onward))
        return ring.about(x, y, *on_circle(0, 0, radius, angle))

    ring = Ring(*on_circle(0, 0, middle + r, a)).about(0, 0, *on_circle(0, 0, middle + r, b))
    cap(ring, b, 90, middle - r).about(0, 0, *on_circle(0, 0, middle - r, a), False)
    return cap(ring, a, -90, middle + r)


def game_token():
    """In pixels with no unit written, the rim as cubics and the slots as arcs."""
    scale = 96 / 25.4
    slots = [kidney(12.0, 8.0, 3.2).turned(120 * k).at(23, 23) for k in range(3)]
    data = cubic_disc(23, 23, 44, scale) + "\n     " + "\n     ".join(ring.svg(scale) for ring in slots)
    body = f'  <path id="token" style="fill:#222;fill-rule:evenodd"\n     d="{data}"/>'
    size = number(46 * scale)
    return svg(size, size, f"0 0 {size} {size}", "Game token", body)


def drawer_label():
    """Unfilled outlines: what is wood follows from which outline lies in which."""
    body = (
        '  <g id="label" fill="none" stroke="#d00" stroke-width="0.2">\n'
        '    <rect id="frame" x="5" y="5" width="76" height="44" rx="3"/>\n'
        '    <rect id="window" x="14.5" y="19" width="57" height="16" rx="1.5" ry="1.5"/>\n  </g>'
    )
    return svg("86mm", "54mm", "0 0 86 54", "Drawer label", body)


def coat_hook(*figures):
    """A disc about its own middle with a hole above its figures, each (rings, width), 9 apart."""
    x = -(sum(width for _, width in figures) + 9 * (len(figures) - 1)) / 2
    rings = [disc(0, 0, 102), disc(0, -34, 16)]
    for figure, width in figures:
        rings += [ring.at(x, -16) for ring in figure]
        x += width + 9
    return rings


def coat_hook_10():
    """A filled path, even-odd, drawn about its own middle and moved there by a matrix."""
    rings = coat_hook((pierced_one(46, 8), 16), (pierced_zero(30, 46, 8, 5), 30))
    body = '  <g transform="matrix(1 0 0 1 55 55)">\n'
    body += path(rings, indent="    ", id="disc-10", fill="#000", fill_rule="evenodd") + "\n  </g>"
    return svg("110mm", "110mm", "0 0 110 110", "Coat-hook disc 10", body)


def coat_hooks():
    """Four discs of the set, for docs/guide.md: a group each, side by side."""
    one, zero = (pierced_one(46, 8), 16), (pierced_zero(30, 46, 8, 5), 30)
    four, eight = (pierced_four(34, 46, 8, 5), 34), (pierced_eight(25, 29, 8, 5), 29)
    body = []
    for k, (name, figures) in enumerate((("1", [one]), ("4", [four]), ("8", [eight]), ("10", [one, zero]))):
        rings = path(coat_hook(*figures), indent="    ", fill="#000", fill_rule="evenodd")
        body.append(f'  <g id="hook-{name}" transform="translate({55 + 110 * k} 55)">\n{rings}\n  </g>')
    return svg("440mm", "110mm", "0 0 440 110", "Coat-hook discs 1, 4, 8 and 10", "\n".join(body))


def cut_two():
    """A bow that runs out in a slant, and a foot."""
    s, c, ro, ri, turn = 8, 20, 20, 12, 40
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    reach = lambda r: (60 - c - r * sin) / cos  # along the slant to the middle of the foot
    low = lambda r: (c + r * cos - sin * reach(r), 60)
    bow = (
        Ring(0, c).about(c, c, *on_circle(c, c, ro, turn)).to(*low(ro)).to(*low(ri))
        .to(*on_circle(c, c, ri, turn)).about(c, c, c - ri, c, False)
    )
    return [bow, rectangle(0, 64 - s, 42, s)]


def cut_four():
    f = Four(46, 64, 8)
    below = f.bar + f.s
    outline = Ring(0, f.bar).along(
        (f.top, 0), (f.right, 0), (f.right, f.bar), (f.w, f.bar), (f.w, below), (f.right, below),
        (f.right, f.h), (f.left, f.h), (f.left, below), (0, below),
    )
    p1, p2, p3 = f.counter()
    return [outline, Ring(*p1).along(p3, p2)]


def cut_five():
    c = (18, 44)
    return [
        Ring(0, 0).along((36, 0), (36, 8), (8, 8), (8, 24), (18, 24)).about(*c, *on_circle(*c, 20, 150))
        .to(*on_circle(*c, 12, 150)).about(*c, 18, 32, False).to(0, 32)
    ]


def cut_seven():
    # The slant is 8 wide square to its run; across the page that is 8·√(1 + slope²).
    slope = (40 - 20) / 56
    wide = 8 * math.hypot(1, slope)
    return [Ring(0, 0).along((40, 0), (40, 8), (20, 64), (20 - wide, 64), (40 - wide, 8), (0, 8))]


def choir_numerals():
    """Four cut-out figures; the 2 is two overlapping elements, the rest one path each."""
    body = '  <g id="figures" fill="#333">'
    for k, (name, rings) in enumerate((("two", cut_two()), ("four", cut_four()), ("five", cut_five()), ("seven", cut_seven()))):
        body += f'\n    <g id="{name}" transform="translate({5 + 54 * k} 5)">\n'
        if name == "two":
            body += "\n".join(path([ring], indent="      ") for ring in rings)
        else:
            body += path(rings, indent="      ", fill_rule="evenodd")
        body += "\n    </g>"
    return svg("220mm", "74mm", "0 0 220 74", "Choir-stall numerals 2 4 5 7", body + "\n  </g>")


def bee_hive():
    """Unfilled: a plate outline, and one hexagon used for every cell of the lattice."""
    flats, web = 22.0, 4.8
    pitch = flats + web
    r = flats / math.sqrt(3)
    corners = " ".join(f"{number(x)},{number(y)}" for x, y in (on_circle(0, 0, r, 60 * k) for k in range(6)))
    column = pitch * math.sqrt(3) / 2
    wide, tall = 6 * column + 2 * r + 30, 4.5 * pitch - web + 30
    cells = []
    for i in range(7):
        for j in range(4):
            x = 5 + 15 + r + i * column
            y = 5 + 15 + flats / 2 + j * pitch + (pitch / 2 if i % 2 else 0)
            cells.append(f'    <use href="#cell" x="{number(x)}" y="{number(y)}"/>')
    body = (
        f'  <defs>\n    <polygon id="cell" points="{corners}"/>\n  </defs>\n'
        '  <g id="hive-plate" fill="none" stroke="black" stroke-width="0.1">\n'
        f'    <rect id="plate" x="5" y="5" width="{number(wide)}" height="{number(tall)}" rx="4"/>\n'
        + "\n".join(cells) + "\n  </g>"
    )
    w, h = number(wide + 10), number(tall + 10)
    return svg(f"{w}mm", f"{h}mm", f"0 0 {w} {h}", "Bee-hive plate", body)


def crystal_arm():
    """One arm with two pairs of barbs at 60 degrees, welded into one outline, along +x."""
    half, barb = 2.4, 2.0
    cos, sin = math.cos(math.radians(60)), math.sin(math.radians(60))
    upper = []  # the side with y < 0, from the root outwards
    for root, long in ((24.0, 15.0), (37.0, 10.0)):
        # The barb's axis starts at (root, 0); its two edges leave the arm's edge y = -half.
        near = root + half * cos / sin - barb / sin
        far = root + half * cos / sin + barb / sin
        tip = (root + long * cos, -long * sin)
        upper += [(near, -half), (tip[0] - barb * sin, tip[1] - barb * cos), (tip[0] + barb * sin, tip[1] + barb * cos), (far, -half)]
    upper += [(51.0, -half)]
    lower = [(x, -y) for x, y in reversed(upper)]
    return Ring(0, -half).along(*upper, *lower, (0, half))


def snow_crystal():
    """A hexagon and one arm used six times about the middle, all overlapping."""
    hexagon = Ring(*on_circle(0, 0, 12, 0)).along(*(on_circle(0, 0, 12, 60 * k) for k in range(1, 6)))
    arms = "\n".join(f'    <use href="#arm" transform="rotate({60 * k})"/>' for k in range(6))
    body = (
        "  <defs>\n" + path([crystal_arm()], indent="    ", id="arm") + "\n  </defs>\n"
        '  <g id="crystal" transform="translate(55,50)" fill="black">\n'
        + path([hexagon], indent="    ", id="heart") + f"\n{arms}\n  </g>"
    )
    return svg("110mm", "100mm", "0 0 110 100", "Snow crystal", body)


def tray_tile(socket, knob):
    """A tile 50 x 76 with a socket in its left side, a knob on a 6.4 neck at its right, or both.

    The knob is 16 across and its neck 5 long; the socket is 0.25 larger all round.
    """
    w, h, y, neck, d, long, play = 50.0, 76.0, 38.0, 6.4, 16.0, 5.0, 0.25
    ring = Ring(4, 0).to(w - 4, 0).about(w - 4, 4, w, 4)
    if knob:
        half, r = neck / 2, d / 2
        cx = w + long + round_height(r, half)
        ring.to(w, y - half).to(w + long, y - half).about(cx, y, w + long, y + half).to(w, y + half)
    ring.to(w, h - 4).about(w - 4, h - 4, w - 4, h).to(4, h).about(4, h - 4, 0, h - 4)
    if socket:
        half, r = neck / 2 + play, d / 2 + play
        cx = long + round_height(d / 2, neck / 2)
        x = cx - round_height(r, half)
        ring.to(0, y + half).to(x, y + half).about(cx, y, x, y - half, False).to(0, y - half)
    return ring.to(0, 4).about(4, 4, 4, 0)


def number_tray():
    """Three tiles of the row 0-9: the first, one of the middle ones, the last (upside down and turned back)."""
    body = '  <g id="tray" style="fill:black">'
    for name, ring, x in (("tile-0", tray_tile(False, True), 5), ("tile-1", tray_tile(True, True), 95), ("tile-9", tray_tile(True, False), 185)):
        if name == "tile-9":
            # Stored turned by half a turn, as a copied and rotated drawing is.
            ring = ring.moved(lambda p: (50 - p[0], 76 - p[1]))
            body += "\n" + path([ring], indent="    ", id=name, transform=f"translate({x},5) rotate(180 25 38)")
        else:
            body += "\n" + path([ring], indent="    ", id=name, transform=f"translate({x},5)")
    return svg("240mm", "86mm", "0 0 240 86", "Number tray tiles", body + "\n  </g>")


def pasta_gauge():
    """Nonzero fill: the outline one way round, four holes the other, all curves cubic."""
    outline = rectangle(5, 5, 229, 83, 12).svg()
    diameters, gaps = (26, 38, 52, 70), (9.8, 8.6, 8.6, 8.6)
    x, holes = 5.0, []
    for d, gap in zip(diameters, gaps):
        x += gap + d / 2
        holes.append(cubic_disc(x, 46.5, d, clockwise=False))
        x += d / 2
    data = outline + "\n     " + "\n     ".join(holes)
    body = f'  <path id="gauge" fill="#000"\n     d="{data}"/>'
    return svg("239mm", "93mm", "0 0 239 93", "Pasta gauge", body)


def router_template():
    """Unfilled: a plate, one keyhole used six times upright and six times turned over."""
    head, slot, long, web = 38.0, 16.0, 44.0, 4.8
    half, r = slot / 2, head / 2
    neck = -round_height(r, half)
    key = (
        Ring(-half, neck).about(0, 0, half, neck, False)  # the long way round, below the head
        .to(half, neck - long + half).about(0, neck - long + half, -half, neck - long + half, False)
    )
    pitch = head + web
    x0, top, bottom = 5 + 305 / 2 - 2.5 * pitch, 5 + 203 / 2 - pitch / 2, 5 + 203 / 2 + pitch / 2
    uses = [f'    <use href="#keyhole" transform="translate({number(x0 + k * pitch)} {number(top)})"/>' for k in range(6)]
    uses += [f'    <use href="#keyhole" transform="translate({number(x0 + k * pitch)} {number(bottom)}) rotate(180)"/>' for k in range(6)]
    body = (
        "  <defs>\n" + path([key], indent="    ", id="keyhole") + "\n  </defs>\n"
        '  <g id="template" fill="none" stroke="#00f" stroke-width="0.25">\n'
        '    <rect id="plate" x="5" y="5" width="305" height="203" rx="10"/>\n' + "\n".join(uses) + "\n  </g>"
    )
    return svg("315mm", "213mm", "0 0 315 213", "Router template", body)


# ---------------------------------------------------------------------------------------------
# Bench drawings: the same kinds of shape as plain polylines of a stated number of points.


def polylines(rings, points):
    """The rings' path data with `points` points in all, shared out by length."""
    whole = sum(ring.length() for ring in rings)
    counts = [max(len(ring.sides()), round(points * ring.length() / whole)) for ring in rings]
    counts[0] += points - sum(counts)
    data = []
    for ring, count in zip(rings, counts):
        text = " ".join(f"{number(x, 6)},{number(y, 6)}" for x, y in ring.polyline(count))
        data.append(f"M{text}Z")
    return "\n     ".join(data)


def pierced_disc(points):
    """A 150 mm disc with an 8 of 6 mm slots; two islands hang on six bridges 8 wide and 6 long.

    The 8 is an upright box 62 x 96 with round corners and a middle bar. Two upright strips, 8 wide,
    cut its top, middle and bottom bars: with level grain every one of the six is short grain.
    """
    s, b, w, h, r = 6.0, 8.0, 62.0, 96.0, 10.0
    x1, x2 = -15.0 - b / 2, -15.0 + b / 2
    mid = h / 2
    left = (  # three bars open to the right, from the top bar's end anticlockwise
        Ring(x1, 0).to(r - w / 2, 0).about(r - w / 2, r, -w / 2, r, False).to(-w / 2, h - r)
        .about(r - w / 2, h - r, r - w / 2, h, False).to(x1, h).to(x1, h - s)
        .to(r - w / 2, h - s).about(r - w / 2, h - r, s - w / 2, h - r).to(s - w / 2, mid + s / 2)
        .to(x1, mid + s / 2).to(x1, mid - s / 2).to(s - w / 2, mid - s / 2).to(s - w / 2, r)
        .about(r - w / 2, r, r - w / 2, s).to(x1, s)
    )
    bars = [rectangle(x2, y, -2 * x2, s) for y in (0.0, mid - s / 2, h - s)]
    rings = [disc(0, 0, 150)] + [ring.at(0, -h / 2) for ring in [left, *bars, left.mirrored()]]
    data = polylines([ring.at(80, 80) for ring in rings], points)
    body = f'  <path id="pierced-disc" fill="black" fill-rule="evenodd"\n     d="{data}"/>'
    return svg("160mm", "160mm", "0 0 160 160", f"Pierced disc, {points} points", body)


def lettered_plate(points):
    """A plate with pierced letters B D R, 50 tall, stroke 6.5, bridges 6 high."""
    rings, x = [rectangle(5, 5, 180, 90, 6)], 27.0
    for letter in (letter_b(50, 6.5, 6), letter_d(50, 6.5, 6), letter_r(50, 6.5, 6)):
        rings += [ring.at(x, 25) for ring in letter]
        x += 52
    data = polylines(rings, points)
    body = f'  <path id="lettered-plate" fill="black" fill-rule="evenodd"\n     d="{data}"/>'
    return svg("190mm", "100mm", "0 0 190 100", f"Lettered plate, {points} points", body)


# ---------------------------------------------------------------------------------------------
# The set: each drawing with its board and what a good answer says of it.


class Sample:
    def __init__(self, name, draw, wood, thickness, answer, grain="0deg", rings="flat",
                 push="45N", why="45 N (10 lbf) is a firm thumb: common practice."):
        self.name, self.draw, self.wood, self.thickness = name, draw, wood, thickness
        self.answer, self.grain, self.rings = answer, grain, rings
        self.push, self.why = push, why

    def board(self):
        return (
            f"# A good answer: {self.answer}\n"
            f'wood = "{self.wood}"\nthickness = "{self.thickness}"\ngrain = "{self.grain}"\nrings = "{self.rings}"\n'
            f'moisture = 8\n# {self.why}\npush = "{self.push}"\nside = "{self.push}"\n'
        )


SAMPLES = [
    Sample("house-number", house_number, "white oak", "19mm",
           "the seven 6.4 mm bridges on top of and below the counters of 4, 0 and 8 are all short grain and lead the list; "
           "twice the width makes a bridge about 3 times stronger from the face, where its counter twists it, and 4 times from the side; "
           "moved to 3 and 9 o'clock the bridges of the 0 run with the grain, are no weak place, and bear 3 times as much where shear governs and about 9 where bending does."),
    Sample("planter-markers", planter_markers, "white oak", "9.5mm",
           "the grain has to follow the stake, so the level bridges of B, D, P and R are the short ones and go first of all that is slender, "
           "the reverse of the house number; as weak or weaker is only the rim where a corner of a letter comes close to it; "
           "the 6 mm tip of the stake is thin too, but long grain and sound.",
           grain="90deg"),
    Sample("clock-dial", clock_dial, "black walnut", "12.7mm",
           "turning does not help: at every grain angle some of the twelve spokes, and the two stretches of rim whose tangent crosses the grain, "
           "are short; a spoke 1.5 times as wide is about 1.5 times stronger from the face and 2.25 times from the side; three-ply cures it.",
           push="65N", why="65 N (15 lbf) is the hand that hangs so big a piece: our own rule."),
    Sample("game-token", game_token, "hard maple", "9.5mm",
           "of the three 3.2 mm webs the one nearest to square across the grain (80 degrees) goes first, and the one at 20 degrees is long grain; "
           "at no grain angle is the worst web under 60 degrees, and the best angle gains a seventh over the worst: turning alone is not enough.",
           grain="10deg"),
    Sample("drawer-label", drawer_label, "black cherry", "6.4mm",
           "the two short sides, 9.5 wide and 16 long, are short-grain bars and equal by symmetry; the long rails are long grain and sound; "
           "turning by 90 degrees puts the 57 mm rails across the grain and is worse."),
    Sample("coat-hook-10", coat_hook_10, "white ash", "12.7mm",
           "the two 5 mm bridges that hold the counter of the 0 come first of all that holds something, and only the sharp tongue under the flag of the 1 "
           "chips as easily; the upright web between 1 and 0 bears well over half as much again; "
           "the counter alone (form island) is held by nothing else; the rim of the disc is sound."),
    Sample("choir-numerals", choir_numerals, "white oak", "6.4mm",
           "with the grain up the figures the foot of the 2 and the bars of 4, 5 and 7 are short grain and come before every upright stem; "
           "the turn of the bow in 2 and 5 crosses the grain as well and, carrying more, goes even before them.",
           grain="90deg"),
    Sample("bee-hive", bee_hive, "hard maple", "9.5mm",
           "webs lie in three directions 60 degrees apart: one third runs with the grain and is sound, the other two thirds cross it at 60 degrees "
           "and are alike; a turn trades which third is safe, and never saves all."),
    Sample("snow-crystal", snow_crystal, "hard maple", "6.4mm",
           "the four arms at 60 degrees to the grain break near their roots at equal pushes, the two along the grain bear several times as much; "
           "no grain angle is good: at best some arm still crosses the grain at 60 degrees, and bears a third more than one square across it."),
    Sample("number-tray", number_tray, "American beech", "19mm",
           "with the grain upright the 6.4 mm necks of the knobs are short grain and go first; turned to run along the row the same necks are long grain "
           "and bear 3 to 11 times as much: here turning is enough for the knobs.",
           grain="90deg"),
    Sample("pasta-gauge", pasta_gauge, "black cherry", "9.5mm",
           "thin is not weak: the 6.5 mm rims beside the big hole run along the grain and are sound, though thinner than any web; "
           "the end rim and the 8.6 mm webs between the holes cross the grain and go first."),
    Sample("router-template", router_template, "hard maple", "12.7mm",
           "the ten upright 4.8 mm webs between neighbouring keyhole heads are short grain, the six level ones between the rows are long grain; "
           "the upright webs go first, the end rims with all they carry bear about twice as much; no turn saves both kinds or gains more than a quarter: the right answer is plywood or three-ply, not solid wood."),
]


def readme():
    lines = [
        "# Sample designs",
        "",
        "Twelve pieces of our own, each in a folder with its drawing and its board, and what a good answer says of it.",
        "All are made by `draw.py` (`python3 shapes/draw.py`), which gives the same bytes every time; edit that, not the files.",
        "What a sample has to show is the order of its weak places and the ratios; verdicts follow from the push its board names.",
        "`coat-hook-10/coat-hooks.svg` holds four discs of that set, which `docs/guide.md` walks from the drawing to the files.",
        "",
    ]
    lines += [f"- **[{s.name}]({s.name}/{s.name}.svg)** ({s.wood}, {s.thickness}, grain {s.grain}): {s.answer}" for s in SAMPLES]
    return "\n".join(lines) + "\n"


def files():
    """Every file by its path, in order."""
    made = {FOLDER / "README.md": readme()}
    for s in SAMPLES:
        made[FOLDER / s.name / f"{s.name}.svg"] = s.draw()
        made[FOLDER / s.name / "board.toml"] = s.board()
    made[FOLDER / "coat-hook-10" / "coat-hooks.svg"] = coat_hooks()
    made[BENCHES / "pierced-disc-3000.svg"] = pierced_disc(3000)
    made[BENCHES / "plate-300.svg"] = lettered_plate(300)
    made[BENCHES / "board.toml"] = Sample(
        "", None, "hard maple", "12.7mm",
        "on the disc the six bridges, 8 mm wide, are the weak places, alike in fours (outer) and twos (middle); on the plate the grain runs with the level bridges.",
    ).board()
    return made


def main():
    parser = argparse.ArgumentParser(description="Draws the sample designs.")
    parser.add_argument("--check", action="store_true", help="compare with the files that stand here; change nothing")
    parser.add_argument("--points", type=int, metavar="N", help="print the pierced disc with N boundary points")
    options = parser.parse_args()
    if options.points is not None:
        if options.points < 60:
            parser.error(f"{options.points} points cannot keep the figure's corners; ask for 60 or more")
        sys.stdout.write(pierced_disc(options.points))
        return 0
    stale = []
    for file, text in files().items():
        if options.check:
            if not file.exists() or file.read_bytes() != text.encode():
                stale.append(str(file.relative_to(FOLDER.parent)))
        else:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode())
    for name in stale:
        print(f"{name} differs from what shapes/draw.py draws; run it and look at the change")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
