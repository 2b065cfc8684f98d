"""Beams and islands on bridges by plain structural analysis, to compare our frame solver with.

    python3 tests/reference/frames.py           remake frames.json
    python3 tests/reference/frames.py --check   compare with it

Every result is found in two ways that share nothing but the input and have to agree: displacements
(stiffness) and finite differences for the beam, displacements and forces (flexibility) for the island,
the series and finite differences for torsion. Straight prismatic bars, bending as Euler and Bernoulli,
torsion as Saint-Venant, no shear flexibility.
"""

import math

import numpy as np
from scipy.sparse import diags, identity, kron
from scipy.sparse.linalg import spsolve

from store import significant, store

# ---------------------------------------------------------------------------------------------
# A beam fixed at both ends under one point load.


def beam_by_stiffness(length, at, load):
    """(moment at the left end, at the right end, under the load): hogging positive at the ends, sagging positive under the load."""
    a, b = at, length - at
    k = np.zeros((6, 6))
    for first, l in ((0, a), (2, b)):
        element = np.array([
            [12, 6 * l, -12, 6 * l], [6 * l, 4 * l * l, -6 * l, 2 * l * l],
            [-12, -6 * l, 12, -6 * l], [6 * l, 2 * l * l, -6 * l, 4 * l * l],
        ]) / l**3
        k[first:first + 4, first:first + 4] += element
    d = np.zeros(6)
    d[2:4] = np.linalg.solve(k[2:4, 2:4], [-load, 0.0])
    r = k @ d
    left, right = r[1], -r[5]
    return left, right, r[0] * a - left


def beam_by_differences(length, at, load, cells):
    """The same by EI w'''' = q on `cells` equal cells with mirrored points for the clamped ends."""
    h = length / cells
    n = cells - 1
    matrix = diags([1.0, -4.0, 6.0, -4.0, 1.0], [-2, -1, 0, 1, 2], shape=(n, n)).tolil()
    matrix[0, 0] += 1  # w(-1) = w(1)
    matrix[n - 1, n - 1] += 1
    q = np.zeros(n)
    k = round(at / h)
    assert math.isclose(k * h, at, rel_tol=1e-12)
    q[k - 1] = -load / h
    w = np.concatenate([[0.0], spsolve(matrix.tocsc(), q * h**4), [0.0]])
    left, right = -2 * w[1] / h**2, -2 * w[-2] / h**2
    return left, right, (w[k - 1] - 2 * w[k] + w[k + 1]) / h**2


def fixed_beam(numerator, denominator):
    at = numerator / denominator
    exact = beam_by_stiffness(1.0, at, 1.0)
    coarse = beam_by_differences(1.0, at, 1.0, denominator * 24)
    fine = beam_by_differences(1.0, at, 1.0, denominator * 48)
    # The differences' error falls with the cell's square: extrapolate.
    differences = [f + (f - c) / 3 for c, f in zip(coarse, fine)]
    assert np.allclose(np.abs(exact), np.abs(differences), rtol=1e-5), (exact, differences)
    left, right, under = exact
    return {
        "load_at": significant(at), "left_end": significant(left), "right_end": significant(right), "under_load": significant(under),
        "by_differences": [significant(abs(value), 6) for value in differences],
    }


def moving_load():
    """The largest end moment as the load moves along, by search over places: 4/27 with the load at 1/3."""
    at = np.linspace(0.0, 1.0, 3001)[1:-1]
    moments = [abs(beam_by_stiffness(1.0, a, 1.0)[0]) for a in at]
    best = int(np.argmax(moments))
    return {"largest_end_moment": significant(moments[best]), "load_at": significant(at[best])}


# ---------------------------------------------------------------------------------------------
# Torsion of a rectangle.


# Odd numbers for the series; their fifth powers leave nothing to count after these.
ODD = np.arange(1, 400, 2)


def torsion_constant(b, t):
    """J of a rectangle by the series."""
    long, short = max(b, t), min(b, t)
    share = short / long
    return long * short**3 * (1 / 3 - 64 / math.pi**5 * share * np.sum(np.tanh(ODD * math.pi / share / 2) / ODD**5))


