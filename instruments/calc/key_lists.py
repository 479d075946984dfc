"""Many keys in few words: C4–E5, all sharps. What is written here, `compass.parse_keys` reads again."""

from collections.abc import Iterable

from instruments.calc.compass import is_sharp, note_label, top_key

SHORTEST_RUN = 3  # C4, C♯4, D4 is C4–D4; two neighbours are named both


def keys_text(keys: Iterable[int], first_key: int, key_count: int) -> str:
    """The keys of one keyboard, lowest first, in as few words as say it: "C4–E4, G4", "all sharps, C4".

    Keys outside the compass are left out; "" where none is left.
    """
    compass = range(first_key, top_key(first_key, key_count) + 1)
    wanted = {key for key in keys if key in compass}
    sharps = {key for key in compass if is_sharp(key)}
    naturals = set(compass) - sharps
    if not wanted:
        return ""
    if wanted == set(compass):
        return "all keys"
    said = [_runs(wanted, wanted)]
    for name, group in (("all sharps", sharps), ("all naturals", naturals)):
        if group and group <= wanted:
            said.append([name, *_runs(wanted - group, wanted)])
    return ", ".join(min(said, key=len))


def key_place(key: int, first_key: int) -> int:
    """Which key it is, counted from the lowest of its own keyboard as keys are stamped, from 1."""
    return key - first_key + 1


def _runs(keys: set[int], allowed: set[int]) -> list[str]:
    """Runs that hold all of `keys`; they may run over other allowed keys, but begin and end on `keys`."""
    runs: list[list[int]] = []
    for key in sorted(keys):
        if runs and all(between in allowed for between in range(runs[-1][-1], key)):
            runs[-1].append(key)
        else:
            runs.append([key])
    words = []
    for run in runs:
        if run[-1] - run[0] + 1 >= SHORTEST_RUN:
            words.append(f"{note_label(run[0])}–{note_label(run[-1])}")
        else:
            words += [note_label(key) for key in run]
    return words
