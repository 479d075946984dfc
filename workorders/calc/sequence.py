"""The order of work: what must come first, circles in it, and the sequence to show it in."""

import heapq
from collections.abc import Collection, Hashable, Mapping
from graphlib import CycleError, TopologicalSorter


def circle_in(needs: Mapping[Hashable, Collection[Hashable]]) -> tuple:
    """Steps that wait for one another in a circle, each waiting for the next; () when there is none.

    `needs` gives for each step what must come first.
    """
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as found:
        return tuple(reversed(found.args[1][1:]))
    return ()


def working_sequence(
    needs: Mapping[Hashable, Collection[Hashable]], rank: Mapping[Hashable, tuple]
) -> list[Hashable]:
    """Every step of `rank` once: never before what it needs, otherwise lowest rank first.

    Needs outside `rank` do not hold a step back. ValueError when the steps run in a circle.
    """
    inside = {step: [need for need in needs.get(step, ()) if need in rank] for step in rank}
    if circle := circle_in(inside):
        raise ValueError(f"These steps wait for one another: {', '.join(map(str, circle))}.")
    sorter = TopologicalSorter(inside)
    sorter.prepare()
    waiting, sequence = [], []
    while sorter.is_active():
        for step in sorter.get_ready():
            heapq.heappush(waiting, (rank[step], step))
        _, step = heapq.heappop(waiting)
        sequence.append(step)
        sorter.done(step)
    return sequence


def nearest_present(
    step: Hashable, needs: Mapping[Hashable, Collection[Hashable]], present: Collection[Hashable]
) -> set[Hashable]:
    """The present steps that must come before `step`, looking through the absent ones between them.

    When voicing needs tuning, and tuning needs regulation, but nobody tunes, voicing waits for regulation.
    What a step needs by name is always given; what is only found on the way is left out when another that is
    given comes after it anyway.
    """
    named = {need for need in needs.get(step, ()) if need in present}
    on_the_way = _first_present(step, needs, present) - named
    implied = {earlier for later in named | on_the_way for earlier in _all_before(later, needs)}
    return named | (on_the_way - implied)


def _first_present(step: Hashable, needs: Mapping, present: Collection) -> set:
    found, seen, to_look_at = set(), {step}, list(needs.get(step, ()))
    while to_look_at:
        need = to_look_at.pop()
        if need in seen:
            continue
        seen.add(need)
        if need in present:
            found.add(need)
        else:
            to_look_at.extend(needs.get(need, ()))
    return found


def _all_before(step: Hashable, needs: Mapping) -> set:
    before, to_look_at = set(), list(needs.get(step, ()))
    while to_look_at:
        need = to_look_at.pop()
        if need not in before:
            before.add(need)
            to_look_at.extend(needs.get(need, ()))
    return before
