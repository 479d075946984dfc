"""`python -m tests.trust.newest`: which pins are behind the newest release that the package registry has.

This tells what is old and not what is flawed: no database of advisories is asked, since none can be relied on
from where the tests run. It never fails a build; a registry that does not answer is told as that.
"""

import json
import re
import subprocess
import sys
import tomllib
from dataclasses import dataclass, field

from shop.materials import plain_name
from tests.trust.board import TREE

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
        outdated = json.loads(_pip("list", "--outdated", "--format", "json"))
        versions = _pip("index", "versions", "Django")
    except (subprocess.SubprocessError, ValueError) as error:
        seen.silent = f"the registry did not answer ({type(error).__name__})"
        return seen
    newest = {plain_name(each["name"]): each["latest_version"] for each in outdated}
    seen.behind = {
        name: newest[name] for name in seen.pinned if newest.get(name, seen.pinned[name]) != seen.pinned[name]
    }
    seen.behind_beneath = {name: newest[name] for name in newest if name not in seen.pinned}
    series = re.findall(r"\b5\.2\.(\d+)\b", versions)
    seen.newest_django = f"{DJANGO_SERIES}{max(map(int, series))}" if series else ""
    return seen


def _pip(*words: str) -> str:
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *words]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=True
    ).stdout


def main() -> None:
    seen = look()
    if seen.silent:
        print(f"{len(seen.pinned)} pins; not compared: {seen.silent}.")
        return
    for name, version in sorted(seen.behind.items()):
        print(f"{name}: pinned {seen.pinned[name]}, newest {version}")
    print(f"{len(seen.pinned)} pins, {len(seen.behind)} behind their newest release.")
    if seen.newest_django != seen.pinned["django"]:
        print(f"Django: pinned {seen.pinned['django']}, newest of its series {seen.newest_django}.")


if __name__ == "__main__":
    main()
