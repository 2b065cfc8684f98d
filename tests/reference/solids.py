"""Arms, bridges and letters of wood as solids, by scikit-fem, to compare our own solid model with.

    python3 tests/reference/solids.py           remake solids.json
    python3 tests/reference/solids.py --check   compare with it
    python3 tests/reference/solids.py --quick   with --check: only the models marked quick

Elements are hexahedra with 27 nodes on grids whose lines follow the planes asked for and crowd towards
sharp corners; ours are prisms on triangles. Mesh, shape functions, load vectors are scikit-fem's; the stiffness
is turned as a tensor of fourth order and checked against scikit-fem's own assembly. Each model is
solved on three grids; what is stored is carried on to infinitely fine ones by the order that the three show. Mean tractions come
from consistent nodal forces: M t = R on the faces of a plane. At sharp corners they settle some ten times sooner than
the stress integrated over the same window, which is made too, and told of as `stress_apart`.

Windows are a quarter of their plane long and a quarter of the wood high that is bonded together there, never higher than a
ply. The material length, (2 / pi) E_I G_c / f_t90^2, would be shorter than these for G_c below 0.07 N/mm alone: of the constants
below E_I is 1647 MPa, and f_t90 of cherry is 3.9 MPa. No wood is that brittle, so it nowhere counts.

`wood` holds the engineering constants; 1 is along the grain, 2 across it in the plane of the face, 3 through
the thickness. A ply's grain is turned by `grain_deg` anticlockwise from x, seen from the face (z up).
"""

import json
import math
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import shapely
from pypardiso import PyPardisoSolver
from scipy.sparse import coo_matrix
from skfem import Basis, BilinearForm, ElementHex2, ElementVector, FacetBasis, LinearForm, MeshHex
from skfem.helpers import ddot, sym_grad
from skfem.refdom import RefHex

from store import significant, store

LOAD = 100.0  # N: every load's total
MESHES = (2, 3, 4)  # divisions: every interval of a grid is cut into a multiple of these

# Black cherry at 12 %, flat-sawn: 1.1 x 10300 MPa and the Wood Handbook's ratios (FPL-GTR-190, Tables 5-1 and 5-2, recalled);
# in the plane of the face lies the tangential direction, through the thickness the radial one.
CHERRY = {
    "E1": 11330.0, "E2": 974.38, "E3": 2232.01,
    "nu12": 0.428, "nu13": 0.392, "nu32": 0.695,
    "G12": 1099.01, "G13": 1665.51, "G23": 373.89,
}

# ---------------------------------------------------------------------------------------------
# Wood.


def stiffness(wood, grain_deg):
    """The tensor C[i, j, k, l] of a wood whose grain is turned about z."""
    e1, e2, e3 = wood["E1"], wood["E2"], wood["E3"]
    s12, s13, s23 = -wood["nu12"] / e1, -wood["nu13"] / e1, -wood["nu32"] / e3
    normal = np.linalg.inv([[1 / e1, s12, s13], [s12, 1 / e2, s23], [s13, s23, 1 / e3]])
    c = np.zeros((3, 3, 3, 3))
    for i in range(3):
        for j in range(3):
            c[i, i, j, j] = normal[i, j]
    for i, j, g in ((0, 1, wood["G12"]), (0, 2, wood["G13"]), (1, 2, wood["G23"])):
        c[i, j, i, j] = c[i, j, j, i] = c[j, i, i, j] = c[j, i, j, i] = g
    cos, sin = math.cos(math.radians(grain_deg)), math.sin(math.radians(grain_deg))
    r = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
    return np.einsum("ai,bj,ck,dl,ijkl->abcd", r, r, r, r, c)


# ---------------------------------------------------------------------------------------------
# Models.


@dataclass
class Gap:
    """How the interval between two lines of a grid is cut: `share` x divisions cells, smallest at the fine ends."""

    share: float
    fine_first: bool = False
    fine_last: bool = False
    grade: float = 2.5

    def places(self, divisions):
        """Fractions from 0 to 1; the n-th power of even steps from a fine end, n = `grade`."""
        n = math.ceil(self.share * divisions)
        s = np.arange(n + 1) / n
        one = lambda s: s**self.grade
        if self.fine_first and self.fine_last:
            return np.where(s <= 0.5, one(2 * s) / 2, 1 - one(2 - 2 * s) / 2)
        if self.fine_first:
            return one(s)
        return 1 - one(1 - s) if self.fine_last else s


@dataclass
class Plane:
    """A straight cut along a grid line: tractions there act on what lies left of it, seen from `start` to `end`."""

    name: str
    start: tuple
    end: tuple
    loaded: str  # the side of the line, "left" or "right", on which the load stands
    bands: dict  # name -> (first z, last z, c): wood of one grain, and the windows' height in it
    alone: bool = True  # whether the plane carries nothing but its bands, each alone; otherwise glue pulls at its rim too

    def length(self):
        return math.dist(self.start, self.end)


