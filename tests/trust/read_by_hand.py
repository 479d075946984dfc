"""What somebody found who read the differences between the sources of a pin and of each release after it.

For a package that no database of advisories answers for and whose source brings no notes. `read_by_hand.json`
says by package which version is pinned, and of each source archive its SHA-256 as the registry gives it, the
day on which it was read and what was found, in words; a flaw that the pin has and that reaches what is called
here stands there with its severity and counts as any other. The reading holds for these archives alone: with
another pin, another archive or a release that nobody read the package is unanswered again.
"""

import json
from pathlib import Path

KEPT = Path(__file__).with_name("read_by_hand.json")


class NotRead(KeyError):
    """Of this pin, with these releases after it."""


def kept() -> dict[str, dict]:
    return json.loads(KEPT.read_text())


def readings_of(name: str, pinned: str, archives: dict[str, str]) -> dict[str, dict]:
    """By release, the oldest first, what was read; `archives` has the SHA-256 of the pin and each after."""
    reading = kept().get(name, {"pinned": "", "archive": "", "releases": {}})
    read = {reading["pinned"]: reading["archive"]}
    read |= {release: each["archive"] for release, each in reading["releases"].items()}
    unread = [release for release, archive in archives.items() if read.get(release) != archive]
    if reading["pinned"] != pinned or unread:
        raise NotRead(f"{name}: nobody read {', '.join(unread) or f'from {pinned} on'}")
    return {release: reading["releases"][release] for release in archives if release != pinned}


def open_by_reading(name: str, pinned: str, readings: dict[str, dict]) -> dict[str, dict]:
    """Each flaw that was found, told on the day of the reading where nobody told it before."""
    return {
        number: {"told_on": each["read_on"], "package": name, "version": pinned, "mended_in": [release]}
        | flaw
        for release, each in readings.items()
        for number, flaw in each.get("flaws", {}).items()
    }


def unread_beneath(name: str) -> str:
    """What comes with the package and was not read, in words."""
    return kept()[name].get("not_read", "")
