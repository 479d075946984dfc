from datetime import date

from django.db import transaction

from instruments.models import Instrument
from shop.models import Lead, OfferCalculation
from shop.offers import figures_on


@transaction.atomic
def keep_calculation(
    *,
    lead: Lead | None = None,
    instrument: Instrument | None = None,
    values: dict,
    note: str = "",
    by,
    on: date,
) -> OfferCalculation:
    """Keep what the most we may pay rested on, with the tax of this day."""
    figures = figures_on(on, values)
    return OfferCalculation.objects.create(
        lead=lead,
        instrument=instrument,
        scheme=figures.scheme,
        rate_percent=figures.vat_rate * 100,
        most_minor=figures.most_minor,
        note=note,
        calculated_on=on,
        recorded_by=by,
        **values,
    )
