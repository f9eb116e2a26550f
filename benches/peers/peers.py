"""Sod's shock tube by PyClaw, by its Fortran kernel alone and by this project's ducts, in turn. Called by run.sh.

PyClaw as used: its classic second-order algorithm through its controller, as in tests/gas_dynamics/side_by_side. The kernel
alone: `step1` called in a loop with the one step that keeps the Courant number below 0.9, no ends, no choice of the step. The
ducts: `cargo bench --bench sod`. Each round runs all of them, so that a busy computer slows all; medians over the rounds, and the
fastest of all runs, in time of the processor.
Error: mean absolute difference of density to the cell means of the exact solution at t = 0.2.
"""

import datetime
import logging
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(ROOT / "tests/gas_dynamics/side_by_side"))

import numpy as np  # noqa: E402
import pyclaw_tubes  # noqa: E402
from clawpack import riemann  # noqa: E402

LEFT, RIGHT, MEMBRANE, END = pyclaw_tubes.TUBES["Sod"]
GAMMA = pyclaw_tubes.GAMMA
CELLS = (200, 400)
ROUNDS = 25
# Runs of PyClaw in a round, of which the median counts; the ducts have more of their own.
RUNS = 5
# Largest |u| + c of the solution, in the gas behind the contact, a little above the exact 2.1915: fixes the kernel's step.
FASTEST = 2.2
COURANT = 0.9
GHOSTS = 2
SOLVERS = {"Roe": riemann.euler_with_efix_1D, "HLLE": riemann.euler_hlle_1D}
OURS = "ducts of this project"
# Wanted: cell-updates a second over PyClaw's kernel alone and over PyClaw as used.
WANTED = {"kernel": 6, "PyClaw": 20}


def several(run, *arguments):
    """The run of median time among `RUNS`, and the shortest time."""
    done = sorted((run(*arguments) for _ in range(RUNS)), key=lambda done: done[1])
    return done[RUNS // 2], done[0][1]


def density_error(rho):
    cells = len(rho)
    parts = pyclaw_tubes.PARTS
    x = (np.arange(cells * parts) + 0.5) / (cells * parts)
    exact = pyclaw_tubes.density((x - MEMBRANE) / END, LEFT, RIGHT).reshape(cells, parts).mean(axis=1)
    return np.abs(rho - exact).mean()


def controller(solver, cells):
    """Steps, ns per cell-update, error."""
    whole, solution = pyclaw_tubes.prepare(cells, LEFT, RIGHT, MEMBRANE, solver)
    start = time.process_time()
    steps = whole.evolve_to_time(solution, END)["numsteps"]
    seconds = time.process_time() - start
    return steps, 1e9 * seconds / (steps * cells), density_error(solution.q[0])


def kernel(solver, cells):
    """The same of `step1` alone, in a loop."""
    whole, solution = pyclaw_tubes.prepare(cells, LEFT, RIGHT, MEMBRANE, solver)
    q = np.pad(solution.q, ((0, 0), (GHOSTS, GHOSTS)), mode="edge").copy(order="F")
    steps = int(np.ceil(END * FASTEST * cells / COURANT))
    dx, dt = 1 / cells, END / steps
    others = (whole._method, whole._mthlim, whole.fwave, whole.rp.rp1._cpointer)
    step1, aux = whole.fmod.step1, whole.auxbc
    start = time.process_time()
    for _ in range(steps):
        q, cfl = step1(GHOSTS, cells, q, aux, dx, dt, *others)
    seconds = time.process_time() - start
    assert cfl <= 1, "the kernel's step is too long"
    return steps, 1e9 * seconds / (steps * cells), density_error(q[0, GHOSTS:-GHOSTS])


def ducts():
    """For each number of cells, the same of this project, and its fastest."""
    done = subprocess.run(
        ["cargo", "bench", "--quiet", "--bench", "sod"], cwd=ROOT, check=True, capture_output=True, text=True
    )
    rows = {}
    for line in done.stdout.splitlines():
        words = line.split()
        if words[:1] == ["cells"]:
            row = {name: float(value) for name, value in zip(words[::2], words[1::2])}
            done = (int(row["steps"]), row["median_ns"], row["l1_density"])
            rows[int(row["cells"])] = (done, row["fastest_ns"])
    return rows


def computer():
    for line in pathlib.Path("/proc/cpuinfo").read_text().splitlines():
        if line.startswith("model name"):
            return f"{line.split(':')[1].strip()}, {os.cpu_count()} cores"
    return f"unknown processor, {os.cpu_count()} cores"


def one_round(rows):
    ours = ducts()
    for cells in CELLS:
        rows.setdefault((OURS, cells), []).append(ours[cells])
        for name, solver in SOLVERS.items():
            rows.setdefault((f"PyClaw as used, {name}", cells), []).append(several(controller, solver, cells))
            rows.setdefault((f"its kernel alone, {name}", cells), []).append(several(kernel, solver, cells))


def table(rows):
    lines = [
        f"{datetime.date.today()}, {computer()}, {ROUNDS} rounds:",
        "",
        "| Sod, t = 0.2 | cells | steps | ns per cell-update | fastest | ducts faster by | by the fastest | L1 of density |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for (name, cells), done in sorted(rows.items(), key=lambda row: row[0][1]):
        steps, _, error = done[0][0]
        median = statistics.median(times[1] for times, _ in done)
        fastest = min(time for _, time in done)
        # Each round by itself, so that a slow one does not spoil the ratio.
        ours = rows[OURS, cells]
        ratio = statistics.median(theirs[0][1] / own[0][1] for theirs, own in zip(done, ours))
        least = fastest / min(time for _, time in ours)
        shown = " | " if name == OURS else f"{ratio:.1f} | {least:.1f}"
        lines.append(f"| {name} | {cells} | {steps} | {median:.1f} | {fastest:.1f} | {shown} | {error:.3e} |")
    return "\n".join(lines)


def keep(text):
    """Puts the table between its two marks in README.md."""
    readme = HERE / "README.md"
    before, rest = readme.read_text().split("<!-- table -->\n", 1)
    _, after = rest.split("<!-- end -->", 1)
    readme.write_text(f"{before}<!-- table -->\n{text}\n<!-- end -->{after}")


def main():
    logging.disable(logging.CRITICAL)
    os.chdir(tempfile.mkdtemp())  # PyClaw leaves an empty log where it runs
    rows = {}
    for number in range(ROUNDS):
        print(f"round {number + 1} of {ROUNDS}", file=sys.stderr)
        one_round(rows)
    text = table(rows)
    keep(text)
    print(text)
    print(f"wanted: {WANTED['kernel']} times the kernel alone, {WANTED['PyClaw']} times PyClaw as used")


if __name__ == "__main__":
    main()
