"""What may be heard of an instrument and is not in words: who cannot hear it learns nothing from a player."""

from django.urls import reverse

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.problems import Caution

MOST_NAMED = 4


@asking
def sound_cautions(instrument: Instrument):
    (unsaid,) = yield (instrument.recordings.public().filter(sound_words="")[:MOST_NAMED],)
    return [
        Caution(
            f"The public may hear “{recording}”, and nobody has said in words how it sounds.",
            f"{reverse('instruments:recording_page', args=[instrument.stock_number, recording.pk])}#words",
        )
        for recording in unsaid
    ]
