"""`python -m tests.trust.newest`: what is behind the newest release that the package registry has.

This tells what is old and not what is flawed, for which see `advisories.py`. It never fails a build; a
registry that does not answer is told as that. With `--keep` the answer is written to `newest.json`, with the
day on which a release was first seen that was not taken; `test_newest.py` holds that against GUARDS.md.
"""

import json
import re
import subprocess
import sys
import tomllib
from dataclasses import dataclass, field
from datetime import date, timedelta
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from shop.materials import installed, plain_name
from tests.trust.board import TREE

KEPT = Path(__file__).parent / "newest.json"
# GUARDS.md: of a flaw of high severity. Which flaw a release mends is not known here, so each counts as one.
TAKEN_WITHIN = timedelta(days=7)
PATIENCE_SECONDS = 120
PIN = re.compile(r"^([A-Za-z0-9_.-]+)(?:\[[\w,-]+\])?==([\w.]+)$")
DJANGO_SERIES = "5.2."


@dataclass
class Pins:
    pinned: dict[str, str] = field(default_factory=dict)
    behind: dict[str, str] = field(default_factory=dict)  # name: newest
    behind_beneath: dict[str, str] = field(default_factory=dict)  # of what is installed and not pinned
    newest_django: str = ""
    silent: str = ""  # why the registry was not asked


def pins() -> dict[str, str]:
    """Every package that pyproject.toml pins, by its plain name. One without an exact version is a fault."""
    project = tomllib.loads((TREE / "pyproject.toml").read_text())["project"]
    lines = [
        *project["dependencies"],
        *(line for extra in project["optional-dependencies"].values() for line in extra),
    ]
    found = {}
    for line in lines:
        pin = PIN.match(line)
        if pin is None:
            raise ValueError(f"pyproject.toml: {line!r} names no exact version.")
        found[plain_name(pin[1])] = pin[2]
    return found


def look() -> Pins:
    seen = Pins(pins())
    try:
        outdated = json.loads(pip("list", "--outdated", "--format", "json"))
        newest_of_django = newest_django()
    except (subprocess.SubprocessError, ValueError) as error:
        seen.silent = f"the registry did not answer ({type(error).__name__})"
        return seen
    newest = {plain_name(each["name"]): each["latest_version"] for each in outdated}
    for name in seen.pinned:
        if not _is_installed(name) and (found := re.search(r"\(([\w.]+)\)", _versions_of(name))):
            newest[name] = found[1]
    seen.behind = {
        name: newest[name] for name in seen.pinned if newest.get(name, seen.pinned[name]) != seen.pinned[name]
    }
    seen.behind_beneath = {name: newest[name] for name in newest if name not in seen.pinned}
    seen.newest_django = newest_of_django
    return seen


def newest_django() -> str:
    """The newest release of Django's series; nothing where there is none."""
    return _newest_of_the_series(pip("index", "versions", "Django"))


def _newest_of_the_series(versions: str) -> str:
    series = re.findall(rf"\b{re.escape(DJANGO_SERIES)}(\d+)\b", versions)
    return f"{DJANGO_SERIES}{max(map(int, series))}" if series else ""


def _is_installed(name: str) -> bool:
    try:
        return bool(version(name))
    except PackageNotFoundError:
        return False


def _versions_of(name: str) -> str:
    """ "" where the registry knows nothing of it."""
    try:
        return pip("index", "versions", name)
    except subprocess.SubprocessError:
        return ""


def record(seen: Pins, *, before: dict, on: date) -> dict:
    """What is kept: every pin and all that the program needs, and since when something is behind."""
    parts = seen.pinned | {name: each.version for name, each in installed().items() if name != "wrestplank"}
    behind = seen.behind | {name: seen.behind_beneath[name] for name in parts if name in seen.behind_beneath}
    since = before.get("behind", {})
    return {
        "looked_on": f"{on}",
        "parts": dict(sorted(parts.items())),
        "behind": {
            name: {
                "newest": newest,
                "since": since[name]["since"] if name in since else f"{on}",
                "why": since.get(name, {}).get("why", ""),
            }
            for name, newest in sorted(behind.items())
        },
    }


def kept() -> dict:
    return json.loads(KEPT.read_text()) if KEPT.exists() else {}


def outstayed(record: dict, *, on: date) -> list[str]:
    """Parts of which a newer release is there for longer than may be."""
    return [
        name
        for name, each in record["behind"].items()
        if date.fromisoformat(each["since"]) + TAKEN_WITHIN < on
    ]


def is_old(record: dict, *, on: date) -> bool:
    """Whether the registry was asked too long ago to say anything of today."""
    return not record or date.fromisoformat(record["looked_on"]) + TAKEN_WITHIN < on


def pip(*words: str) -> str:
    """What pip prints; raises subprocess.SubprocessError where it fails or does not end."""
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *words]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=True
    ).stdout


def main() -> None:
    seen = look()
    if seen.silent:
        print(f"{len(seen.pinned)} pins; not compared: {seen.silent}.")
        return
    for name, newer in sorted(seen.behind.items()):
        print(f"{name}: pinned {seen.pinned[name]}, newest {newer}")
    print(f"{len(seen.pinned)} pins, {len(seen.behind)} behind their newest release.")
    if seen.newest_django != seen.pinned["django"]:
        print(f"Django: pinned {seen.pinned['django']}, newest of its series {seen.newest_django}.")
    if "--keep" in sys.argv:
        KEPT.write_text(json.dumps(record(seen, before=kept(), on=date.today()), indent=1) + "\n")


if __name__ == "__main__":
    main()
