"""The public pages' words for machines, gathered from what the pages show and from nothing else."""

from collections.abc import Iterable, Sequence

from django.conf import settings

from instruments.calc.exact import exact
from instruments.calc.exact import plain as exact_words
from instruments.models import Instrument
from shop.calc.linked_data import Piece, Property, individual_product
from shop.calc.protected import BLOCKED
from shop.documents.instrument_history import History
from shop.protected import verdict_of
from shop.showing import Shown
from shop.site_address import Site
from shop.window_pictures import Picture
from workorders.currency import plain
from workorders.models import WorkOrder

HAVE_THEIR_OWN = {"Serial"}
MOST_PICTURES = 12


def listing_data(shown: Shown, facts: Iterable, pictures: Sequence[Picture], site: Site) -> dict:
    """A listing in the window: so it is in stock and offered, unless a protected material forbids it."""
    listing, instrument = shown.listing, shown.instrument
    is_told = instrument.made_is_told
    return individual_product(
        Piece(
            name=f"{instrument.maker_name} {instrument.get_kind_display().lower()}",
            stock_number=instrument.stock_number,
            maker=instrument.maker_name if instrument.maker_is_known else "",
            serial=instrument.serial,
            model=instrument.model,
            made="" if is_told else instrument.made,
            category="Piano",
            description=" ".join([f"{shown.headline.rstrip('.')}.", *shown.body]),
            address=site.whole(listing.get_absolute_url()),
            pictures=tuple(site.whole(each.large) for each in pictures[:MOST_PICTURES]),
            properties=(
                *_facts(facts),
                *(Property("History", line) for line in shown.history),
                *(Property("Work done", line) for line in shown.work_done),
                *(Property("Fault", line) for line in shown.faults),
            ),
            measures_cm=_measures(instrument),
            is_restored=bool(shown.work_done)
            and WorkOrder.objects.filter(instrument=instrument).closed().exists(),
            price=plain(shown.price_minor) if shown.price_minor else "",
            currency=settings.CURRENCY,
            seller=site.profile.name,
            may_be_offered=verdict_of(instrument, "offering").level != BLOCKED,
        )
    )


def history_data(history: History) -> dict:
    """An issued history; it offers nothing, since it may have been sold long ago."""
    return individual_product(
        Piece(
            name=f"{history.maker} {history.kind.lower()}",
            stock_number=history.stock_number,
            maker=history.maker,
            serial=next((fact.value for fact in history.facts if fact.label == "Serial"), ""),
            category="Piano",
            description=history.sentence,
            properties=(
                *_facts(history.facts),
                *(Property(said.topic, said.sentence, said.basis) for said in history.said),
                *(Property("Did not bear testing", line) for line in history.tested),
                *(
                    Property("Work done", f"{each.name}: {each.result}", each.done_on)
                    for each in history.done
                ),
                *(Property("Not known", line) for line in history.not_known),
            ),
        )
    )


def _measures(instrument: Instrument) -> tuple[tuple[str, str], ...]:
    """In schema.org's words; a length has none of its own there, and stands among the properties."""
    known = {
        "height": instrument.height_cm,
        "width": instrument.width_cm,
        "depth": instrument.depth_cm,
    }
    return tuple((name, exact_words(exact(value))) for name, value in known.items() if value)


def _facts(facts: Iterable) -> list[Property]:
    return [
        Property(each.label, each.value, each.basis) for each in facts if each.label not in HAVE_THEIR_OWN
    ]
