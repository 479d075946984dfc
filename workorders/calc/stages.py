"""The order of work in stages, so that a long library can be read."""

from bisect import bisect_right

# First rank of each stage; the ranks are those of the task library.
STAGES = (
    (0, "Record and clean"),
    (30, "Frame, plank, bridges and board"),
    (52, "Strings and pitch"),
    (60, "Keys"),
    (75, "Action and hammers"),
    (100, "Regulation"),
    (120, "Tuning, touch and tone"),
    (160, "Case"),
    (180, "Finish"),
)


def stage_of(rank: int) -> str:
    """The stage that a rank of the order of work falls into."""
    return STAGES[bisect_right([first for first, _ in STAGES], max(rank, 0)) - 1][1]