def torsion(ratio, check=True):
    """For sides a = ratio and b = 1: J/(a b^3), and T/(tau a b^2) at the middle of the long and the short side."""
    n = ODD
    sign = np.where(n % 4 == 1, 1.0, -1.0)
    x = n * math.pi * ratio / 2
    j = torsion_constant(ratio, 1.0)
    # Sums of 1/n^2 converge slowly: the tail of the first is known in closed form.
    long = 1 - 8 / math.pi**2 * np.sum(1 / n**2 / np.cosh(np.minimum(x, 600)))
    short = 8 / math.pi**2 * (0.9159655941772190 + np.sum(sign * (np.tanh(x) - 1) / n**2))  # Catalan's constant
    found = {
        "a_over_b": ratio, "beta": significant(j / ratio), "alpha_long": significant(j / long / ratio),
        "alpha_short": significant(j / short / ratio),
    }
    if check:
        by_differences = torsion_by_differences(ratio)
        assert math.isclose(by_differences, j, rel_tol=2e-4), (ratio, j, by_differences)
        found["beta_by_differences"] = significant(by_differences / ratio, 5)
    return found


def torsion_by_differences(ratio):
    """J from Prandtl's membrane on a square grid, extrapolated from two grids."""
    def once(cells):
        h = 1 / cells
        ny, nx = cells - 1, round(ratio * cells) - 1
        line = lambda m: diags([-1.0, 2.0, -1.0], [-1, 0, 1], shape=(m, m))
        laplace = kron(identity(nx), line(ny)) + kron(line(nx), identity(ny))
        return 2 * spsolve(laplace.tocsc(), np.full(nx * ny, 2 * h * h)).sum() * h * h
    coarse, fine = once(24), once(48)
    return fine + (fine - coarse) / 3


def wood_torsion(b, t, g_along, g_through):
    """A bar with two shear moduli: b wide along the grain (stress to go with g_along), t thick (with g_through).

    Stretched by the roots of its moduli the section is an isotropic one. Gives the stiffness T/twist and
    alpha_through = T/(tau t b^2) at the middle of the walls, alpha_along = T/(tau b t^2) at the middle of the faces.
    """
    wide, thick = b * math.sqrt(g_through), t * math.sqrt(g_along)
    stiffness = torsion_constant(wide, thick) / math.sqrt(g_along * g_through)
    plain = torsion(max(wide, thick) / min(wide, thick), check=False)
    # alpha_short stands with the long side times the short one squared; the wanted one squares the long side.
    ratio = max(wide, thick) / min(wide, thick)
    if thick >= wide:
        through, along = plain["alpha_long"], plain["alpha_short"] / ratio
    else:
        through, along = plain["alpha_short"] / ratio, plain["alpha_long"]
    again = wood_torsion_by_differences(b, t, g_along, g_through)
    for value, other in zip((stiffness, through, along), again):
        assert math.isclose(value, other, rel_tol=2e-3), (b, t, value, other)
    return {
        "width_mm": b, "thickness_mm": t, "g_along_mpa": g_along, "g_through_mpa": g_through,
        "stiffness_n_mm2": significant(stiffness), "alpha_through": significant(through), "alpha_along": significant(along),
    }


def wood_torsion_by_differences(b, t, g_along, g_through):
    """The same on the true section: phi_xx/g_through + phi_zz/g_along = -2 twist, extrapolated from two grids."""
    def once(cells):
        hx, hz = b / cells, t / cells
        m = cells - 1
        line = diags([-1.0, 2.0, -1.0], [-1, 0, 1], shape=(m, m))
        matrix = kron(line / hx**2, identity(m)) / g_through + kron(identity(m), line / hz**2) / g_along
        phi = spsolve(matrix.tocsc(), np.full(m * m, 2.0)).reshape(m, m)
        torque = 2 * phi.sum() * hx * hz
        mid = cells // 2 - 1
        # One-sided slopes at the wall from three inner points, third order, phi being zero on it.
        slope = lambda p, h: (18 * p[0] - 9 * p[1] + 2 * p[2]) / (6 * h)
        tau_through, tau_along = slope(phi[:3, mid], hx), slope(phi[mid, :3], hz)
        return np.array([torque, torque / (tau_through * t * b * b), torque / (tau_along * b * t * t)])
    coarse, fine = once(60), once(120)
    return fine + (fine - coarse) / 3


# ---------------------------------------------------------------------------------------------
# A rigid island on two bridges. x along the grain, y along the bridges, z out of the face; z = 0 is mid-thickness.


