from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.models import Instrument, Move
from instruments.states import Place


@transaction.atomic
def move_instrument(*, instrument: Instrument, place: str, note: str = "", by, on: date) -> Move:
    """Write down where an instrument went; the instrument itself remembers only the newest place."""
    # Locked first, so that of two moves at once the later row is also the place that is remembered.
    current = Instrument.objects.select_for_update().get(pk=instrument.pk)
    move = Move.objects.create(instrument=instrument, place=place, note=note, moved_on=on, recorded_by=by)
    instrument.place, instrument.place_note = current.place, current.place_note = place, note
    words = Place(place).label + (f": {note}" if note else "")
    save_tracked(current, by=by, why=f"Moved. {words}", update_fields=["place", "place_note"])
    return move
