"""Putting evidence on file: pieces for and against a statement, tell-tales seen, documents."""

from collections.abc import Collection, Mapping
from datetime import date

from django.db import transaction

from instruments.actions.chain import add_link
from instruments.models import Evidence, Instrument, Photo, Sighting, Statement, TellTale
from instruments.problems import Blocked, Blocker


@transaction.atomic
def add_evidence(*, statement: Statement, by, **piece) -> Evidence:
    """One piece for or against a statement: `side`, `strength`, `note` and what it rests on."""
    evidence = Evidence.objects.create(statement=statement, recorded_by=by, **piece)
    add_link(evidence, instrument=statement.instrument)
    return evidence


@transaction.atomic
def retract_evidence(*, evidence: Evidence, reason: str, by) -> Evidence:
    """Take a piece back by a row that says why. Both stay on file; neither counts any more."""
    Statement.objects.select_for_update().get(pk=evidence.statement_id)
    if evidence.retracts_id or Evidence.objects.filter(retracts=evidence).exists():
        raise Blocked([Blocker("This piece has been taken back already.")])
    taken_back = Evidence.objects.create(
        statement=evidence.statement,
        side=evidence.side,
        strength=evidence.strength,
        note=reason,
        retracts=evidence,
        recorded_by=by,
    )
    add_link(taken_back, instrument=evidence.statement.instrument)
    return taken_back


@transaction.atomic
def record_sightings(
    *,
    instrument: Instrument,
    seen: Collection[TellTale],
    looked_for: Collection[TellTale],
    by,
    on: date,
    notes: Mapping[int, str] | None = None,
    photos: Mapping[int, Photo | None] | None = None,
) -> list[Sighting]:
    """Of the tell-tales looked for, those that are seen. Only what changed is written down.

    `notes` and `photos` go by the tell-tale's key; what is not named there stays as it was. A tell-tale no
    longer seen gets a row that says so.
    """
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    before = {row.tell_tale_id: row for row in instrument.sightings.seen().select_related("photo")}
    seen_keys = {tell_tale.pk for tell_tale in seen}
    written = []
    for tell_tale in looked_for:
        earlier, is_seen = before.get(tell_tale.pk), tell_tale.pk in seen_keys
        note = (notes or {}).get(tell_tale.pk, earlier.note if earlier and is_seen else "")
        photo = (photos or {}).get(tell_tale.pk, earlier.photo if earlier and is_seen else None)
        if not is_seen and earlier is None:
            continue
        if is_seen and earlier and (note, photo) == (earlier.note, earlier.photo):
            continue
        sighting = Sighting.objects.create(
            instrument=instrument,
            tell_tale=tell_tale,
            is_seen=is_seen,
            note=note,
            photo=photo,
            seen_on=on,
            seen_by=by,
        )
        add_link(sighting, instrument=instrument)
        written.append(sighting)
    return written