class Bridge:
    """From the island at `inner` to the rim at `outer`, both [x, y], along +y or -y."""

    def __init__(self, inner, outer, b, t, e, g):
        self.inner, self.outer = np.array([*inner, 0.0]), np.array([*outer, 0.0])
        assert inner[0] == outer[0]
        self.length = abs(outer[1] - inner[1])
        self.ea, self.gj = e * b * t, g * torsion_constant(b, t)
        self.face, self.side = e * b * t**3 / 12, e * t * b**3 / 12  # EI out of the plane (about x), in the plane (about z)

    def stiffness(self):
        """Force and moment on the inner end for its displacement and rotation, global axes, outer end fixed: 6 x 6."""
        l, k = self.length, np.zeros((6, 6))
        sign = math.copysign(1, self.outer[1] - self.inner[1])  # the bar runs from inner to outer along sign * y
        k[1, 1], k[4, 4] = self.ea / l, self.gj / l
        for shift, turn, ei, handed in ((2, 3, self.face, 1), (0, 5, self.side, -1)):
            # A cantilever with its free end inner. Turning by +rx lifts z along +y, turning by +rz shifts -x.
            k[shift, shift], k[turn, turn] = 12 * ei / l**3, 4 * ei / l
            k[shift, turn] = k[turn, shift] = handed * sign * 6 * ei / l**2
        return k

    def flexibility(self, load_point, force_point):
        """Movement at `load_point` (rigidly joined to the inner end) for unit actions at `force_point`: virtual work, Gauss."""
        f = np.zeros((6, 6))
        middle, half = (self.inner + self.outer) / 2, (self.outer - self.inner) / 2
        for node, weight in zip(*np.polynomial.legendre.leggauss(3)):
            section = middle + half * node
            real, virtual = carried(force_point, section), carried(load_point, section)
            inverse = np.diag([0, 1 / self.ea, 0, 1 / self.face, 1 / self.gj, 1 / self.side])
            f += virtual.T @ inverse @ real * weight * self.length / 2
        return f


def carried(point, section):
    """Takes a force and moment at `point` to the same action about `section`: 6 x 6."""
    r = np.asarray(point) - section
    t = np.eye(6)
    t[3:, :3] = [[0, -r[2], r[1]], [r[2], 0, -r[0]], [-r[1], r[0], 0]]
    return t


def by_stiffness(bridges, point, action):
    """Action of the island on each bridge's inner end."""
    origin = np.zeros(3)
    k = sum(carried(b.inner, origin) @ b.stiffness() @ carried(b.inner, origin).T for b in bridges)
    moved = np.linalg.solve(k, carried(point, origin) @ action)
    return [b.stiffness() @ carried(b.inner, origin).T @ moved for b in bridges]


def by_flexibility(bridges, point, action):
    """The same by cutting the second bridge from the island: what passes there makes both sides move alike."""
    first, second = bridges
    cut = second.inner
    both = first.flexibility(cut, cut) + second.flexibility(cut, cut)
    passed = np.linalg.solve(both, first.flexibility(cut, point) @ action)
    on_first = carried(point, first.inner) @ action - carried(cut, first.inner) @ passed
    return [on_first, passed]


def island(name, width, height, b, lengths, t, ratio, offsets=(0.0, 0.0), e=1000.0):
    """An island `width` x `height` about the origin; the upper bridge has lengths[0] and stands at x = offsets[0]."""
    g = e / ratio
    bridges = [
        Bridge((offsets[0], height / 2), (offsets[0], height / 2 + lengths[0]), b, t, e, g),
        Bridge((offsets[1], -height / 2), (offsets[1], -height / 2 - lengths[1]), b, t, e, g),
    ]
    x, y = width / 2, height / 2
    loads = {
        "face push at the corner": ((x, y, 0), (0, 0, -1)),
        "face push at the middle": ((0, 0, 0), (0, 0, -1)),
        "face push at the side": ((x, 0, 0), (0, 0, -1)),
        "side push at the corner, along the grain": ((x, y, 0), (-1, 0, 0)),
        "side push at the middle of the side": ((x, 0, 0), (-1, 0, 0)),
        "side push at the corner, across the grain": ((x, y, 0), (0, -1, 0)),
    }
    cases = []
    for what, (point, force) in loads.items():
        action = np.array([*force, 0.0, 0.0, 0.0], dtype=float)
        found, again = by_stiffness(bridges, point, action), by_flexibility(bridges, point, action)
        scale = max(np.abs(found).max(), 1.0)
        assert np.allclose(found, again, atol=1e-9 * scale), (name, what, found, again)
        balance = sum(carried(b.inner, np.zeros(3)) @ f for b, f in zip(bridges, found)) - carried(point, np.zeros(3)) @ action
        assert np.abs(balance).max() < 1e-9 * scale, (name, what)
        ends = []
        for bridge, inner in zip(bridges, found):
            outer = carried(bridge.inner, bridge.outer) @ inner
            ends.append({"island_end": tidy(inner, scale), "rim_end": tidy(outer, scale)})
        cases.append({"load": what, "at_mm": [float(v) for v in point], "force": list(map(float, force)), "upper": ends[0], "lower": ends[1]})
    return {
        "name": name, "island_mm": [width, height], "bridge_width_mm": b, "bridge_lengths_mm": list(lengths), "thickness_mm": t,
        "bridge_x_mm": list(offsets), "e_mpa": e, "g_mpa": significant(g), "torsion_constant_mm4": significant(torsion_constant(b, t)),
        "cases": cases,
    }


