"""The guarantee as it is printed: once, kept byte for byte. The service card is printed as it stands."""

from datetime import date

from django.db import transaction

from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from shop.actions.papers import stored_paper
from shop.after_care import care_of
from shop.care_problems import guarantee_paper_of, guarantee_problems
from shop.documents.guarantee import build_guarantee
from shop.guarantee_words import guarantee_of
from shop.models import Paper, Sale
from shop.states import PaperKind


def issue_guarantee(*, sale: Sale, by, on: date) -> Paper:
    """As it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := guarantee_paper_of(sale):
        return kept
    standing = care_of(sale, on=on)
    refuse_if_blocked(guarantee_problems(standing))
    paper = guarantee_of(standing, on=on)
    with stored_paper(f"guarantee-{sale.number}", build_guarantee(paper)) as stored:
        return _keep(sale, standing.agreed, stored, by)


@transaction.atomic
def _keep(sale: Sale, agreed, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=sale.instrument_id)
    if kept := guarantee_paper_of(sale):
        return kept  # somebody else printed it in the meantime
    if sale.care_terms.first() != agreed:
        raise Blocked([Blocker("The terms changed while it was printed. Look at them, then print again.")])
    paper = Paper.objects.create(
        kind=PaperKind.GUARANTEE,
        number=sale.number,
        instrument=sale.instrument,
        sale=sale,
        facts={"terms_sha256": agreed.sha256, "terms": agreed.terms},
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
