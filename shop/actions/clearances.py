"""What was found of protected material, and the paper that lets us deal in it."""

from django.db import transaction

from instruments.actions.documents import add_document
from instruments.models import Instrument
from shop.models import Clearance
from shop.protected_states import ProtectedPaper


@transaction.atomic
def record_clearance(
    *, instrument: Instrument, new_scan: dict | None = None, scan_seen_by: str = "", by, **found
) -> Clearance:
    """Write an examination down. `new_scan` are the fields of `stored_scan`: the paper goes on file with it.

    Raises Blocked when that very file is on file already.
    """
    if new_scan:
        title = _title(found.get("paper", ""), found.get("reference", ""))
        found["scan"] = add_document(
            instrument=instrument, title=title, seen_by=scan_seen_by, by=by, **new_scan
        )
    return Clearance.objects.create(instrument=instrument, recorded_by=by, **found)


def _title(paper: str, reference: str) -> str:
    name = ProtectedPaper(paper).label if paper else "Paper on protected material"
    return f"{name} {reference}".strip()
