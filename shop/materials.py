"""What the program stands on: every package it needs, in the version that is installed, as a CycloneDX list.

CycloneDX 1.6 (ECMA-424). Which of them have known flaws it does not say: for that the list is given to a
program with a database of advisories.
"""

import re
import sqlite3
from importlib.metadata import Distribution, PackageNotFoundError, distribution

PROGRAM = "wrestplank"
NEEDED = re.compile(r"^[A-Za-z0-9][\w.-]*")
ONLY_IN_AN_EXTRA = re.compile(r"extra\s*==\s*['\"]([\w-]+)['\"]")


def plain_name(name: str) -> str:
    """As registries write it: without capitals, with single hyphens (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def needed_by(package: Distribution, extras: tuple[str, ...] = ()) -> list[str]:
    """The names of what it needs itself; of an extra only those asked for."""
    names = []
    for line in package.requires or ():
        extra = ONLY_IN_AN_EXTRA.search(line)
        if extra is None or extra[1] in extras:
            names.append(plain_name(NEEDED.match(line)[0]))
    return sorted(set(names))


def installed(extras: tuple[str, ...] = ("audio", "postgres")) -> dict[str, Distribution]:
    """The program and all that it needs, by name; what another system alone would need is not there."""
    found, waiting = {}, [(PROGRAM, extras)]
    while waiting:
        name, asked = waiting.pop()
        if name in found:
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            continue
        waiting += [(further, ("binary",)) for further in needed_by(found[name], asked)]
    return found


def bill_of_materials() -> dict:
    packages = installed()
    program = packages.pop(PROGRAM, None)
    version = program.version if program else "0"
    parts = [_component(name, package) for name, package in sorted(packages.items())]
    parts.append(
        {"type": "library", "bom-ref": "sqlite", "name": "sqlite", "version": sqlite3.sqlite_version}
    )
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "component": {"type": "application", "bom-ref": PROGRAM, "name": PROGRAM, "version": version}
        },
        "components": parts,
        "dependencies": [
            {"ref": name, "dependsOn": [each for each in needed_by(package, ("binary",)) if each in packages]}
            for name, package in sorted(packages.items())
        ],
    }


def _component(name: str, package: Distribution) -> dict:
    said = package.metadata
    licence = said.get("License-Expression") or said.get("License") or _classified(said)
    return {
        "type": "library",
        "bom-ref": name,
        "name": name,
        "version": package.version,
        "purl": f"pkg:pypi/{name}@{package.version}",
        **({"licenses": [{"license": {"name": licence.splitlines()[0][:80]}}]} if licence else {}),
    }


def _classified(said) -> str:
    classes = [each for each in said.get_all("Classifier") or () if each.startswith("License ::")]
    return classes[0].rpartition(" :: ")[2] if classes else ""
