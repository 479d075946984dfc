"""Names of files as people gave them, fit to be shown and sent back. Nothing is ever stored under one."""

import re

# Control characters, and the marks that turn the direction of writing ("gpj.exe" shown as "exe.jpg").
UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]")
LONGEST_NAME = 100


def shown_file_name(name: str | None, *, otherwise: str = "file") -> str:
    """The last part of a path, printable, at most 100 characters with its ending kept."""
    last_part = re.split(r"[\\/]", UNPRINTABLE.sub("", name or ""))[-1].strip(" .")
    if len(last_part) <= LONGEST_NAME:
        return last_part or otherwise
    stem, dot, ending = last_part.rpartition(".")
    if not dot or len(ending) > 10:
        return last_part[:LONGEST_NAME]
    return f"{stem[: LONGEST_NAME - len(ending) - 1]}.{ending}"
