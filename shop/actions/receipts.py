"""Receipts: printed when they are asked for, kept byte for byte, with the number their payment took."""

from django.db import transaction

from instruments.kept_files import StoredFile
from instruments.models import Instrument
from shop.actions.papers import stored_paper
from shop.documents.receipt import build_receipt
from shop.models import Paper, Receipt
from shop.receipt_words import facts_of, instrument_of, receipt_paper_of
from shop.states import PaperKind


def issue_receipt(*, receipt: Receipt, by) -> Paper:
    """The receipt as it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := paper_of(receipt):
        return kept
    words = receipt_paper_of(receipt)
    with stored_paper(f"receipt-{receipt.number}", build_receipt(words)) as stored:
        return _keep(receipt, facts_of(words), stored, by)


def paper_of(receipt: Receipt) -> Paper | None:
    return Paper.objects.filter(kind=PaperKind.RECEIPT, number=receipt.number).first()


@transaction.atomic
def _keep(receipt: Receipt, facts: dict, stored: StoredFile, by) -> Paper:
    instrument = Instrument.objects.select_for_update().get(pk=instrument_of(receipt.payment).pk)
    if kept := paper_of(receipt):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=PaperKind.RECEIPT,
        number=receipt.number,
        instrument=instrument,
        facts=facts,
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
