"""Bars in lanes and labels in a column, without one touching another."""

from collections.abc import Sequence

SMALLEST_GAP = 10.0


def lanes_of(bars: Sequence[tuple[float, float]]) -> list[int]:
    """A lane for each bar (from, to): the longest first, and each in the first lane where it fits."""
    taken: list[list[tuple[float, float]]] = []
    lanes = [0] * len(bars)
    for place in sorted(range(len(bars)), key=lambda n: bars[n][0] - bars[n][1]):
        start, end = bars[place][0] - SMALLEST_GAP / 2, bars[place][1] + SMALLEST_GAP / 2
        lane = next((n for n, lane in enumerate(taken) if _is_free(lane, start, end)), len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((start, end))
        lanes[place] = lane
    return lanes


def _is_free(lane: list[tuple[float, float]], start: float, end: float) -> bool:
    return all(end <= low or start >= high for low, high in lane)


def spread(anchors: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """The middles of labels that want to stand at their anchors: in that order, apart, from `low` to `high`.

    Neighbours that would touch move together to their common mean (pooling of adjacent violators), which is
    the least total of squared moves. Labels that need more room than there is run on below `high`.
    """
    order = sorted(range(len(anchors)), key=lambda place: anchors[place])
    offsets, used = [], 0.0
    for place in order:
        offsets.append(used + heights[place] / 2)
        used += heights[place]
    pools: list[tuple[float, int]] = []
    for place, offset in zip(order, offsets, strict=True):
        wanted, count = anchors[place] - offset, 1
        while pools and pools[-1][0] > wanted:
            other, others = pools.pop()
            wanted, count = (wanted * count + other * others) / (count + others), count + others
        pools.append((wanted, count))
    most = max(low, high - used)
    shifts = [min(max(wanted, low), most) for wanted, count in pools for _ in range(count)]
    middles = [0.0] * len(anchors)
    for place, offset, shift in zip(order, offsets, shifts, strict=True):
        middles[place] = offset + shift
    return middles