def tidy(values, scale):
    """Ten digits; what is nothing but rounding is zero."""
    return [0.0 if abs(v) < 1e-11 * scale else significant(v, 9) for v in values]


def hand_checks():
    """Two cases anybody can do on paper."""
    bridges = [Bridge((0, 20), (0, 32), 6.4, 9.5, 1000.0, 200.0), Bridge((0, -20), (0, -32), 6.4, 9.5, 1000.0, 200.0)]
    upper, _ = by_stiffness(bridges, (0, 0, 0), np.array([0, 0, -1.0, 0, 0, 0]))
    # In the middle the island only sinks: each bridge is fixed and guided, F/2 over its length, F s/4 at both ends.
    assert np.isclose(upper[2], -0.5) and np.isclose(abs(upper[3]), 12 / 4)
    upper, _ = by_stiffness(bridges, (20, 0, 0), np.array([0, 0, -1.0, 0, 0, 0]))
    # At the side it also turns about the bridges, which share F w/2 as torsion.
    assert np.isclose(abs(upper[4]), 20 / 2)


def main():
    hand_checks()
    # Bridges in one line share the twist by length alone; E/G matters once they are offset.
    islands = [
        island("square, stubby", 40, 40, 6.4, (6.4, 6.4), 19, 6.0),
        island("square, slender", 40, 40, 6.4, (12, 12), 9.5, 6.0),
        island("tall", 40.6, 76.6, 6.4, (12.7, 12.7), 19, 6.0),
        island("unequal lengths", 40, 40, 6.4, (24, 12.7), 19, 6.0),
    ]
    for ratio in (2.5, 6.0, 15.0):
        islands += [
            island(f"bridges to one side, E/G {ratio:g}", 40, 40, 5, (10, 10), 12.7, ratio, offsets=(12.0, 12.0)),
            island(f"bridges on a slant, E/G {ratio:g}", 40, 30, 5, (10, 8), 12.7, ratio, offsets=(-10.0, 10.0)),
        ]
    data = {
        "fixed_beam": [fixed_beam(*at) for at in ((1, 8), (1, 4), (1, 3), (1, 2), (2, 3), (7, 8))],
        "moving_load": moving_load(),
        "torsion": [torsion(ratio) for ratio in (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 10.0)],
        "wood_torsion": [
            wood_torsion(b, t, along, through)
            for along, through in ((1099.01, 373.89), (1000.0, 1000.0), (1000.0, 100.0)) for b, t in ((8.0, 19.0), (20.0, 6.4), (6.4, 6.4))
        ],
        "island_on_two_bridges": islands,
    }
    about = (
        "Unit loads and lengths in mm. fixed_beam: moments over F L. torsion: rectangle a x b, a >= b: J = beta a b^3, "
        "greatest stress T/(alpha_long a b^2) at the long side's middle, T/(alpha_short a b^2) at the short side's. wood_torsion: two shear moduli, greatest stress T/(alpha_through t b^2) at the walls, T/(alpha_along b t^2) at the faces. island: rigid, about the origin; x along the grain, "
        "y along the bridges, z out of the face, the bars in z = 0; at each end [Fx, Fy, Fz, Mx, My, Mz] is what the island's side of that "
        "section does to the rim's side, about the section's centre: Mx bends out of the face, Mz in the plane, My twists."
    )
    store(__file__, about, ["numpy", "scipy"], data, depth=5)


if __name__ == "__main__":
    main()
