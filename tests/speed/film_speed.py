"""Speed of the film engine beside two peers, on one workload in one run; prints ratios, gates nothing.

Workload: 12 stacks of 1 to 8 layers (a third of them with an absorbing layer), 81 wavelengths,
32 angles in air, 200 thickness draws; unpolarised reflectance and transmittance; two threads.
Median of five runs, after one to warm up. The `tmm` package computes one cell at a time, so it does a
sample of cells of every stack and its time is scaled up; `tmm_fast` computes everything, one
polarisation at a time. Run: ``python tests/speed/film_speed.py``.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np

from planner.optics.film import stack

WAVELENGTHS = np.arange(380.0, 781.0, 5.0)
ANGLES = np.radians(np.linspace(0.0, 85.0, 32))
DRAWS = 200
GLASS = 1.52
SAMPLE = 40  # cells of each stack given to the one-cell-at-a-time package
Stack = tuple[np.ndarray, np.ndarray]


def workload() -> list[Stack]:
    """Return (thickness (T, L), layer_index (L, W)) of twelve stacks, the same in every run."""
    rng = np.random.default_rng(20)
    stacks = []
    for number, layers in enumerate((1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 4, 6)):
        n = rng.uniform(1.38, 2.5, layers)[:, None] + 8e3 / WAVELENGTHS**2 + 0j
        if number % 3 == 2:
            n[layers // 2] += 1j * rng.uniform(0.05, 2.0)
        nominal = rng.uniform(20.0, 180.0, layers)
        stacks.append((nominal * rng.normal(1.0, 0.05, (DRAWS, layers)), n))
    return stacks


def ours(stacks: list[Stack], threads: int = 2) -> list[np.ndarray]:
    """Return reflectance and transmittance (2, T, A, W) of each stack."""
    ones = np.ones(WAVELENGTHS.size)
    found = []
    for nm, n in stacks:
        film = stack(WAVELENGTHS, np.sin(ANGLES), nm, n, ones, GLASS * ones, threads=threads)
        found.append(np.array([film.front, film.through]))
    return found


def fast_peer(stacks: list[Stack]) -> list[np.ndarray]:
    """Return the same from tmm_fast: draws are its stacks."""
    import tmm_fast
    import torch

    torch.set_num_threads(2)
    found = []
    for nm, n in stacks:
        shape = (DRAWS, n.shape[0] + 2, WAVELENGTHS.size)
        index = np.empty(shape, complex)
        index[:, 0], index[:, 1:-1], index[:, -1] = 1.0, n, GLASS
        metres = np.full(shape[:2], np.inf)
        metres[:, 1:-1] = nm * 1e-9
        both = [tmm_fast.coh_tmm(pol, index, metres, ANGLES, WAVELENGTHS * 1e-9) for pol in "sp"]
        found.append(np.array([sum(np.asarray(one[key]) for one in both) / 2 for key in "RT"]))
    return found


def plain_peer(stacks: list[Stack]) -> tuple[float, float]:
    """Return seconds that tmm would need for the workload, and its largest difference from ours."""
    import tmm

    answers, rng, needed, worst = ours(stacks), np.random.default_rng(3), 0.0, 0.0
    for (nm, n), answer in zip(stacks, answers, strict=True):
        picks = [tuple(rng.integers(0, size) for size in answer.shape[1:]) for _ in range(SAMPLE)]
        began = time.perf_counter()
        results = [
            [
                tmm.coh_tmm(pol, [1.0, *n[:, w], GLASS], [np.inf, *nm[t], np.inf], ANGLES[a], WAVELENGTHS[w])
                for pol in "sp"
            ]
            for t, a, w in picks
        ]
        needed += (time.perf_counter() - began) * answer[0].size / SAMPLE
        for pick, both in zip(picks, results, strict=True):
            for row, key in enumerate("RT"):
                mean = (both[0][key] + both[1][key]) / 2
                worst = max(worst, abs(mean - answer[(row, *pick)]))
    return needed, worst


def median_of_five(work: Callable[[], object]) -> float:
    """Return the median seconds of five runs, after one to warm up."""
    seconds = []
    for _ in range(6):
        began = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - began)
    return statistics.median(seconds[1:])


def small_call() -> float:
    """Return the median seconds of one stack of two layers, 9 draws, 28 invariants, 81 wavelengths."""
    ones, rng = np.ones(WAVELENGTHS.size), np.random.default_rng(5)
    nm, n = rng.uniform(50, 200, (9, 2)), np.array([1.46, 2.35])[:, None] * ones
    return median_of_five(lambda: stack(WAVELENGTHS, np.linspace(0, 1.5, 28), nm, n, ones, GLASS * ones))


def main() -> None:
    """Measure, compare and print."""
    stacks = workload()
    answers = ours(stacks)
    cells = sum(answer[0].size for answer in answers)
    print(f"{len(stacks)} stacks, {cells / 1e6:.1f} million cells, unpolarised R and T")
    mine = median_of_five(lambda: ours(stacks))
    alone = median_of_five(lambda: ours(stacks, threads=1))
    print(f"this engine, two threads   {mine:9.3f} s")
    print(f"this engine, one thread    {alone:9.3f} s   ({alone / mine:.2f} times as long)")
    print(f"this engine, a small call  {small_call() * 1e3:9.3f} ms")
    needed, worst = plain_peer(stacks)
    print(
        f"tmm (scaled from {SAMPLE} cells a stack) {needed:9.1f} s   ratio {needed / mine:,.0f}"
        f"   largest difference {worst:.1e}"
    )
    try:
        theirs = fast_peer(stacks)
    except ImportError:
        print("tmm_fast is not installed: no second ratio")
        return
    worst = max(np.abs(a - b).max() for a, b in zip(answers, theirs, strict=True))
    seconds = median_of_five(lambda: fast_peer(stacks))
    print(
        f"tmm_fast, two threads      {seconds:9.3f} s   ratio {seconds / mine:,.1f}"
        f"   largest difference {worst:.1e}"
    )


if __name__ == "__main__":
    main()
