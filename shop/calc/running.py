"""One column of sums, and what stands after each of them. Minor units throughout."""

from collections.abc import Sequence


def standing_after(sums: Sequence[int], last: int) -> list[int]:
    """What stands after each sum, reckoned back from what stands after the last; any int, no error.

    Reckoned back, so that the newest steps of a long account are right without the ones before them.
    """
    after = []
    for each in reversed(sums):
        after.append(last)
        last -= each
    return after[::-1]
