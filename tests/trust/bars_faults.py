"""Bar 14: what people are told when a disk, a database or a mail server fails, and how soon it heals."""

import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.trust.bars_crash import run_in_a_shop
from tests.trust.board import Figure, measures, pytest_counts

MAIL = [
    f"tests/shop/test_reminders.py::test_{name}"
    for name in (
        "a_server_that_is_down_is_recorded_and_the_next_run_sends_all",
        "one_mailbox_that_is_refused_holds_up_nobody_else_and_is_tried_again",
        "the_command_ends_with_a_fault_when_the_server_is_down",
    )
]
DOOR = "tests.trust.crash_doors:speechless()"


@measures(14)
def troubles_in_words(long: bool) -> Figure:
    with small_disks() as folder:
        seen = run_in_a_shop("faults", folder=folder)
    with small_disks() as folder:
        mute = run_in_a_shop("faults", "--door", DOOR, folder=folder)
    seen |= run_in_a_shop("faults", postgres=True)
    mails, failed, _ = pytest_counts("-n", "0", *MAIL)
    faults = [f"{trouble}: {fault}" for trouble, each in seen.items() for fault in each["faults"]]
    worst = max(each["healed_seconds"] for each in seen.values())
    unheard = [trouble for trouble, each in mute.items() if not each["told"]]
    are_all_tried = len(seen) >= 6  # without the right to mount, no disk fills up
    return Figure(
        said=f"Told in words, nothing damaged: {', '.join(seen)}; healed in {worst:.1f} s at most; pages that"
        f" read went on in all but “database away”. Mail server down: {mails} tests, {failed} failed."
        + "".join(f" {fault}." for fault in faults[:3])
        + ("" if are_all_tried else " A full disk could not be tried here: it takes the right to mount."),
        met=are_all_tried and not faults and not failed and mails == len(MAIL) and bool(unheard),
        control=f"without the page that says so: a bare fault for {', '.join(unheard)}",
    )


@contextmanager
def small_disks() -> Iterator[Path]:
    """A folder on a file system of 80 MB, with one of 20 MB in it for media; a plain one without root."""
    with tempfile.TemporaryDirectory(prefix="trust-") as name:
        folder, mounted = Path(name), []
        try:
            for place, megabytes in ((folder, 80), (folder / "media", 20)):
                place.mkdir(exist_ok=True)
                if os.getuid() == 0 and _mount(place, megabytes):
                    mounted.append(place)
            yield folder
        finally:
            for place in reversed(mounted):
                subprocess.run(["umount", "--lazy", str(place)], check=True)


def _mount(place: Path, megabytes: int) -> bool:
    command = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m,mode=0755", "tmpfs", str(place)]
    return subprocess.run(command, capture_output=True).returncode == 0
