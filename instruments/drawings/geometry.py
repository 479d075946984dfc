"""Curves as points, dashes along a line, an outline drawn in from its edge."""

from itertools import pairwise

Point = tuple[float, float]

STEPS_OF_A_CURVE = 24


def flattened(steps: tuple[tuple, ...]) -> list[tuple[list[Point], bool]]:
    """Each run of the path as points, and whether it is closed."""
    runs: list[tuple[list, bool]] = []
    for letter, *numbers in steps:
        if letter == "M":
            runs.append(([tuple(numbers)], False))
        elif letter == "L":
            runs[-1][0].append(tuple(numbers))
        elif letter == "C":
            runs[-1][0].extend(_curve(runs[-1][0][-1], numbers))
        else:
            runs[-1] = (runs[-1][0], True)
    return runs


def _curve(start: Point, numbers: list[float]) -> list[Point]:
    """Points along a cubic Bezier curve."""
    corners = (start, tuple(numbers[0:2]), tuple(numbers[2:4]), tuple(numbers[4:6]))
    points = []
    for step in range(1, STEPS_OF_A_CURVE + 1):
        along = step / STEPS_OF_A_CURVE
        back = 1 - along
        shares = (back**3, 3 * back**2 * along, 3 * back * along**2, along**3)
        points.append(
            tuple(
                sum(share * corner[axis] for share, corner in zip(shares, corners, strict=True))
                for axis in (0, 1)
            )
        )
    return points


def dashes(points: list[Point], lengths: list[float]) -> list[list[Point]]:
    """The drawn pieces of a dashed line; a single length is both mark and gap."""
    pattern = lengths * 2 if len(lengths) == 1 else lengths
    pieces, index, left_over = [], 0, pattern[0]
    for (x1, y1), (x2, y2) in pairwise(points):
        whole = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        gone = 0.0
        while gone < whole:
            step = min(left_over, whole - gone)
            if index % 2 == 0:
                ends = [
                    (x1 + (x2 - x1) * part / whole, y1 + (y2 - y1) * part / whole)
                    for part in (gone, gone + step)
                ]
                pieces.append(ends)
            gone += step
            left_over -= step
            if left_over <= 1e-9:
                index = (index + 1) % len(pattern)
                left_over = pattern[index]
    return pieces


def inset(points: list[Point], distance: float) -> list[Point]:
    """A closed outline moved inwards; for outlines that bend gently. Points run clockwise on the screen."""
    moved = []
    for index, (x, y) in enumerate(points):
        (x1, y1), (x2, y2) = points[index - 1], points[(index + 1) % len(points)]
        before, after = _inward(x - x1, y - y1), _inward(x2 - x, y2 - y)
        across, down = before[0] + after[0], before[1] + after[1]
        # At a corner the inner point lies further off, so that both sides keep their distance.
        stretch = 2 / max(0.5, across**2 + down**2) if across or down else 0
        moved.append((x + across * distance * stretch, y + down * distance * stretch))
    return moved


def _inward(across: float, down: float) -> Point:
    length = (across**2 + down**2) ** 0.5 or 1.0
    return -down / length, across / length


def crossing(points: list[Point], y: float) -> float:
    """The rightmost place where a closed outline crosses the level y; ValueError where it does not."""
    crossed = []
    for (x1, y1), (x2, y2) in pairwise([*points, points[0]]):
        if y1 != y2 and min(y1, y2) <= y <= max(y1, y2):
            crossed.append(x1 + (x2 - x1) * (y - y1) / (y2 - y1))
    return max(crossed)
