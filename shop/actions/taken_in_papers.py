"""The papers of a customer's own instrument: printed once, and kept as the customer has them."""

from django.db import transaction

from instruments.kept_files import StoredFile
from instruments.models import Instrument
from shop.actions.papers import stored_paper
from shop.actions.work_papers import hand_back_paper_of, receipt_of
from shop.models import Paper, TakenIn
from shop.states import PaperKind


def receipt_paper(*, taken_in: TakenIn, by) -> Paper:
    """As it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := kept_of(taken_in, PaperKind.TAKEN_IN):
        return kept
    with stored_paper(f"{taken_in.number}-receipt", receipt_of(taken_in)) as stored:
        return _keep(taken_in, PaperKind.TAKEN_IN, stored, by)


def handed_back_paper(*, taken_in: TakenIn, by) -> Paper:
    """Of a piano that is home again: before that day the paper is a draft, and not kept."""
    if kept := kept_of(taken_in, PaperKind.HANDED_BACK):
        return kept
    pdf = hand_back_paper_of(taken_in, on=taken_in.handed_back_on)
    with stored_paper(f"{taken_in.number}-handed-back", pdf) as stored:
        return _keep(taken_in, PaperKind.HANDED_BACK, stored, by)


def kept_of(taken_in: TakenIn, kind: str) -> Paper | None:
    papers = Paper.objects.filter(kind=kind, instrument=taken_in.instrument_id, number=taken_in.number)
    return papers.first()


@transaction.atomic
def _keep(taken_in: TakenIn, kind: str, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=taken_in.instrument_id)
    if kept := kept_of(taken_in, kind):
        return kept  # somebody else printed it in the meantime
    back = taken_in.handed_back_on
    paper = Paper.objects.create(
        kind=kind,
        number=taken_in.number,
        instrument=taken_in.instrument,
        facts={
            "customer": taken_in.person.name,
            "taken_in_on": taken_in.taken_in_on.isoformat(),
            "handed_back_on": back.isoformat() if back else None,
        },
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
