"""Handing over a history: issued once under a number, printed from what was issued, kept as printed."""

import secrets
from dataclasses import replace
from datetime import date

from django.db import transaction
from django.utils import timezone

from instruments.actions.numbers import next_number
from instruments.documents.content import Photo
from instruments.kept_files import StoredFile
from instruments.models import Instrument
from shop.actions.papers import print_photo, shop_party, stored_paper
from shop.documents.instrument_history import History, HistoryPaper, build_history, build_short_history
from shop.fingerprints import fingerprint
from shop.histories import history_of
from shop.models import HistoryIssue, Paper, ShopProfile
from shop.site_address import site_of
from shop.states import PaperKind

TOKEN_BYTES = 16  # 128 bits: nobody finds another's history by trying
MOST_PHOTOS = 8
BUILDERS = {PaperKind.HISTORY: build_history, PaperKind.HISTORY_SHORT: build_short_history}


@transaction.atomic
def issue_history(*, instrument: Instrument, by, on: date) -> HistoryIssue:
    """Keep what the history says today, under a number and an address of its own."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    content = history_of(instrument, today=on).plain()
    return HistoryIssue.objects.create(
        number=next_number("history", on=on, prefix="H"),
        instrument=instrument,
        token=secrets.token_hex(TOKEN_BYTES),
        content=content,
        sha256=fingerprint(content),
        issued_by=by,
    )


def history_paper(*, issue: HistoryIssue, kind: PaperKind, address: str, by) -> Paper:
    """The paper as it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := kept_history(issue, kind):
        return kept
    pdf = BUILDERS[kind](_paper_of(issue, address))
    with stored_paper(f"{issue.number}-{kind}", pdf) as stored:
        return _keep(issue, kind, stored, by)


def kept_history(issue: HistoryIssue, kind: PaperKind) -> Paper | None:
    return Paper.objects.filter(kind=kind, number=issue.number, instrument=issue.instrument).first()


def _paper_of(issue: HistoryIssue, address: str) -> HistoryPaper:
    history = History.from_plain(issue.content)
    profile = ShopProfile.current()
    return HistoryPaper(
        history=history,
        shop=shop_party(profile),
        number=issue.number,
        issued_on=timezone.localdate(issue.issued_at),
        sha256=issue.sha256,
        photos=_photos(issue, history),
        public_address=public_history_address(issue, profile) or address,
    )


def _photos(issue: HistoryIssue, history: History) -> tuple[Photo, ...]:
    wanted = history.photos[:MOST_PHOTOS]
    rows = {
        each.sha256: each
        for each in issue.instrument.photos.public().filter(sha256__in=[photo.sha256 for photo in wanted])
    }
    pictures = []
    for photo in wanted:
        if (row := rows.get(photo.sha256)) and (picture := print_photo(row)):
            pictures.append(replace(picture, caption=photo.caption, alt=photo.words))
    return tuple(pictures)


def public_history_address(issue: HistoryIssue, profile: ShopProfile) -> str:
    """On the site where the shop's window stands; nothing while the shop has not named it."""
    site = site_of(profile)
    return f"{site}{issue.get_absolute_url()}" if site else ""


@transaction.atomic
def _keep(issue: HistoryIssue, kind: PaperKind, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=issue.instrument_id)
    if kept := kept_history(issue, kind):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=kind,
        number=issue.number,
        instrument=issue.instrument,
        facts={"history": issue.number, "content_sha256": issue.sha256},
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
