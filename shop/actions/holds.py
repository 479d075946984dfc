"""The paper of a hold, and money given back after a hold, a trial or a sale has ended."""

from datetime import date

from django.db import transaction

from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.problems import Refused
from shop.actions.ledger import NotEnough, lock_person, refund
from shop.actions.papers import stored_paper
from shop.documents.hold_paper import build_hold_paper
from shop.hold_extensions import Extension, extension_paper_of
from shop.hold_words import hold_paper_of
from shop.models import GivenBackLater, HoldTerms, Paper, Payment, Promise
from shop.states import PaperKind


@transaction.atomic
def give_back_later(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", reason: str, by, on: date
) -> Payment:
    """Money given back out of what was kept when a hold, a trial or a sale ended."""
    lock_person(promise.person)
    if Promise.objects.open().filter(pk=promise.pk).exists():
        raise Refused(f"This {promise.get_kind_display().lower()} has not ended. End it first.")
    if amount_minor <= 0:
        raise NotEnough("What is given back must be more than nothing.")
    if not reason.strip():
        raise Refused("Say why it is given back.", about=("reason",))
    payment = refund(
        promise=promise, amount_minor=amount_minor, method=method, reference=reference, by=by, on=on
    )
    GivenBackLater.objects.create(payment=payment, reason=reason.strip(), recorded_by=by)
    return payment


def issue_hold_paper(*, terms: HoldTerms, by) -> Paper:
    """The paper as it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := hold_paper_kept(terms):
        return kept
    words = hold_paper_of(terms)
    with stored_paper(f"hold-{terms.number}", build_hold_paper(words)) as stored:
        return _keep(terms, {"number": terms.number, "terms": list(words.terms)}, stored, by)


def issue_extension_paper(*, extension: Extension, by) -> Paper:
    """The paper of one extension, as it was printed first. Never inside a transaction."""
    if kept := extension_paper_kept(extension):
        return kept
    words = extension_paper_of(extension)
    facts = {"number": extension.number, "hold": extension.of.number, "terms": list(words.terms)}
    with stored_paper(f"hold-{extension.number}", build_hold_paper(words)) as stored:
        return _keep(extension.of, facts, stored, by)


def hold_paper_kept(terms: HoldTerms) -> Paper | None:
    return _kept(terms.number)


def extension_paper_kept(extension: Extension) -> Paper | None:
    return _kept(extension.number)


def _kept(number: str) -> Paper | None:
    return Paper.objects.filter(kind=PaperKind.HOLD, number=number).first()


@transaction.atomic
def _keep(terms: HoldTerms, facts: dict, stored: StoredFile, by) -> Paper:
    instrument = Instrument.objects.select_for_update().get(pk=terms.promise.instrument_id)
    if kept := _kept(facts["number"]):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=PaperKind.HOLD,
        number=facts["number"],
        instrument=instrument,
        facts=facts,
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
