"""Example papers of the demo, written beside its data: a sale sheet, an agreement drafted and one kept."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from django.db.models import Count

from shop.actions.agreements import trial_agreement_of
from shop.actions.papers import sale_sheet_of
from shop.models import Listing, Paper, Trial
from shop.states import PaperKind, TrialState


def write_papers(folder: Path, *, on: date) -> list[Path]:
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, pdf in example_papers(on=on):
        path = folder / name
        path.write_bytes(pdf)
        written.append(path)
    return written


def example_papers(*, on: date) -> Iterator[tuple[str, bytes]]:
    """Of what the demo holds now: somebody may have sold or ended things since it was built."""
    if listing := most_told_of():
        yield f"sale-sheet-{listing.instrument.stock_number}.pdf", sale_sheet_of(listing, on=on)
    if trial := Trial.objects.filter(state=TrialState.DRAFT).first():
        yield f"trial-agreement-{trial.number}-draft.pdf", trial_agreement_of(trial, on=on, is_draft=True)
    if kept := Paper.objects.filter(kind=PaperKind.TRIAL_AGREEMENT).first():
        with kept.file.open("rb") as file:
            yield f"trial-agreement-{kept.number}.pdf", file.read()


def most_told_of() -> Listing | None:
    listings = Listing.objects.in_window().select_related("instrument")
    return listings.annotate(told=Count("instrument__statements")).order_by("-told", "id").first()
