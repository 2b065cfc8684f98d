"""How long scikit-fem takes over a plate with an arm, to print beside our own times.

    python3 tests/reference/solid_speed.py 20000 100000            one JSON line for each number of unknowns wanted
    python3 tests/reference/solid_speed.py --loads 1,32,128 --threads 1 --solver superlu 50000

The wood is that of solids.py, the elements are its hexahedra with 27 nodes, in two layers or more. Each line says how many
unknowns there really are, the seconds for setting up the basis, assembling, factoring (ordering included) and solving so many loads, and
the most memory the process has held. Assembly is scikit-fem's, in the fastest form found: one scalar form for each pair of
slopes, combined by the constants, about nine times faster than its vector element. Solvers: pardiso is oneMKL's Cholesky, by pypardiso; superlu is scipy's.
"""

import argparse
import json
import os
import resource
import sys
import time


def asked():
    parser = argparse.ArgumentParser(description="Times of scikit-fem, one JSON line for each size.")
    parser.add_argument("unknowns", type=int, nargs="+")
    parser.add_argument("--loads", default="1,32", help="how many right-hand sides at once, by commas")
    parser.add_argument("--threads", default="1", help="threads for oneMKL and the rest")
    parser.add_argument("--solver", default="pardiso", choices=["pardiso", "superlu"])
    return parser.parse_args()


ASKED = asked()
for variable in ("OMP_NUM_THREADS", "MKL_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[variable] = ASKED.threads  # before numpy is there

import numpy as np
from scipy.sparse import bmat, triu
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, MeshHex

from solids import CHERRY, stiffness


def plate(wanted):
    """An arm 8 x 30 on what is free of a block, 19 x 40, 19 thick, with about so many unknowns; its end at x = -19 is held."""
    layers = 2 if wanted < 150_000 else 3

    def cells(h):
        """Of cells about h long: block and arm along x; one side of the block, and the arm, along y."""
        return [max(1, round(length / h)) for length in (19, 30, 16, 8)]

    def unknowns(h):
        block, arm, beside, across = cells(h)
        return 3 * (2 * layers + 1) * (2 * block * (4 * beside + 2 * across + 1) + 2 * arm * (2 * across + 1))

    low, high = 0.1, 16.0
    for _ in range(50):
        h = (low + high) / 2
        low, high = (low, h) if unknowns(h) < wanted else (h, high)
    h = min(low, high, key=lambda h: abs(unknowns(h) - wanted))
    block, arm, beside, across = cells(h)
    joined = lambda *parts: np.unique(np.concatenate([np.linspace(a, b, n + 1) for a, b, n in parts]))
    grid = MeshHex.init_tensor(
        joined((-19, 0, block), (0, 30, arm)), joined((-20, -4, beside), (-4, 4, across), (4, 20, beside)), np.linspace(0, 19, layers + 1),
    )
    x, y, _ = grid.p[:, grid.t].mean(axis=1)
    return grid.restrict(np.flatnonzero((x < 0) | (np.abs(y) < 4)))


def assembled(basis, c):
    """Stiffness from nine scalar forms: the slope of one function by one axis times that of another by another."""
    def slopes(j, l):
        return BilinearForm(lambda u, v, _: u.grad[l] * v.grad[j]).assemble(basis)

    pairs = {(j, l): slopes(j, l) for j in range(3) for l in range(j, 3)}
    pairs |= {(l, j): pairs[j, l].T.tocsr() for j in range(3) for l in range(j + 1, 3)}
    blocks = [[None] * 3 for _ in range(3)]
    for i in range(3):
        for k in range(3):
            terms = [c[i, j, k, l] * pairs[j, l] for j in range(3) for l in range(3) if abs(c[i, j, k, l]) > 1e-9]
            blocks[i][k] = sum(terms[1:], start=terms[0]) if terms else None
    return bmat(blocks, format="csr")


class Pardiso:
    def __init__(self, matrix):
        from pypardiso import PyPardisoSolver

        self.matrix, self.solver = triu(matrix, format="csr"), PyPardisoSolver(mtype=2)
        self.solver.factorize(self.matrix)

    def solve(self, loads):
        self.solver.set_phase(33)  # at once: the public way compares the whole matrix with the factored one first
        return self.solver._call_pardiso(self.matrix, loads)

    def free(self):
        self.solver.free_memory(everything=True)


class SuperLu:
    def __init__(self, matrix):
        self.factor = splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})

    def solve(self, loads):
        return self.factor.solve(loads)

    def free(self):
        self.factor = None


def timed(work):
    start = time.perf_counter()
    made = work()
    return made, round(time.perf_counter() - start, 4)


def run(wanted, quiet=False):
    mesh, meshing = timed(lambda: plate(wanted))
    busy = time.process_time()
    basis, setting = timed(lambda: Basis(mesh, ElementHex2(), intorder=4))
    free = np.flatnonzero(np.tile(basis.doflocs[0] > -19 + 1e-9, 3))
    matrix, assembling = timed(lambda: assembled(basis, stiffness(CHERRY, 60.0))[free][:, free])
    solver, factoring = timed(lambda: (Pardiso if ASKED.solver == "pardiso" else SuperLu)(matrix))
    busy = time.process_time() - busy
    solves = {}
    random = np.random.default_rng(1)
    for count in map(int, ASKED.loads.split(",")):
        loads = np.asfortranarray(random.standard_normal((len(free), count)))
        moves, solves[count] = timed(lambda: solver.solve(loads))
        left = np.abs(matrix @ moves - loads).max() / np.abs(loads).max()
        assert left < 1e-6, left
    solver.free()
    if quiet:
        return
    print(json.dumps({
        "library": "scikit-fem", "solver": ASKED.solver, "threads": int(ASKED.threads), "unknowns": len(free), "elements": mesh.nelements,
        "mesh_s": meshing, "basis_s": setting, "assemble_s": assembling, "factor_s": factoring, "solve_s": solves,
        "whole_s": round(setting + assembling + factoring + sum(list(solves.values())[:1]), 4),
        "before_solves_cpu_s": round(busy, 4), "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
    }), flush=True)


if __name__ == "__main__":
    run(1000, quiet=True)  # libraries load and warm up
    for wanted in ASKED.unknowns:
        run(wanted)