@dataclass
class Model:
    about: str
    ring: list
    held: list  # rings: nothing in them moves
    plies: list  # {"z": [bottom, top], "grain_deg"}, {"zone": ring} if it lies there only and its walls are open
    columns: list  # lines across x, each [(y, x), ...]
    column_gaps: list
    rows: list
    row_gaps: list
    levels: list
    level_gaps: list
    loads: dict  # name -> {"face": ring} or {"wall": [from, to]} and "direction"
    planes: list
    cut_off: list = field(default_factory=list)  # the planes that together part the loaded wood from the held
    thickness: float = 19.0
    quick: bool = False

    def held_area(self):
        return shapely.union_all([shapely.Polygon(ring) for ring in self.held])


# ---------------------------------------------------------------------------------------------
# Grids.


def joined(lines, gaps, divisions):
    """All lines of a grid: the chosen ones and those between."""
    made = [lines[0]]
    for first, last, gap in zip(lines[:-1], lines[1:], gaps, strict=True):
        made += [first + (last - first) * f for f in gap.places(divisions)[1:]]
    return np.array(made)


class Grid:
    def __init__(self, model, divisions):
        self.model = model
        y = joined(model.rows, model.row_gaps, divisions)
        z = joined(model.levels, model.level_gaps, divisions)
        lines = [np.interp(y, *zip(*column)) for column in model.columns]
        x = joined(lines, model.column_gaps, divisions)  # x[i, j]
        self.x, self.y, self.z = x, y, z

        middles = lambda v: (v[:-1] + v[1:]) / 2
        i, j = np.meshgrid(np.arange(len(x) - 1), np.arange(len(y) - 1), indexing="ij")
        mx, my = (x[:-1, :-1] + x[1:, :-1] + x[:-1, 1:] + x[1:, 1:]) / 4, np.broadcast_to(middles(y), i.shape)
        wood = shapely.contains_xy(shapely.Polygon(model.ring).difference(model.held_area()), mx, my)
        i, j, mx, my = i[wood], j[wood], mx[wood], my[wood]
        layers = len(z) - 1
        self.cells = np.column_stack([np.repeat(i, layers), np.repeat(j, layers), np.tile(np.arange(layers), len(i))])
        mx, my, mz = np.repeat(mx, layers), np.repeat(my, layers), np.tile(middles(z), len(i))

        # Later plies override earlier ones; a ply in a zone shares no nodes with its surroundings but at its floor.
        self.ply = np.full(len(self.cells), -1)
        inlaid = np.zeros(len(self.cells), bool)
        floor = np.full(len(self.cells), -1)
        for number, ply in enumerate(model.plies):
            here = (mz > ply["z"][0]) & (mz < ply["z"][1])
            if "zone" in ply:
                here &= shapely.contains_xy(shapely.Polygon(ply["zone"]), mx, my)
                inlaid |= here
                floor[here] = int(np.argmin(np.abs(z - ply["z"][1])))
            self.ply[here] = number
        assert (self.ply >= 0).all()

        corners = RefHex.p.T
        at = self.cells[:, None, :] + corners.astype(int)[None]
        parted = inlaid[:, None] & (at[:, :, 2] < floor[:, None])
        key = ((at[:, :, 0] * len(y) + at[:, :, 1]) * len(z) + at[:, :, 2]) * 2 + parted
        names, t = np.unique(key, return_inverse=True)
        t = t.reshape(key.shape)
        k, j, i = names // 2 % len(z), names // 2 // len(z) % len(y), names // 2 // len(z) // len(y)
        points = np.array([x[i, j], y[j], z[k]])
        self.mesh = MeshHex(np.ascontiguousarray(points), np.ascontiguousarray(t.T))
        self.corners = corners
        self.number = {tuple(cell): e for e, cell in enumerate(self.cells)}


# ---------------------------------------------------------------------------------------------
# Elements: shape functions are scikit-fem's, the rest is written out.

HEX = ElementHex2()


