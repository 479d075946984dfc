"""Timing things in turn, so that what disturbs one disturbs the others too."""

from statistics import median
from time import perf_counter


def interleaved(acts: dict, *, rounds: int) -> dict[object, float]:
    """The median of each act in milliseconds: one of each in turn, `rounds` times, after one for warmth."""
    times: dict[object, list[float]] = {name: [] for name in acts}
    for turn in range(rounds + 1):
        for name, act in acts.items():
            begun = perf_counter()
            act()
            if turn:
                times[name].append((perf_counter() - begun) * 1000)
    return {name: median(taken) for name, taken in times.items()}
