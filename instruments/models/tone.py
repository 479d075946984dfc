from django.db import models

from instruments.models.instrument import Instrument
from instruments.models.saving import KeptHistory
from instruments.sound_states import ToneWord

APART = ","


class Tone(models.Model):
    """How one instrument sounds to the shop's own ear: a judgement, never a measurement."""

    instrument = models.OneToOneField(Instrument, on_delete=models.PROTECT, related_name="tone")
    # Each word between commas, so that both databases find one by a plain LIKE: ",warm,clear,".
    kept_words = models.CharField("how it sounds to us", max_length=120, blank=True)
    heard_on = models.DateField()

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    def __str__(self) -> str:
        return " and ".join(filter(None, [", ".join(self.labels[:-1]), *self.labels[-1:]])) or "no word"

    @property
    def words(self) -> list[str]:
        return [word for word in self.kept_words.split(APART) if word]

    @words.setter
    def words(self, words: list[str]) -> None:
        self.kept_words = f"{APART}{APART.join(words)}{APART}" if words else ""

    @property
    def labels(self) -> list[str]:
        return [ToneWord(word).label.lower() for word in self.words]
