from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.actions.search import refresh_search_text
from instruments.models import Instrument, Move


@transaction.atomic
def create_instrument(*, by, on: date, series: str = "stock", prefix: str = "", **identity) -> Instrument:
    """Give an instrument its number and its first place. `identity` holds fields of Instrument.

    What is not stock is numbered in a series of its own, so that stock numbers keep no gaps.
    Raises ValueError when `made` is not EDTF.
    """
    number = next_number(series, on=on, prefix=prefix)
    instrument = Instrument(stock_number=number, logged_by=by, **identity)
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
