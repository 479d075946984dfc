"""A task library small enough to be made for every test: what findings and marked keys ask for."""

from tests import make
from workorders.models import Task

TASKS = (
    ("check-frame", "Prove the frame", 30, ()),
    ("test-pins", "Test the wrest pins and the plank", 32, ()),
    ("repair-soundboard", "Repair the soundboard and its bars", 42, ("check-frame",)),
    ("rebush-keys", "Rebush the keys", 66, ()),
    ("ease-keys", "Ease the keys", 68, ("rebush-keys",)),
    ("reface-hammers", "Reface the hammers", 86, ("check-frame", "test-pins")),
    ("fit-hammers", "Fit new or re-covered hammers", 88, ("check-frame", "test-pins")),
    ("repair-case", "Repair case, veneer and hinges", 160, ("check-frame", "test-pins")),
)
FOR_PARTS = (
    ("soundboard", "repair", "repair-soundboard"),
    ("keys", "repair", "ease-keys"),
    ("hammers", "attend", "reface-hammers"),
    ("hammers", "repair", "reface-hammers"),
    ("hammers", "replace", "fit-hammers"),
    ("case", "attend", "repair-case"),
    ("case", "repair", "repair-case"),
)
FOR_KEYS = (("sticks", "ease-keys"), ("blocks", "ease-keys"), ("buzzes", "repair-soundboard"))


def make_library() -> dict[str, Task]:
    tasks: dict[str, Task] = {}
    for code, name, rank, needs in TASKS:
        tasks[code] = make.make_task(code=code, name=name, rank=rank)
        tasks[code].needs.set([tasks[need] for need in needs])
    for part, condition, code in FOR_PARTS:
        make.make_suggestion(task=tasks[code], part=part, condition=condition)
    for fault, code in FOR_KEYS:
        make.make_suggestion(task=tasks[code], fault=fault)
    return tasks
