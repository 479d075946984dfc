"""Prices below the floor. The page prints it, the action refuses by it."""

from instruments.problems import Blocker, Caution, Problem

BELOW = "This price is below the floor: it does not cover what the piano cost, its tax and the profit wanted."


def asking_problems(amount_minor: int, floor_minor: int | None, *, reason: str, by) -> list[Problem]:
    """Why a price may not be asked by this person, or what to mind. The floor itself is not told here."""
    if floor_minor is None or amount_minor >= floor_minor:
        return []
    if not by.has_perm("shop.run_shop"):
        return [Blocker(f"{BELOW} Only somebody who runs the shop may ask it.")]
    if not reason.strip():
        return [Blocker(f"{BELOW} Say why it is asked all the same.")]
    return [Caution(BELOW)]
