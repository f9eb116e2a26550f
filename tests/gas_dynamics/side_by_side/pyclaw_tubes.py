"""Writes pyclaw.csv: shock tubes solved by PyClaw, a general-purpose library for hyperbolic equations.

    pip install -r requirements.txt
    python3 pyclaw_tubes.py > pyclaw.csv

The classic second-order algorithm with Roe's solver, the MC limiter and a CFL number of 0.9: the usual choice. Error: the
mean absolute difference of density to the cell means of the exact solution, each over 40 points of the cell, on a tube of
length 1. Time: the best of 20 runs, over steps and cells.

Problems: Sod, J. Comput. Phys. 27 (1978) 1; Lax, Comm. Pure Appl. Math. 7 (1954) 159 (from memory). The exact solution
stands here by itself, so that it does not share a mistake with the library's: Toro, Riemann Solvers and Numerical Methods
for Fluid Dynamics, 2009, chapter 4 (from memory).
"""

import logging
import os
import tempfile
import time

import numpy as np

GAMMA = 1.4
PARTS, RUNS = 40, 20
# name: left and right (rho, u, p), place of the membrane, time of comparison
TUBES = {
    "Sod": ((1.0, 0.0, 1.0), (0.125, 0.0, 0.1), 0.5, 0.2),
    "Lax": ((0.445, 0.698, 3.528), (0.5, 0.0, 0.571), 0.5, 0.13),
}


def sound(state):
    return np.sqrt(GAMMA * state[2] / state[0])


def change(p, state):
    """Change of velocity across the wave from `state` to the pressure `p`."""
    rho, _, p_k = state
    if p > p_k:
        return (p - p_k) * np.sqrt(2 / ((GAMMA + 1) * rho) / (p + (GAMMA - 1) / (GAMMA + 1) * p_k))
    return 2 * sound(state) / (GAMMA - 1) * ((p / p_k) ** (0.5 * (GAMMA - 1) / GAMMA) - 1)


def between(left, right):
    """Pressure and velocity between the waves, by bisection."""
    lo, hi = 1e-9, 1e9
    for _ in range(200):
        p = np.sqrt(lo * hi)
        if change(p, left) + change(p, right) + right[1] - left[1] > 0:
            hi = p
        else:
            lo = p
    return p, 0.5 * (left[1] + right[1] + change(p, right) - change(p, left))


def half(s, state, p, u):
    """Density on the rays `s` left of the contact."""
    rho, u_k, p_k = state
    c = sound(state)
    if p > p_k:
        m = (GAMMA - 1) / (GAMMA + 1)
        speed = u_k - c * np.sqrt(0.5 * (GAMMA + 1) / GAMMA * p / p_k + 0.5 * (GAMMA - 1) / GAMMA)
        return np.where(s < speed, rho, rho * (p / p_k + m) / (m * p / p_k + 1))
    star = rho * (p / p_k) ** (1 / GAMMA)
    head, tail = u_k - c, u - sound((star, u, p))
    fan = (2 + (GAMMA - 1) * (u_k - np.clip(s, head, tail)) / c) / (GAMMA + 1)
    return np.where(s < head, rho, np.where(s > tail, star, rho * fan ** (2 / (GAMMA - 1))))


def density(s, left, right):
    """Exact density on the rays `s = x/t`."""
    p, u = between(left, right)
    mirrored = (right[0], -right[1], right[2])
    return np.where(s < u, half(s, left, p, u), half(-s, mirrored, p, -u))


def prepare(cells, left, right, x0, riemann_solver=None):
    """Solver, Roe's unless another is given, and the tube before it bursts."""
    from clawpack import pyclaw, riemann

    solver = pyclaw.ClawSolver1D(riemann_solver or riemann.euler_with_efix_1D)
    solver.order = 2
    solver.limiters = pyclaw.limiters.tvd.MC
    solver.cfl_desired, solver.cfl_max = 0.9, 1.0
    solver.bc_lower[0] = solver.bc_upper[0] = pyclaw.BC.extrap
    domain = pyclaw.Domain([pyclaw.Dimension(0.0, 1.0, cells, name="x")])
    state = pyclaw.State(domain, 3)
    state.problem_data["gamma"] = GAMMA
    x = state.grid.p_centers[0]
    rho, u, p = (np.where(x < x0, left[k], right[k]) for k in range(3))
    state.q[0], state.q[1], state.q[2] = rho, rho * u, p / (GAMMA - 1) + 0.5 * rho * u * u
    solution = pyclaw.Solution(state, domain)
    solver.setup(solution)
    return solver, solution


def solve(cells, left, right, x0, t_end):
    """Density in the cells, number of steps, seconds."""
    solver, solution = prepare(cells, left, right, x0)
    start = time.perf_counter()
    status = solver.evolve_to_time(solution, t_end)
    return solution.q[0], status["numsteps"], time.perf_counter() - start


def main():
    logging.disable(logging.CRITICAL)
    os.chdir(tempfile.mkdtemp())  # PyClaw leaves an empty log where it runs
    print("problem,cells,steps,l1_density,seconds_per_cell_update")
    for name, (left, right, x0, t_end) in TUBES.items():
        for cells in (200, 400):
            runs = [solve(cells, left, right, x0, t_end) for _ in range(RUNS)]
            rho, steps, _ = runs[0]
            x = (np.arange(cells * PARTS) + 0.5) / (cells * PARTS)
            means = density((x - x0) / t_end, left, right).reshape(cells, PARTS).mean(axis=1)
            error = np.abs(rho - means).mean()
            fastest = min(seconds for _, _, seconds in runs) / (steps * cells)
            print(f"{name},{cells},{steps},{error:.6e},{fastest:.2e}")


if __name__ == "__main__":
    main()
