"""A frame glued up of three plies, its legs swayed, by scikit-fem, to compare our own solid model with.

    python3 tests/reference/plies.py           remake plies.json
    python3 tests/reference/plies.py --check   compare with it

Two rails on two legs 6 mm wide, 66 x 104 mm and 12 mm thick, of cherry; the outer plies' grain runs along the rails, the middle one's, 4 mm
thick, along the legs. The upper rail is held from 12 mm beyond the legs on; a push of 1 N acts on the lower corner's wall, over 3 mm of its
length and all of its height. Elements are hexahedra with 27 nodes on a grid that crowds towards the legs' corners; as the push stretches
the frame alone, half of the thickness is modelled. Asked is the mean stress in the wood whose grain runs along the rails, at the leg's lower root, over the
1.5 mm beside the opening and each window of 3 mm through the thickness (of the bare frame the outermost and the middle one, of the outer ply the
outermost and the innermost), and the push at which the weakest parts.
"""

import math

import numpy as np
from pypardiso import spsolve
from skfem import Basis, FacetBasis, InteriorFacetBasis, LinearForm, MeshHex

from solids import CHERRY, HEX, assembled, dofs_of, element_matrices, stiffness
from store import significant, store

ACROSS, ALONG = 3.9, 11.7  # MPa: tension across the grain; shear along it and, a third of that, rolling
FINEST, GROWTH = 0.375, 1.8  # mm at a corner; sides grow away from it by so much each


def away(length):
    """From a corner on: lengths of sides that grow."""
    ends, side = [0.0], FINEST
    while ends[-1] < length:
        ends.append(ends[-1] + side)
        side *= GROWTH
    return np.array(ends) * length / ends[-1]


def between(a, b):
    half = away((b - a) / 2)
    return np.concatenate([a + half, b - half])


def leg(a):
    return np.concatenate([np.linspace(a, a + 1.5, 5), np.linspace(a + 1.5, a + 4.5, 4), np.linspace(a + 4.5, a + 6, 5)])


def frame():
    grid = lambda *parts: np.unique(np.round(np.concatenate(parts), 9))
    xs = grid(leg(0.0), between(6.0, 60.0), leg(60.0))
    ys = grid([0.0, 3.0], 24 - away(21.0), between(24.0, 64.0), 64 + away(40.0))
    mesh = MeshHex.init_tensor(xs, ys, np.array([0.0, 1.5, 2.0, 3.0, 5.0, 6.0]))
    x, y, _ = mesh.p[:, mesh.t].mean(axis=1)
    opening = (x > 6) & (x < 60) & (y > 24) & (y < 64)
    beside = [np.maximum(np.maximum(a - x, x - a - 6), 0) for a in (0, 60)]
    held = (y > 64) & (np.minimum(*[np.hypot(dx, y - 64) for dx in beside]) > 12)
    return mesh.restrict(np.nonzero(~opening & ~held)[0])


def breaks(plied):
    mesh = frame()
    basis = Basis(mesh, HEX, intorder=5)
    woods = [stiffness(CHERRY, 0.0), stiffness(CHERRY, 90.0)]
    middle = (mesh.p[2][mesh.t].mean(axis=0) < 2) & plied
    plies = woods[: 1 + plied]
    stiff = assembled(element_matrices(basis, plies, middle.astype(int)), dofs_of(basis), 3 * basis.N)
    wall = FacetBasis(mesh, HEX, facets=mesh.facets_satisfying(lambda p: (abs(p[0] - 66) < 1e-9) & (p[1] < 3)))
    load = np.outer(LinearForm(lambda v, _: v / (3.0 * 12.0)).assemble(wall), [-1.0, 0.0, 0.0]).ravel()
    rim = mesh.boundary_facets()
    x, y, z = mesh.p[:, mesh.facets[:, rim]].mean(axis=1)
    walls = [abs(x) < 1e-9, abs(x - 66) < 1e-9, abs(y - 64) < 1e-9, abs(y - 104) < 1e-9, abs(z) < 1e-9, abs(z - 6) < 1e-9]
    firm = basis.get_dofs(rim[(y > 64) & ~np.any(walls, axis=0)]).all()
    mirror = basis.get_dofs(rim[abs(z) < 1e-9]).all()
    is_free = np.ones((basis.N, 3), bool)
    is_free[firm] = False
    is_free[mirror, 2] = False
    free = np.flatnonzero(is_free)
    u = np.zeros(3 * basis.N)
    u[free] = spsolve(stiff[free][:, free].tocsr(), load[free])

    windows = [(3.0, 6.0), (2.0, 5.0)] if plied else [(3.0, 6.0), (0.0, 1.5)]
    return min((window(mesh, u, woods[0], through) for through in windows), key=lambda found: found["breaks_at_n"])


def window(mesh, u, wood, through):
    """Mean stress in the leg's wood beside its root, and the push that parts it."""
    near = lambda p: (abs(p[1] - 24) < 1e-9) & (p[0] > 60) & (p[0] < 61.5)
    root = mesh.facets_satisfying(lambda p: near(p) & (p[2] > through[0]) & (p[2] < through[1]))
    for side in (0, 1):
        seen = InteriorFacetBasis(mesh, HEX, facets=root, side=side)
        if mesh.p[1][mesh.t[:, seen.tind]].mean() > 24:
            slopes = np.array([seen.interpolate(u[axis::3]).grad for axis in range(3)])
            stress = np.einsum("ijkl,klfq,fq->ij", wood, slopes, seen.dx) / seen.dx.sum()
    pull, slide, roll = stress[1, 1], stress[0, 1], stress[1, 2]
    index = math.hypot(max(pull, 0.0) / ACROSS, slide / ALONG, roll / (ALONG / 3))
    values = {"pull": pull, "slide": slide, "roll": roll, "breaks_at_n": 1 / index}
    return {"window_mm": through, **{name: significant(value, 4) for name, value in values.items()}}


def main():
    about = "A push that sways a portal of cherry, bare and of three plies: mean stresses of 1 N in the weakest window at a leg's root (MPa), by scikit-fem."
    store(__file__, about, ["scikit-fem", "pypardiso", "numpy"], {"bare": breaks(False), "three_plies": breaks(True)})


if __name__ == "__main__":
    main()
