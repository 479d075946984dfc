"""What the makers themselves tell of flaws, for where no database of advisories knows a single release.

The registry's page of a project tells the flaws of its newest release; a pin on an older one, which its
series or its Python holds there, has no answer in it. Django tells a flaw with the release that mends it
(docs/internals/security.txt in its source), so the notes of the releases of its series that came after the
pin tell what is open, with the severity where they say it. Another package that is held back is answered for
where the source of its newest release brings notes of every release after the pin (NOTES_IN_SOURCE); one
release without notes, and its sources are left, for somebody to read (`read_by_hand.py`). All ask the package
registry that pip is set to.
"""

import io
import json
import re
import tarfile
import tempfile
from functools import cache
from pathlib import Path
from urllib.parse import urljoin
from urllib.request import urlopen

from packaging.version import Version

from tests.trust.newest import DJANGO_SERIES, pip

PATIENCE_SECONDS = 60
FLAW = re.compile(r"^(CVE-\d{4}-\d+): ", re.M)
SEVERITY = re.compile(r'severity\s+"(\w+)"')
# By package, the files in its source that hold the notes of one release each.
NOTES_IN_SOURCE = {"numpy": re.compile(r"^[^/]+/doc/source/release/([\d.]+)-notes\.rst$")}
NUMBER = re.compile(r"CVE-\d{4}-\d{4,}|GHSA(?:-\w{4}){3}", re.I)
SAYS_FLAW = re.compile(r"\bCVE-|\bGHSA-|security|vulnerabilit|\bcompromise", re.I)


@cache
def _page(name: str) -> tuple[str, dict]:
    """The address and the content of the registry's page of a project."""
    from pip._internal.models.index import PyPI

    with urlopen(f"{PyPI.pypi_url}/{name}/json", timeout=PATIENCE_SECONDS) as page:
        return page.url, json.load(page)


def of_the_newest(name: str) -> tuple[str, list[dict]]:
    """The newest release that the registry's page of a project shows, and the flaws it tells of that one."""
    _, told = _page(name)
    return told["info"]["version"], [flaw for flaw in told["vulnerabilities"] if not flaw["withdrawn"]]


@cache
def notes_of_django(newest: str) -> dict[int, str]:
    """The notes of every release of the series, by its last number, from the source of its newest."""
    with tempfile.TemporaryDirectory() as folder:
        pip("download", "-q", "--no-deps", "--no-binary", ":all:", "-d", folder, f"Django=={newest}")
        (archive,) = Path(folder).glob("*.tar.gz")
        with tarfile.open(archive) as source:
            named = re.compile(rf"docs/releases/{re.escape(DJANGO_SERIES)}(\d+)\.txt$")
            return {
                int(found[1]): source.extractfile(member).read().decode()
                for member in source
                if (found := named.search(member.name))
            }


def open_in_django(pinned: str, notes: dict[int, str]) -> dict[str, dict]:
    """By its number, each flaw that a release after `pinned` mends, with its severity in Django's words."""
    last, found = int(pinned.rpartition(".")[2]), {}
    for number, text in sorted(notes.items()):
        if number <= last:
            continue
        _, *parts = FLAW.split(text)
        for flaw, words in zip(parts[::2], parts[1::2], strict=True):
            severity = SEVERITY.search(words)
            found[flaw] = {
                "package": "django",
                "version": pinned,
                "mended_in": [f"{DJANGO_SERIES}{number}"],
            }
            if severity:
                found[flaw]["severity"] = {"moderate": "medium"}.get(severity[1], severity[1])
    return found


def notes_after(name: str, pinned: str) -> dict[str, str]:
    """The notes of each release after `pinned`, the oldest first; KeyError where any of them has none."""
    where = NOTES_IN_SOURCE[name]
    address, told = _page(name)
    (file,) = (file["url"] for file in told["urls"] if file["packagetype"] == "sdist")
    with tarfile.open(fileobj=io.BytesIO(_fetched(urljoin(address, file)))) as source:
        notes = {
            found[1]: source.extractfile(member).read().decode().strip()
            for member in source
            if (found := where.search(member.name))
        }
    releases = _released_after(pinned, told)
    if without := [release for release in releases if not notes.get(release)]:
        raise KeyError(f"{name}: no notes of {', '.join(without)}")
    return {release: notes[release] for release in releases}


def archives_from(name: str, pinned: str) -> dict[str, str]:
    """The SHA-256 of the source of `pinned` and of each release after it; KeyError where one has none."""
    _, told = _page(name)
    archives = {
        release: file["digests"]["sha256"]
        for release in (pinned, *_released_after(pinned, told))
        for file in told["releases"][release]
        if file["packagetype"] == "sdist"
    }
    if without := [each for each in (pinned, *_released_after(pinned, told)) if each not in archives]:
        raise KeyError(f"{name}: no source of {', '.join(without)}")
    return archives


def _fetched(address: str) -> bytes:
    with urlopen(address, timeout=PATIENCE_SECONDS) as file:
        return file.read()


def _released_after(pinned: str, told: dict) -> list[str]:
    known = {Version(each): each for each, files in told["releases"].items() if files}
    return [known[each] for each in sorted(known) if each > Version(pinned) and not each.is_prerelease]


def open_by_notes(name: str, pinned: str, notes: dict[str, str]) -> dict[str, dict]:
    """Each flaw that a line of later notes tells; one without a number goes by the release that mends it."""
    found = {}
    for release, text in notes.items():
        for line in filter(SAYS_FLAW.search, text.splitlines()):
            for number in NUMBER.findall(line) or [f"{name} before {release}"]:
                found.setdefault(number, {"package": name, "version": pinned, "mended_in": [release]})
    return found
