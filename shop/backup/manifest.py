"""What a backup says of itself, and which names may stand in one."""

import json
import re
from dataclasses import dataclass, field
from pathlib import PurePosixPath

PROGRAM, FORMAT = "Wrestplank", 1
MANIFEST, SEAL, DATABASE, SECRET_KEY = "manifest.json", "seal.json", "database.sqlite3", "secret_key"
TABLE = re.compile(r"tables/([a-z][a-z0-9_]*)\.copy")
MEDIA = "media/"
SHA256 = re.compile(r"[0-9a-f]{64}")
# Who is signed in is nobody's business afterwards: a stolen backup opens no door, a restored one none either.
LEFT_EMPTY = "django_session"
# Parts of earlier versions: their tables may be in an old backup, and are not wanted any more.
RETIRED = ("axes",)


class BadBackup(Exception):
    """A file that will not be restored, and why, in a sentence."""


@dataclass(frozen=True)
class Table:
    columns: list[str]
    rows: int
    last_id: int | None = None  # the highest number ever given out, which may have gone again


@dataclass(frozen=True)
class Entry:
    """One member of the archive."""

    size: int
    sha256: str


@dataclass
class Manifest:
    version: str
    made_at: str
    vendor: str
    database_version: str
    shop: str
    currency: str
    migrations: list[tuple[str, str]]
    tables: dict[str, Table]
    files: dict[str, Entry] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)  # named by a row, not in the store when this was made

    @property
    def media(self) -> dict[str, Entry]:
        """By the names under which the rows know them."""
        return {name.removeprefix(MEDIA): entry for name, entry in self.files.items() if is_media(name)}

    def to_json(self) -> bytes:
        """A line for each thing it says; a shop may have millions of files, so each is written plainly."""
        words = {"program": PROGRAM, "format": FORMAT, **vars(self)}
        lines = (f"{json.dumps(name)}: {_in_json(value)}" for name, value in words.items())
        return ("{\n" + ",\n".join(lines) + "\n}").encode()


def _in_json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, default=vars)


def manifest_from(words: bytes) -> Manifest:
    """Raises `BadBackup` for whatever `to_json` never wrote."""
    try:
        said = json.loads(words)
        program, version = said.pop("program"), said.pop("format")
    except (ValueError, KeyError, AttributeError, TypeError) as error:
        raise BadBackup("Its manifest cannot be read.") from error
    if program != PROGRAM:
        raise BadBackup(f"It was made by another program, not by {PROGRAM}.")
    if version != FORMAT:
        raise BadBackup(f"It is of a kind ({version}) that this {PROGRAM} does not know; a newer one may.")
    try:
        manifest = Manifest(**said)
        manifest.migrations = [(str(app), str(name)) for app, name in manifest.migrations]
        manifest.tables = {name: Table(**words) for name, words in manifest.tables.items()}
        manifest.files = {name: Entry(**words) for name, words in manifest.files.items()}
    except (TypeError, ValueError, AttributeError) as error:
        raise BadBackup("Its manifest does not say what it should.") from error
    _refuse_odd(manifest)
    return manifest


def _refuse_odd(manifest: Manifest) -> None:
    for name, entry in manifest.files.items():
        refuse_odd_name(name)
        if not (isinstance(entry.size, int) and entry.size >= 0 and SHA256.fullmatch(str(entry.sha256))):
            raise BadBackup(f"Its manifest says no size or no hash of {name!r}.")
    if manifest.vendor not in ("sqlite", "postgresql"):
        raise BadBackup(
            f"It was made from a database that this {PROGRAM} does not know: {manifest.vendor!r}."
        )
    words = re.compile(r"[a-z_][a-z0-9_]*")
    for name, table in manifest.tables.items():
        columns = table.columns if isinstance(table.columns, list) else [None]
        if not all(isinstance(word, str) and words.fullmatch(word) for word in (name, *columns)):
            raise BadBackup(f"Its manifest names a table or a column oddly: {name!r}.")
        if not isinstance(table.rows, int) or not isinstance(table.last_id, int | None):
            raise BadBackup(f"Its manifest does not count {name!r}.")


def is_retired(table: str) -> bool:
    return table.startswith(tuple(f"{app}_" for app in RETIRED))


def is_media(name: str) -> bool:
    return name.startswith(MEDIA)


def refuse_odd_name(name: str) -> None:
    """Only what a backup holds may stand in one, and nothing that points outside the media folder."""
    if name in (MANIFEST, SEAL, DATABASE, SECRET_KEY) or TABLE.fullmatch(name):
        return
    parts = PurePosixPath(name).parts
    is_plain = len(parts) > 1 and "/".join(parts) == name and not {"..", "."} & set(parts)
    if not is_media(name) or not is_plain or re.search(r"[\\\0-\x1f]", name):
        raise BadBackup(f"It holds something that no backup does: {name!r}.")
