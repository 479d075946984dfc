"""The one-page papers of a home trial: printed when asked for, kept as printed, signed under their words."""

from dataclasses import replace
from datetime import date

from django.db import transaction

from instruments.documents.fingerprint import content_hash
from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.problems import Refused
from shop.actions.papers import stored_paper
from shop.actions.signatures import CHANGED, keep_in_ink, keep_screen_signatures
from shop.documents.trial_agreement import ScreenSignature
from shop.documents.trial_slip import TrialSlip, build_trial_slip, plain_slip, slip_from
from shop.models import Paper, PaperSignature, Trial
from shop.states import PaperKind

SLIPS = (
    PaperKind.TRIAL_EXTENSION,
    PaperKind.TRIAL_DELIVERY,
    PaperKind.TRIAL_COLLECTION,
    PaperKind.TRIAL_SETTLEMENT,
)
SIGNED_ALREADY = "It has been signed already; it stays as it was signed."


def kept_slip(trial: Trial, kind: str, slip: TrialSlip) -> Paper | None:
    """The newest print of these words; a settlement whose figures moved on is printed anew."""
    paper = trial.papers.filter(kind=kind, number=slip.number).first()
    if paper and kind == PaperKind.TRIAL_SETTLEMENT and slip_words(paper).parts != slip.parts:
        return None
    return paper


def mark_of(slip: TrialSlip, kept: Paper | None) -> str:
    """By which its words are known: those that were printed, else those that would be."""
    return kept.facts["content_hash"] if kept else content_hash(slip)


def slip_words(paper: Paper) -> TrialSlip:
    return slip_from(paper.facts["slip"])


def issue_slip(*, trial: Trial, kind: str, slip: TrialSlip, by) -> Paper:
    """As it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := kept_slip(trial, kind, slip):
        return kept
    with stored_paper(slip.number, build_trial_slip(slip)) as stored:
        return _keep(trial, kind, slip, stored, by)


@transaction.atomic
def _keep(trial: Trial, kind: str, slip: TrialSlip, stored: StoredFile, by) -> Paper:
    instrument = Instrument.objects.select_for_update().get(pk=trial.instrument_id)
    if kept := kept_slip(trial, kind, slip):
        return kept  # somebody else printed it in the meantime
    return _paper(trial, kind, slip, instrument, stored, by)


def _paper(trial, kind, slip, instrument, stored, by) -> Paper:
    paper = Paper.objects.create(
        kind=kind,
        number=slip.number,
        instrument=instrument,
        trial=trial,
        facts={"slip": plain_slip(slip), "content_hash": content_hash(slip)},
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper


def signed_slip(
    paper: Paper, *, read_hash: str, customer: ScreenSignature, shop: ScreenSignature
) -> TrialSlip:
    """The kept words with both signatures under them. Raises Refused when others were read."""
    words = slip_words(paper)
    if read_hash != content_hash(words):
        raise Refused(CHANGED)
    return replace(words, customer_signature=customer, shop_signature=shop)


@transaction.atomic
def keep_signed_slip(*, paper: Paper, slip: TrialSlip, stored: StoredFile, by) -> Paper:
    """The signed print beside the first: same number, same words, and who drew what under them."""
    instrument = Instrument.objects.select_for_update().get(pk=paper.instrument_id)
    _refuse_if_signed(paper)
    signed = _paper(paper.trial, paper.kind, slip, instrument, stored, by)
    keep_screen_signatures(paper=signed, agreement=slip, by=by)
    return signed


@transaction.atomic
def keep_slip_in_ink(*, paper: Paper, stored: StoredFile, name: str, signed_on: date, by) -> PaperSignature:
    """Signed on the printed page. The paper's instrument is held, so that it is signed once."""
    Instrument.objects.select_for_update().get(pk=paper.instrument_id)
    _refuse_if_signed(paper)
    title = f"Signed {paper.get_kind_display().lower()} {paper.number}"
    return keep_in_ink(paper=paper, stored=stored, title=title, name=name, signed_on=signed_on, by=by)


def _refuse_if_signed(paper: Paper) -> None:
    same = {"paper__trial": paper.trial_id, "paper__kind": paper.kind, "paper__number": paper.number}
    if PaperSignature.objects.filter(**same, content_hash=paper.facts["content_hash"]).exists():
        raise Refused(SIGNED_ALREADY)
