"""Timing things in turn, so that what disturbs one disturbs the others too."""

from statistics import median
from time import perf_counter


def interleaved(acts: dict, *, rounds: int, clock=perf_counter) -> dict[object, float]:
    """The median of each act in milliseconds: one of each in turn, `rounds` times, after one for warmth.

    `clock` may be that of the processor where all the work is in this process: others on the machine then
    disturb little.
    """
    times: dict[object, list[float]] = {name: [] for name in acts}
    for turn in range(rounds + 1):
        for name, act in acts.items():
            begun = clock()
            act()
            if turn:
                times[name].append((clock() - begun) * 1000)
    return {name: median(taken) for name, taken in times.items()}
