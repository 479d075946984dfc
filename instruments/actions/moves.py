from datetime import date

from django.db.models import QuerySet

from instruments.actions.history import save_tracked
from instruments.actions.whole import whole
from instruments.models import Instrument, Move
from instruments.models.worded import ASKED, of_one
from instruments.states import Place


@whole
def move_instrument(*, instrument: Instrument, place: str, note: str = "", by, on: date) -> Move:
    """Write down where an instrument went; the instrument itself remembers only the newest place."""
    # Locked first, so that of two moves at once the later row is also the place that is remembered.
    (current,) = _held(instrument.pk).alone()
    move = Move.objects.create(instrument=instrument, place=place, note=note, moved_on=on, recorded_by=by)
    instrument.place, instrument.place_note = current.place, current.place_note = place, note
    words = Place(place).label + (f": {note}" if note else "")
    save_tracked(current, by=by, why=f"Moved. {words}", update_fields=["place", "place_note"])
    return move


@of_one
def _held() -> QuerySet[Instrument]:
    return Instrument.objects.select_for_update().filter(pk=ASKED).order_by()