def element_matrices(basis, tensors, ply):
    """Stiffness of every element, [element, node, axis, node, axis]."""
    gradients = np.array([basis.basis[a][0].grad for a in range(basis.Nbfun)])  # node, axis, element, point
    made = np.empty((basis.nelems, 27, 3, 27, 3))
    for number, c in enumerate(tensors):
        mine = np.flatnonzero(ply == number)
        for part in np.array_split(mine, max(1, len(mine) // 400)):
            g = gradients[:, :, part].transpose(2, 0, 1, 3).reshape(len(part), 81, -1)
            pairs = (g * basis.dx[part][:, None, :]) @ g.transpose(0, 2, 1)
            pairs = pairs.reshape(-1, 27, 3, 27, 3).transpose(0, 1, 3, 2, 4).reshape(len(part), 729, 9)
            turned = pairs @ c.transpose(1, 3, 0, 2).reshape(9, 9)  # (j, l) -> (i, k)
            made[part] = turned.reshape(-1, 27, 27, 3, 3).transpose(0, 1, 3, 2, 4)
    return made


def assembly_agrees_with_scikit_fem():
    """Our element matrices against scikit-fem's own assembly, on a bent cell pair with turned grain."""
    mesh = MeshHex.init_tensor(np.array([0.0, 1.0, 3.0]), np.array([0.0, 2.0]), np.array([0.0, 1.5]))
    mesh = mesh.translated((0, 0, 0))
    mesh = MeshHex(mesh.p + np.array([0.3 * mesh.p[1], 0.1 * mesh.p[0], 0 * mesh.p[2]]), mesh.t)
    c = stiffness(CHERRY, 30.0)

    @BilinearForm
    def energy(u, v, _):
        return ddot(np.einsum("ijkl,kl...->ij...", c, sym_grad(u)), sym_grad(v))

    scalar = Basis(mesh, HEX, intorder=5)
    vector = Basis(mesh, ElementVector(HEX), intorder=5)
    theirs = energy.assemble(vector).toarray()
    ours = assembled(element_matrices(scalar, [c], np.zeros(mesh.nelements, int)), dofs_of(scalar), 3 * scalar.N).toarray()
    # Same functions, other order: match by place and axis.
    axis = np.zeros(vector.N, int)
    for local in range(81):
        axis[vector.element_dofs[local]] = local % 3
    name = lambda places, axes: [(*np.round(p, 9), a) for p, a in zip(places, axes)]
    index = {key: n for n, key in enumerate(name(np.repeat(scalar.doflocs.T, 3, axis=0), np.tile([0, 1, 2], scalar.N)))}
    to = [index[key] for key in name(vector.doflocs.T, axis)]
    assert np.abs(theirs - ours[np.ix_(to, to)]).max() < 1e-9 * np.abs(theirs).max()


def dofs_of(basis):
    """[element, node, axis]: the unknowns of every element."""
    return 3 * basis.element_dofs.T[:, :, None] + np.arange(3)


def assembled(matrices, dofs, size, upper=False):
    flat = dofs.reshape(len(dofs), 81)
    rows, columns = np.repeat(flat, 81, axis=1).ravel(), np.tile(flat, 81).ravel()
    values = matrices.reshape(-1)
    if upper:
        keep = rows <= columns
        rows, columns, values = rows[keep], columns[keep], values[keep]
    return coo_matrix((values, (rows, columns)), shape=(size, size)).tocsr()


class Solved:
    def __init__(self, model, divisions):
        self.model, self.grid = model, Grid(model, divisions)
        mesh = self.grid.mesh
        self.basis = Basis(mesh, HEX, intorder=5)
        self.tensors = [stiffness(CHERRY, ply["grain_deg"]) for ply in model.plies]
        self.dofs = dofs_of(self.basis)
        size = 3 * self.basis.N
        self.matrices = element_matrices(self.basis, self.tensors, self.grid.ply)
        stiff = assembled(self.matrices, self.dofs, size, upper=True)
        places = self.basis.doflocs
        held = model.held_area().buffer(1e-7)
        free = np.flatnonzero(np.repeat(~shapely.intersects_xy(held, places[0], places[1]), 3))
        inner = stiff[free][:, free].tocsr()
        inner.sort_indices()
        self.loads = np.column_stack([self.load(**load) for load in model.loads.values()])
        solver = PyPardisoSolver(mtype=2)
        solver.factorize(inner)
        self.moves = np.zeros((size, len(model.loads)))
        for _ in range(3):  # once to solve, twice to polish
            u = self.moves[free]
            self.moves[free] += solver.solve(inner, self.loads[free] - (inner @ u + inner.T @ u - inner.diagonal()[:, None] * u))
        solver.free_memory(everything=True)
        self.unknowns = len(free)

    def load(self, direction, face=None, wall=None):
        """Nodal forces of a uniform pull of LOAD in all over a polygon of the face, or over a wall's whole height."""
        mesh = self.grid.mesh
        facets = mesh.boundary_facets()
        middle = mesh.p[:, mesh.facets[:, facets]].mean(axis=1)
        if face:
            on = (middle[2] > self.model.thickness - 1e-6) & shapely.contains_xy(shapely.Polygon(face), middle[0], middle[1])
            area = shapely.Polygon(face).area
        else:
            line = shapely.LineString(wall).buffer(1e-6)
            on = shapely.contains_xy(line, middle[0], middle[1])
            area = math.dist(*wall) * self.model.thickness
        basis = FacetBasis(mesh, HEX, facets=facets[on], intorder=4)
        assert math.isclose(basis.dx.sum(), area, rel_tol=1e-9), (basis.dx.sum(), area)
        scalar = LinearForm(lambda v, _: LOAD / area * v).assemble(basis)
        return np.outer(scalar, direction).ravel()

    def works(self):
        """Each load times the way it goes, N mm: twice the energy stored."""
        return np.einsum("nl,nl->l", self.loads, self.moves)

    # -- planes -------------------------------------------------------------------------------

    def section(self, plane):
        return Section(self, plane)

    def forces_and_moments(self, name):
        """Of the nodal forces on the loaded wood over a whole plane, about the origin, for every load."""
        plane = next(p for p in self.model.planes if p.name == name)
        section = self.section(plane)
        nodes, force = section.nodal_forces(plane.loaded, None)
        places = self.basis.doflocs[:, nodes].T
        moment = np.cross(places[:, None, :], force.transpose(0, 2, 1)).sum(axis=0)
        return force.sum(axis=0).T, moment

    def balance(self):
        """Section forces and moments on the loaded wood against the loads: the largest fault, as a part of the largest."""
        forces, moments = 0, 0
        for name in self.model.cut_off:
            f, m = self.forces_and_moments(name)
            forces, moments = forces + f, moments + m
        applied = self.loads.reshape(-1, 3, self.loads.shape[1])
        lever = np.cross(self.basis.doflocs.T[:, None, :], applied.transpose(0, 2, 1)).sum(axis=0)
        fault = max(np.abs(forces + applied.sum(axis=0).T).max() / LOAD, np.abs(moments + lever).max() / np.abs(lever).max())
        assert fault < 1e-9, fault
        return fault


class Section:
    """A plane of a solved model: its faces, its nodes, tractions on it."""

    def __init__(self, solved, plane):
        self.solved, self.plane = solved, plane
        grid = solved.grid
        find = lambda values, wanted: int(np.argmin(np.abs(values - wanted)))
        (x0, y0), (x1, y1) = plane.start, plane.end
        self.upright = abs(y1 - y0) > 1e-9
        if self.upright:  # along a column, upwards: right of it are the higher cells
            self.ends = [find(grid.y, y0), find(grid.y, y1)]
            self.line = find(grid.x[:, self.ends[0]], x0)
            assert abs(grid.x[self.line, self.ends[1]] - x1) < 1e-9 and y1 > y0
            steps = grid.y[self.ends[0]:self.ends[1] + 1] - y0
            self.s = steps * plane.length() / (y1 - y0)
        else:  # along a row, to the right: right of it are the lower cells
            self.line = find(grid.y, y0)
            self.ends = [find(grid.x[:, self.line], x0), find(grid.x[:, self.line], x1)]
            assert x1 > x0
            self.s = grid.x[self.ends[0]:self.ends[1] + 1, self.line] - x0
        assert abs(self.s[-1] - plane.length()) < 1e-9
        self.along = np.array([(x1 - x0), (y1 - y0), 0]) / plane.length()
        self.normal = np.array([self.along[1], -self.along[0], 0])
        self.axes = np.array([self.normal, self.along, [0, 0, 1.0]])

    def cell(self, side, n, k):
        """The cell beside the plane's n-th step in layer k, if there is one."""
        higher = (side == "right") == self.upright
        across, along = self.line - (not higher), self.ends[0] + n
        return self.solved.grid.number.get((across, along, k) if self.upright else (along, across, k))

    def local(self, side, n, k, s, z):
        """Places of the plane in the coordinates of the cell."""
        grid = self.solved.grid
        higher = (side == "right") == self.upright
        across = np.full(len(s), 0.0 if higher else 1.0)
        along = (s - self.s[n]) / (self.s[n + 1] - self.s[n])
        up = (z - grid.z[k]) / (grid.z[k + 1] - grid.z[k])
        return np.array([across, along, up] if self.upright else [along, across, up])

    def layers(self, band):
        z = self.solved.grid.z
        return [k for k in range(len(z) - 1) if band is None or band[0] < (z[k] + z[k + 1]) / 2 < band[1]]

    def nodes_on(self, band):
        """Scalar nodes of the faces of a band."""
        found = set()
        for n in range(len(self.s) - 1):
            for k in self.layers(band):
                e = self.cell(self.plane.loaded, n, k)
                shapes = np.abs(shape_functions(self.local(self.plane.loaded, n, k, *self.gauss(n, k)[:2]))[0]).max(axis=1)
                found.update(self.solved.basis.element_dofs[shapes > 1e-9, e].tolist())
        return np.array(sorted(found))

    def gauss(self, n, k, window=None):
        """Places (s, z) and weights of 3 x 3 Gauss points on a face, or on its part in a window."""
        z = self.solved.grid.z
        s0, s1, z0, z1 = self.s[n], self.s[n + 1], z[k], z[k + 1]
        if window:
            s0, s1, z0, z1 = max(s0, window[0]), min(s1, window[1]), max(z0, window[2]), min(z1, window[3])
        g, w = np.polynomial.legendre.leggauss(3)
        s, t = np.meshgrid((s0 + s1) / 2 + g * (s1 - s0) / 2, (z0 + z1) / 2 + g * (z1 - z0) / 2, indexing="ij")
        return s.ravel(), t.ravel(), (np.outer(w, w) * (s1 - s0) * (z1 - z0) / 4).ravel()

    def nodal_forces(self, side, band, every_layer=False):
        """(nodes, forces[node, axis, load]) of a band's faces: what they put on that band, or all wood, on one side of them."""
        solved = self.solved
        nodes = self.nodes_on(band)
        where = np.full(solved.basis.N, -1)
        where[nodes] = np.arange(len(nodes))
        force = np.zeros((len(nodes), 3, solved.moves.shape[1]))
        for n in range(-1, len(self.s)):  # with the cells that touch only an end of it
            for k in self.layers(None if every_layer else band):
                e = self.cell(side, n, k)
                if e is None:
                    continue
                inner = (solved.matrices[e].reshape(81, 81) @ solved.moves[solved.dofs[e].ravel()]).reshape(27, 3, -1)
                at = where[solved.basis.element_dofs[:, e]]
                np.add.at(force, at[at >= 0], inner[at >= 0])
        return nodes, force

    def by_forces(self, band, windows):
        """Mean tractions over windows from consistent nodal forces: [window, load, (normal, along, through)].

        Where a plane carries a band alone, the forces on the loaded wood are all its own. Where another ply is bonded to the
        band, glue shear pulls at their common nodes; its first order drops out of the mean of both sides.
        """
        solved = self.solved
        if self.plane.alone:
            nodes, force = self.nodal_forces(self.plane.loaded, band, every_layer=True)
            force *= -1.0 if self.plane.loaded == "right" else 1.0
        else:
            nodes, left = self.nodal_forces("left", band)
            force = (left - self.nodal_forces("right", band)[1]) / 2
        where = {node: n for n, node in enumerate(nodes)}
        mass = np.zeros((len(nodes), len(nodes)))
        means = np.zeros((len(windows), len(nodes)))
        for n in range(len(self.s) - 1):
            for k in self.layers(band):
                e = self.cell(self.plane.loaded, n, k)
                of = solved.basis.element_dofs[:, e]
                s, z, w = self.gauss(n, k)
                shapes = shape_functions(self.local(self.plane.loaded, n, k, s, z))[0]
                on = np.flatnonzero([node in where for node in of])
                at = [where[node] for node in of[on]]
                mass[np.ix_(at, at)] += (shapes[on] * w) @ shapes[on].T
                for number, window in self.overlapping(windows, n, k):
                    s, z, w = self.gauss(n, k, window)
                    means[number, at] += shape_functions(self.local(self.plane.loaded, n, k, s, z))[0][on] @ w / area(window)
        traction = np.linalg.solve(mass, force.reshape(len(nodes), -1)).reshape(force.shape)
        return np.einsum("wn,nal,ba->wlb", means, traction, self.axes)

    def by_stress(self, side, windows):
        """The same by integrating the stress of the elements on one side."""
        solved = self.solved
        made = np.zeros((len(windows), solved.moves.shape[1], 3))
        for n in range(len(self.s) - 1):
            for k in range(len(solved.grid.z) - 1):
                for number, window in self.overlapping(windows, n, k):
                    e = self.cell(side, n, k)
                    s, z, w = self.gauss(n, k, window)
                    local = self.local(side, n, k, s, z)
                    _, slopes = shape_functions(local)
                    places = solved.grid.mesh.p[:, solved.grid.mesh.t[:, e]]
                    jacobian = np.einsum("cv,vdp->pcd", places, corner_slopes(solved.grid.corners, local))
                    gradient = np.einsum("ndp,pdc->ncp", slopes, np.linalg.inv(jacobian))
                    strain = np.einsum("nal,ncp->acpl", solved.moves[solved.dofs[e]], gradient)
                    stress = np.einsum("ijac,acpl->ijpl", solved.tensors[solved.grid.ply[e]], strain)
                    made[number] += np.einsum("bi,ijpl,j,p->lb", self.axes, stress, self.normal, w) / area(window)
        return made

    def overlapping(self, windows, n, k):
        z = self.solved.grid.z
        for number, (s0, s1, z0, z1) in enumerate(windows):
            if min(s1, self.s[n + 1]) - max(s0, self.s[n]) > 1e-9 and min(z1, z[k + 1]) - max(z0, z[k]) > 1e-9:
                yield number, (s0, s1, z0, z1)


def area(window):
    return (window[1] - window[0]) * (window[3] - window[2])


def shape_functions(local):
    """Values and slopes of the 27 shape functions at places of the cube: [node, place], [node, axis, place]."""
    made = [HEX.lbasis(local, node) for node in range(27)]
    return np.array([m[0] for m in made]), np.array([m[1] for m in made])


def corner_slopes(corners, local):
    """Slopes of the eight functions that carry the cell's shape: [corner, axis, place]."""
    values = [np.where(c[:, None] > 0.5, local, 1 - local) for c in corners]
    signs = [np.where(c > 0.5, 1.0, -1.0) for c in corners]
    return np.array([[sign[d] * np.delete(value, d, axis=0).prod(axis=0) for d in range(3)] for value, sign in zip(values, signs)])


def windows_of(plane, band):
    """Nine windows, c high and a quarter of the plane long: both ends and the middle along the plane, both faces and the middle through the band."""
    z0, z1, c = band
    length, a = plane.length(), plane.length() / 4
    along = {"start": (0, a), "middle": ((length - a) / 2, (length + a) / 2), "end": (length - a, length)}
    through = {"back": (z0, z0 + c), "middle": ((z0 + z1 - c) / 2, (z0 + z1 + c) / 2), "front": (z1 - c, z1)}
    return {f"{s} {z}": (*along[s], *through[z]) for s in along for z in through}


# ---------------------------------------------------------------------------------------------
# From three grids to the limit.


def order(coarse, middle, fine):
    """The order p at which three results on MESHES divisions approach their limit, or None if they do not show one.

    Below 2 none is believed: grids this fine at the corners do better, and a low order would carry noise far on.
    """
    a, b, c = MESHES
    if fine == middle or (middle - coarse) / (fine - middle) <= 0:
        return None
    wanted = (middle - coarse) / (fine - middle)
    ratio = lambda p: (a**-p - b**-p) / (b**-p - c**-p)
    low, high = 2.0, 8.0
    if not ratio(low) <= wanted <= ratio(high):
        return None
    for _ in range(60):
        p = (low + high) / 2
        low, high = (p, high) if ratio(p) < wanted else (low, p)
    return low


def limit(coarse, middle, fine):
    """The value carried on to infinitely fine grids; the finest grid's own where no order shows."""
    p = order(coarse, middle, fine)
    return fine if p is None else fine + (fine - middle) / ((MESHES[2] / MESHES[1]) ** p - 1)


def limits(results):
    """`limit` of arrays of one shape, place by place."""
    results = [np.asarray(result) for result in results]
    return np.array([limit(*three) for three in zip(*(result.ravel() for result in results))]).reshape(results[0].shape)


def digits(values):
    """Rounded for the file to seven digits; below 1e-6 nothing is left but rounding."""
    return [digits(value) for value in values] if np.ndim(values) else significant(values, 7) if abs(values) > 1e-6 else 0.0


def solve(model):
    """A model as it stands in the file: its description and its answers."""
    works, tractions, stresses, unknowns = [], {}, {}, []
    for divisions in MESHES:
        solved = Solved(model, divisions)
        solved.balance()
        unknowns.append(solved.unknowns)
        works.append(solved.works())
        for plane in model.planes:
            section = Section(solved, plane)
            for name, band in plane.bands.items():
                windows = list(windows_of(plane, band).values())
                tractions.setdefault((plane.name, name), []).append(section.by_forces(band[:2], windows))
                sides = [section.by_stress(side, windows) for side in ("left", "right")]
                stresses.setdefault((plane.name, name), []).append(sum(sides) / 2)
        print(f"    {divisions} divisions, {solved.unknowns} unknowns", file=sys.stderr, flush=True)

    work = limits(works)
    names = list(model.loads)
    planes = []
    for plane in model.planes:
        for name, band in plane.bands.items():
            coarse, middle, fine = tractions[plane.name, name]
            final, stress = limits([coarse, middle, fine]), stresses[plane.name, name][-1]
            largest = np.abs(final).max(axis=(0, 2), keepdims=True)
            part = lambda values: dict(zip(names, (np.abs(values) / largest).max(axis=(0, 2)).round(6).tolist()))
            planes.append({
                "name": plane.name, "from": plane.start, "to": plane.end, "wood": name, "through": band[:2], "loaded_side": plane.loaded,
                "moved_on": part(final - fine), "last_step": part(fine - middle), "stress_apart": part(stress - final),
                "windows": [
                    {"at": at, "along": digits(window[:2]), "through": digits(window[2:]), **{load: digits(final[w, n]) for n, load in enumerate(names)}}
                    for w, (at, window) in enumerate(windows_of(plane, band).items())
                ],
            })
    return {
        "about": model.about, "quick": model.quick, "thickness_mm": model.thickness, "ring": model.ring, "held": model.held, "plies": model.plies,
        "loads": model.loads, "unknowns": unknowns,
        "work": {
            load: {"limit": digits(work[n]), "by_grid": digits([w[n] for w in works]), "order": digits(order(*(w[n] for w in works)) or 0.0)}
            for n, load in enumerate(names)
        },
        "planes": planes,
    }


# ---------------------------------------------------------------------------------------------
# The models.

DOWN = (0.0, 0.0, -1.0)
T = 19.0
SOLID = {"wood": (0.0, T, T / 4)}


def leaning(grain_deg, width):
    """How far a line along the grain runs aside while it crosses `width`."""
    return 0.0 if grain_deg == 90 else width / math.tan(math.radians(grain_deg))


def roots(d, x):
    """Grid lines through both sharp corners of a neck's end at `x`, along the grain between the walls."""
    if d == 0:
        return [[(-20, x), (20, x)]]
    one = [(-20, x - d), (-4, x - d), (4, x), (20, x)]
    two = [(-20, x), (-4, x), (4, x + d), (20, x + d)]
    return [one, two]


def upright(x):
    return [(-1000, x), (1000, x)]


def arm(grain_deg, quick=False):
    d = leaning(grain_deg, 8)
    between = [Gap(2, True, True)] if d else []
    return Model(
        about=f"arm 8 wide, 30 long on a block 24 deep, 40 wide; grain at {grain_deg} degrees to its run",
        ring=[(-24, -20), (0, -20), (0, -4), (30, -4), (30, 4), (0, 4), (0, 20), (-24, 20)],
        held=[[(-24, -20), (-19, -20), (-19, 20), (-24, 20)]],
        plies=[{"z": [0, T], "grain_deg": grain_deg}],
        columns=[upright(-19), *roots(d, 0), [(-4, 14 - d / 2), (4, 14 + d / 2)], upright(20), upright(24), upright(30)],
        column_gaps=[Gap(3, True, True), *between, Gap(2, True), Gap(0.5), Gap(0.5), Gap(0.5)],
        rows=[-20, -4, 4, 20], row_gaps=[Gap(2, False, True), Gap(3, True, True), Gap(2, True)],
        levels=[0, T], level_gaps=[Gap(2)],
        loads={
            "tip": {"face": [(20, -4), (30, -4), (30, 4), (20, 4)], "direction": DOWN},
            "edge": {"wall": [(24, 4), (30, 4)], "direction": DOWN},
            "side": {"wall": [(24, 4), (30, 4)], "direction": (0.0, -1.0, 0.0)},
        },
        planes=[
            Plane("root", (0, -4), (d, 4), "right", SOLID),
            Plane("middle", (14 - d / 2, -4), (14 + d / 2, 4), "right", SOLID),
        ],
        cut_off=["root"], quick=quick,
    )


def bridge(grain_deg, quick=False):
    d = leaning(grain_deg, 8)
    between = [Gap(2, True, True)] if d else []
    return Model(
        about=f"bridge 8 wide, 20 long between blocks 24 deep, 40 wide; grain at {grain_deg} degrees to its run",
        ring=[(-24, -20), (0, -20), (0, -4), (20, -4), (20, -20), (44, -20), (44, 20), (20, 20), (20, 4), (0, 4), (0, 20), (-24, 20)],
        held=[[(-24, -20), (-19, -20), (-19, 20), (-24, 20)], [(39, -20), (44, -20), (44, 20), (39, 20)]],
        plies=[{"z": [0, T], "grain_deg": grain_deg}],
        columns=[upright(-19), *roots(d, 0), upright(5), upright(11), *roots(d, 20), upright(39)],
        column_gaps=[Gap(2, True, True), *between, Gap(2, True), Gap(0.5), Gap(2, False, True), *between, Gap(2, True, True)],
        rows=[-20, -4, 4, 20], row_gaps=[Gap(2, False, True), Gap(3, True, True), Gap(2, True)],
        levels=[0, T], level_gaps=[Gap(2)],
        loads={
            "pad": {"face": [(5, -4), (11, -4), (11, 4), (5, 4)], "direction": DOWN},
            "edge": {"wall": [(5, 4), (11, 4)], "direction": DOWN},
            "side": {"wall": [(5, 4), (11, 4)], "direction": (0.0, -1.0, 0.0)},
        },
        planes=[
            Plane("near root", (0, -4), (d, 4), "right", SOLID),
            Plane("far root", (20 - d, -4), (20, 4), "left", SOLID),
        ],
        cut_off=["near root", "far root"], quick=quick,
    )


# Three tongues on a spine, as a letter E; its foot is held.
LETTER = [
    (-14, -24), (28, -24), (28, -16), (0, -16), (0, -4), (18, -4), (18, 4), (0, 4), (0, 16), (28, 16), (28, 24), (-14, 24),
]
FOOT = [[(-14, -24), (28, -24), (28, -16), (0, -16), (0, -10), (-14, -10)]]
LETTER_LOADS = {
    "tip": {"face": [(18, 16), (28, 16), (28, 24), (18, 24)], "direction": DOWN},
    "side": {"wall": [(22, 24), (28, 24)], "direction": (0.0, -1.0, 0.0)},
}


def letter():
    return Model(
        about="letter E with tongues 8 wide on a spine 14 wide, grain across the tongues; the top tongue is loaded",
        ring=LETTER, held=FOOT, plies=[{"z": [0, T], "grain_deg": 90}],
        columns=[upright(x) for x in (-14, 0, 10, 18, 22, 28)],
        column_gaps=[Gap(2, False, True), Gap(2, True), Gap(0.5), Gap(0.5), Gap(0.5)],
        rows=[-10, -4, 4, 16, 24], row_gaps=[Gap(2, True, True), Gap(2, True, True), Gap(3, True, True), Gap(2, True)],
        levels=[0, T], level_gaps=[Gap(2)],
        loads=LETTER_LOADS,
        planes=[
            Plane("root", (0, 16), (0, 24), "right", SOLID),
            Plane("middle", (10, 16), (10, 24), "right", SOLID),
            Plane("spine", (-14, 16), (0, 16), "left", SOLID),
        ],
        cut_off=["spine"],
    )


def letter_with_insert():
    back, front = (0.0, T / 2, T / 4), (T / 2, T, T / 4)
    return Model(
        about="the letter with an insert in the back of its top tongue, grain along the tongue, from 12 inside the spine to 10 "
        "short of the tip; glued at its floor alone",
        ring=LETTER, held=FOOT,
        plies=[
            {"z": [0, T], "grain_deg": 90},
            {"z": [0, T / 2], "grain_deg": 0, "zone": [(-12, 16), (18, 16), (18, 24), (-12, 24)]},
        ],
        columns=[upright(x) for x in (-14, -12, 0, 10, 18, 22, 28)],
        column_gaps=[Gap(0.5, False, True), Gap(2, True, True), Gap(2, True), Gap(2, False, True), Gap(1, True), Gap(0.5)],
        rows=[-10, -4, 4, 16, 24], row_gaps=[Gap(1, True, True), Gap(1, True, True), Gap(2, True, True), Gap(2, True)],
        levels=[0, T / 2, T], level_gaps=[Gap(2, False, True), Gap(2, True)],
        loads=LETTER_LOADS,
        planes=[
            Plane("root", (0, 16), (0, 24), "right", {"insert": back, "front": front}, alone=False),
            Plane("middle", (10, 16), (10, 24), "right", {"insert": back, "front": front}, alone=False),
            Plane("insert's end", (18, 16), (18, 24), "right", {"front": (T / 2, T, T / 8)}),
            Plane("spine", (-14, 16), (0, 16), "left", {"front": front}, alone=False),
        ],
        cut_off=["root"],
    )


MODELS = {
    "arm_90": arm(90, quick=True), "arm_60": arm(60), "arm_45": arm(45),
    "bridge_90": bridge(90, quick=True), "bridge_60": bridge(60),
    "letter": letter(), "letter_with_insert": letter_with_insert(),
}

ABOUT = (
    "Wooden arms, bridges and letters as three-dimensional orthotropic solids, by scikit-fem with 27-node hexahedra on three grids. "
    "Every load is 100 N in all. work is the load times the way it goes, N mm. A plane runs upright through the wood on the line from, to; "
    "a window is [from, to] along it and [from, to] in z, in mm; its mean traction [normal, along the line, upwards], MPa, acts on the "
    "wood left of the line; the normal points to the right of it. Values are carried on to infinitely fine grids."
)


def main():
    assembly_agrees_with_scikit_fem()
    stands = {}
    if "--quick" in sys.argv[1:]:
        sys.argv.append("--check")
        stands = json.loads((Path(__file__).with_suffix(".json")).read_text())["models"]
    models = {}
    for name, model in MODELS.items():
        if stands and not model.quick:
            models[name] = stands[name]
        else:
            print(f"  {name}", file=sys.stderr, flush=True)
            models[name] = solve(model)
    libraries = ["numpy", "scipy", "scikit-fem", "pypardiso", "mkl", "shapely"]
    store(__file__, ABOUT, libraries, {"load_n": LOAD, "wood": CHERRY, "divisions": MESHES, "models": models}, depth=5)


if __name__ == "__main__":
    main()
