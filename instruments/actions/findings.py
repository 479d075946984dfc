from datetime import date

from django.db import transaction

from instruments.models import Finding, Instrument


@transaction.atomic
def record_finding(*, instrument: Instrument, part: str, condition: str, by, on: date, **details) -> Finding:
    """Write down what was found of one part. It replaces the last word on that part and keeps it on file.

    `details` may hold note, keys, value and unit, photo and is_public.
    """
    # The instrument's row is locked first, so that two people at one part come one after the other.
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    return Finding.objects.create(
        instrument=instrument,
        part=part,
        condition=condition,
        supersedes=instrument.findings.current().filter(part=part).last(),
        found_on=on,
        found_by=by,
        **details,
    )
