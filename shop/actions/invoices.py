"""Invoices and credit notes: printed once, kept byte for byte, their numbers those of sale and ending."""

from datetime import date

from django.db import transaction

from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.papers import stored_paper
from shop.actions.stock_book import book_line_of
from shop.documents.invoice import Invoice, build_invoice
from shop.invoice_problems import invoice_problems
from shop.invoice_words import credit_note_of, facts_of, invoice_of
from shop.models import AgeChoice, Paper, Sale
from shop.states import PaperKind

NO_INVOICE = "No invoice was printed for this sale, so there is none to credit. Print its refund note."


def issue_invoice(*, sale: Sale, by, on: date) -> Paper:
    """The invoice as it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := paper_of(sale, PaperKind.INVOICE):
        return kept
    refuse_if_blocked(invoice_problems(sale))
    return _print(sale, PaperKind.INVOICE, invoice_of(sale, on=on), by)


def issue_credit_note(*, sale: Sale, by) -> Paper:
    """The credit note of a sale that has ended, for the invoice printed of it. Never inside a transaction."""
    if kept := paper_of(sale, PaperKind.CREDIT_NOTE):
        return kept
    if not sale.ending.credits_an_invoice:
        raise Refused(NO_INVOICE)
    return _print(sale, PaperKind.CREDIT_NOTE, credit_note_of(sale), by)


def paper_of(sale: Sale, kind: str) -> Paper | None:
    return Paper.objects.filter(sale=sale, kind=kind).first()


@transaction.atomic
def choose_age(*, instrument: Instrument, label: str, why: str, by) -> AgeChoice:
    return AgeChoice.objects.create(instrument=instrument, label=label, why=why, recorded_by=by)


def _print(sale: Sale, kind: str, invoice: Invoice, by) -> Paper:
    facts = facts_of(invoice, book_line_of(sale))
    with stored_paper(f"{kind}-{invoice.number}", build_invoice(invoice)) as stored:
        return _keep(sale, kind, facts, stored, by)


@transaction.atomic
def _keep(sale: Sale, kind: str, facts: dict, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=sale.instrument_id)
    if kept := paper_of(sale, kind):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=kind,
        number=facts["number"],
        instrument=sale.instrument,
        sale=sale,
        facts=facts,
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
