"""Everything the shop keeps about one person, in one file for them.

Tables as CSV and as JSON, their papers, what they signed, the photographs they sent. Not in it: what the shop
paid others, its margins, its words about other people. Made twice from the same rows it is the same file.
"""

import hashlib
import io
import json
import re
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from pathlib import PurePosixPath

from django.conf import settings
from django.db import models, transaction

from instruments.exports import csv_lines
from instruments.models import Document, Instrument
from shop.models import LeadPhoto, Paper, Person, PersonExport
from shop.person_readme import readme_of
from shop.person_rows import ROWS, Rows
from workorders.currency import plain

SINCE = (1980, 1, 1, 0, 0, 0)  # no clock in the file, so that the same rows make the same bytes
CARD = ("id", "name", "address", "telephone", "email", "note", "closed_on")
FILES = {Paper: ("papers", "file"), Document: ("documents", "file"), LeadPhoto: ("photographs", "original")}
NEVER = {"search_text", "seed", "token_sha256", "mark_sha256", "words_sha256"}
MINOR = "_minor"
PLURALS = {
    "after-care of a sales": "after-care of sales",
    "call backs": "call-backs",
    "handed overs": "hand-overs",
    "how a sale was agreeds": "how sales were agreed",
    "judgement of a call-backs": "judgements of call-backs",
    "pay outs": "payments to owners",
    "visit written ups": "visits written up",
}
DRAWN = {"strokes"}


def export_of(person: Person) -> bytes:
    """A ZIP. Never inside a transaction."""
    tables = {"card": _cards(person), "card-earlier": _earlier_cards(person)}
    for rows in ROWS:
        if not rows.kept_back and (table := [_plain_row(rows, row) for row in rows.of(person)]):
            tables[plural_of(rows.model).replace(" ", "-")] = table
    target, missing = io.BytesIO(), []
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        files = list(_files(person, missing))
        words = json.dumps(tables, indent=1, ensure_ascii=False)
        _put(archive, "README.txt", readme_of(person, tables, missing).encode())
        for path, content in files:
            _put(archive, path, content)
        _put(archive, "everything.json", words.encode())
        for name, table in tables.items():
            lines = csv_lines(list(table[0]), ([_cell(value) for value in row.values()] for row in table))
            _put(archive, f"tables/{name}.csv", "".join(lines).encode())
    return target.getvalue()


def plural_of(model: type[models.Model]) -> str:
    """ "trial deliveries", where the name of the kind says only how one is called."""
    plural = str(model._meta.verbose_name_plural)
    return PLURALS.get(plural) or re.sub(r"([^aeiou])ys$", r"\1ies", plural)


@transaction.atomic
def hand_out(*, person: Person, zipped: bytes, asked_how: str, asked_on: date, by) -> PersonExport:
    """Write down that their data was handed out: when, how they asked, and the fingerprint of the file."""
    return PersonExport.objects.create(
        person=person.standing_card,
        asked_how=asked_how,
        asked_on=asked_on,
        sha256=hashlib.sha256(zipped).hexdigest(),
        byte_count=len(zipped),
        made_by=by,
    )


def _cards(person: Person) -> list[dict]:
    return [{name: _plain(getattr(card, name)) for name in CARD} for card in person.rows().order_by("pk")]


def _earlier_cards(person: Person) -> list[dict]:
    versions = Person.history.filter(id__in=person.rows().values("pk")).order_by("history_id")
    return [{name: _plain(getattr(each, name)) for name in ("history_date", *CARD)} for each in versions]


def _plain_row(rows: Rows, row: models.Model) -> dict:
    """Every column but those of people at work, secrets, and what would tell of the shop's own costs."""
    found = {}
    for column in row._meta.concrete_fields:
        if column.name in NEVER or column.name in rows.columns_kept_back:
            continue
        if column.is_relation:
            if column.remote_field.model is not _user_model():
                found[column.name] = _named(row, column)
        elif column.name.endswith(MINOR):
            found[f"{column.name.removesuffix(MINOR)}_{settings.CURRENCY}"] = _amount(
                getattr(row, column.name)
            )
        elif column.name in DRAWN:
            found[column.name] = "drawn by hand; it stands on the paper" if getattr(row, column.name) else ""
        elif column.choices:
            found[column.name] = str(getattr(row, f"get_{column.name}_display")())
        else:
            found[column.name] = _plain(getattr(row, column.name))
    return found


def _user_model():
    return PersonExport._meta.get_field("made_by").related_model


def _named(row: models.Model, column: models.ForeignKey):
    """Its number among its kind; an instrument by its stock number."""
    if column.related_model is Instrument and getattr(row, column.attname):
        return getattr(row, column.name).stock_number
    return getattr(row, column.attname)


def _plain(value):
    match value:
        case models.fields.files.FieldFile():
            return PurePosixPath(value.name).name
        case datetime() | date():
            return value.isoformat()
        case Decimal():
            return format(value, "f")
    return value


def _amount(minor: int | None) -> str | None:
    return None if minor is None else plain(minor)


def _cell(value) -> object:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, dict | list) else value


def _files(person: Person, missing: list[str]) -> Iterator[tuple[str, bytes]]:
    for rows in ROWS:
        if rows.model not in FILES:
            continue
        folder, name = FILES[rows.model]
        for row in rows.of(person):
            kept = getattr(row, name)
            path = f"{folder}/{row.pk}-{PurePosixPath(kept.name).name}"
            try:
                with kept.open("rb") as opened:
                    yield path, opened.read()
            except OSError:
                missing.append(path)


def _put(archive: zipfile.ZipFile, path: str, content: bytes) -> None:
    info = zipfile.ZipInfo(path, SINCE)
    info.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(info, content)
