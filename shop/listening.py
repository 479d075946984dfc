"""Who may hear which recording, and two to four of them side by side."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet
from django.urls import reverse

from instruments.calc.levelling import turned_down_db
from instruments.models import Film, Instrument, Recording
from instruments.sound_states import Register
from shop.models import Listing
from shop.ownership import without_customers_own

LEAST, MOST = 2, 4
MOST_OFFERED = 400
LEAD_MS = 100  # before the first sound, so that a strike is not cut


def heard_by(user) -> list[Recording]:
    """The newest first: of the stock for those who work here, of the window for a stranger."""
    recordings = Recording.objects.kept().select_related("instrument__listing")
    mine = recordings.filter(instrument__in=known_to(user))
    if not user.is_authenticated:
        mine = mine.filter(is_public=True)
    return list(mine[:MOST_OFFERED])


def known_to(user) -> QuerySet:
    """The instruments whose names this reader may see here: the stock, or for a stranger the window."""
    if user.is_authenticated:
        return without_customers_own(Instrument.objects.all())
    return Instrument.objects.filter(pk__in=Listing.objects.in_window().values("instrument"))


def public_recordings(instrument: Instrument) -> list[Recording]:
    """The newest of each register that the public may hear, in the order of the registers."""
    newest: dict[str, Recording] = {}
    for recording in instrument.recordings.public():
        newest.setdefault(recording.register, recording)
    return [newest[register] for register in Register if register in newest]


def public_films(instrument: Instrument) -> list[Film]:
    return list(instrument.films.public()[:10])


def by_register(recordings: Iterable[Recording]) -> dict[str, list[Recording]]:
    """Of each register the newest of every instrument; only registers that two instruments have."""
    newest: dict[str, dict[int, Recording]] = defaultdict(dict)
    for recording in recordings:
        newest[recording.register].setdefault(recording.instrument_id, recording)
    return {
        register: sorted(newest[register].values(), key=lambda each: each.instrument.stock_number)
        for register in Register
        if len(newest[register]) >= LEAST
    }


@dataclass(frozen=True)
class Beside:
    """One of those that are heard side by side."""

    recording: Recording
    url: str
    turned_down_db: Decimal

    @property
    def begins_s(self) -> float:
        return max(0, self.recording.starts_ms - LEAD_MS) / 1000

    @property
    def lasts_s(self) -> float:
        return self.recording.duration_ms / 1000 - self.begins_s

    @property
    def loudness_words(self) -> str:
        if not self.turned_down_db:
            return "The quietest of them; not changed."
        return f"Turned down by {self.turned_down_db} dB, to be as loud as the quietest."


def side_by_side(recordings: Sequence[Recording], user) -> list[Beside]:
    downs = turned_down_db([each.loudness_lufs for each in recordings])
    return [Beside(each, address_of(each, user), down) for each, down in zip(recordings, downs, strict=True)]


def address_of(recording: Recording, user) -> str:
    if user.is_authenticated:
        number = recording.instrument.stock_number
        return reverse("instruments:recording_file", args=[number, recording.pk, "copy"])
    return reverse("listing_sound", args=[recording.instrument.listing.slug, recording.pk])


def not_alike(recordings: Sequence[Recording]) -> list[str]:
    """What is not the same about them, and so is heard along with the pianos."""
    said = []
    if len({each.same_way for each in recordings}) > 1:
        said.append("They were not recorded with the same telephone at the same distance.")
    if len({each.keys for each in recordings}) > 1:
        said.append("They do not play the same notes.")
    return said
