"""Signing a paper: drawn or typed under the words that were read, or in ink, with a picture kept of it."""

from dataclasses import replace
from datetime import date, datetime, time

from django.utils import timezone

from instruments.actions.documents import add_document
from instruments.actions.whole import whole
from instruments.documents.fingerprint import content_hash
from instruments.kept_files import StoredFile
from instruments.problems import Refused
from instruments.states import WhoMaySee
from shop.calc.signature import Drawing
from shop.documents.trial_agreement import ScreenSignature, TrialAgreement
from shop.models import Paper, PaperSignature, Trial
from shop.states import PaperKind, Signer, SigningWay

CHANGED = (
    "What the agreement says changed after this page was opened, so nothing was signed. "
    "Read it again, then sign."
)


def signed_agreement(
    words: TrialAgreement, *, read_hash: str, customer: ScreenSignature, shop: ScreenSignature
) -> TrialAgreement:
    """The words with both signatures under them. Raises Refused when they are not those that were read."""
    if read_hash != content_hash(words):
        raise Refused(CHANGED)
    return replace(words, customer_signature=customer, shop_signature=shop)


def drawn(name: str, drawing: Drawing) -> ScreenSignature:
    return ScreenSignature(name=name, drawing=drawing, signed_at=timezone.localtime())


def typed(name: str) -> ScreenSignature:
    return ScreenSignature(name=name, signed_at=timezone.localtime())


@whole
def keep_screen_signatures(*, paper: Paper, agreement: TrialAgreement, by) -> list[PaperSignature]:
    """Beside the paper that shows them: who drew or typed what, when, under which words."""
    signers = ((Signer.SHOP, agreement.shop_signature), (Signer.CUSTOMER, agreement.customer_signature))
    return [
        PaperSignature.objects.create(
            paper=paper,
            signer=signer,
            name=signature.name,
            way=SigningWay.SCREEN if signature.drawing else SigningWay.TYPED,
            strokes=signature.drawing.plain if signature.drawing else None,
            content_hash=paper.facts["content_hash"],
            signed_at=signature.signed_at,
            recorded_by=by,
        )
        for signer, signature in signers
        if signature
    ]


@whole
def keep_signed_paper(*, trial: Trial, stored: StoredFile, name: str, signed_on: date, by) -> PaperSignature:
    """Put the picture of the signed page on file beside the agreement as it was printed."""
    paper = trial.papers.filter(kind=PaperKind.TRIAL_AGREEMENT).first()
    if paper is None:
        raise Refused("The agreement is printed when the trial starts. Start it first.")
    return keep_in_ink(
        paper=paper,
        stored=stored,
        title=f"Signed agreement {trial.number}",
        name=name,
        signed_on=signed_on,
        by=by,
    )


def keep_in_ink(
    *, paper: Paper, stored: StoredFile, title: str, name: str, signed_on: date, by
) -> PaperSignature:
    """A picture of the page with ink on it, beside the paper as it was printed. Inside a transaction."""
    document = add_document(
        instrument=paper.instrument,
        by=by,
        title=title,
        dated=signed_on.isoformat(),
        seen_by=WhoMaySee.STAFF,
        **stored.fields,
    )
    stored.keep()
    return PaperSignature.objects.create(
        paper=paper,
        signer=Signer.CUSTOMER,
        name=name,
        way=SigningWay.PAPER,
        document=document,
        content_hash=paper.facts.get("content_hash", ""),
        signed_at=timezone.make_aware(datetime.combine(signed_on, time())),
        recorded_by=by,
    )
