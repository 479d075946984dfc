from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.actions.search import refresh_search_text
from instruments.models import Instrument, Move


@transaction.atomic
def create_instrument(*, by, on: date, **identity) -> Instrument:
    """Give an instrument its stock number and its first place. `identity` holds fields of Instrument.

    Raises ValueError when `made` is not EDTF.
    """
    instrument = Instrument(stock_number=next_number("stock", on=on), logged_by=by, **identity)
    save_tracked(instrument, by=by, why=f"Logged as {instrument.stock_number}")
    refresh_search_text(instrument)
    Move.objects.create(
        instrument=instrument,
        place=instrument.place,
        note=instrument.place_note,
        moved_on=on,
        recorded_by=by,
    )
    return instrument
