from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.models import Instrument, Tone


@transaction.atomic
def set_tone(*, instrument: Instrument, words: list[str], on: date, by) -> Tone:
    """Say how it sounds by `ToneWord`s; none takes back what was said."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    tone = Tone.objects.filter(instrument=instrument).first() or Tone(instrument=instrument)
    tone.words, tone.heard_on = words, on
    save_tracked(tone, by=by, why=f"How it sounds to us: {tone}")
    return tone
