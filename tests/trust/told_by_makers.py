"""What the makers themselves tell of flaws, for where no database of advisories knows a single release.

The registry's page of a project tells the flaws of its newest release; a pin on an older one, which its
series or its Python holds there, has no answer in it. Django tells a flaw with the release that mends it
(docs/internals/security.txt in its source), so the notes of the releases of its series that came after the
pin tell what is open, with the severity where they say it. Both ask the package registry that pip is set to.
"""

import json
import re
import tarfile
import tempfile
from functools import cache
from pathlib import Path
from urllib.request import urlopen

from tests.trust.newest import DJANGO_SERIES, pip

PATIENCE_SECONDS = 60
FLAW = re.compile(r"^(CVE-\d{4}-\d+): ", re.M)
SEVERITY = re.compile(r'severity\s+"(\w+)"')


def of_the_newest(name: str) -> tuple[str, list[dict]]:
    """The newest release that the registry's page of a project shows, and the flaws it tells of that one."""
    from pip._internal.models.index import PyPI

    with urlopen(f"{PyPI.pypi_url}/{name}/json", timeout=PATIENCE_SECONDS) as page:
        told = json.load(page)
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
