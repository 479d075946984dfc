"""The chain of one instrument, read through."""

from instruments.actions.chain import breaks
from instruments.models import Instrument


def breaks_of(instrument: Instrument) -> list[str]:
    return [each.sentence for each in breaks(Instrument.objects.filter(pk=instrument.pk))]
