from django.db import transaction

from instruments.actions.chain import add_link
from instruments.models import Document, Instrument
from instruments.problems import Blocked, Blocker


@transaction.atomic
def add_document(*, instrument: Instrument, by, **fields) -> Document:
    """Put a stored scan on file: its fields of `stored_scan`, a title, its date, who may see it."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    if instrument.documents.filter(sha256=fields["sha256"]).exists():
        # Its title stays unsaid: it may be one that this person may not see.
        raise Blocked([Blocker("This very file is on file already.")])
    document = Document.objects.create(instrument=instrument, added_by=by, **fields)
    add_link(document, instrument=instrument)
    return document
