"""What the stock search looks through: names, numbers, and every word of the history that still holds."""

from instruments.models import Instrument, folded


def refresh_search_text(instrument: Instrument) -> None:
    instrument.search_text = search_text_of(instrument)
    # The column is left out of the history, so this plain update loses nothing of it.
    Instrument.objects.filter(pk=instrument.pk).update(search_text=instrument.search_text)


def search_text_of(instrument: Instrument) -> str:
    serial = instrument.serial
    words = [
        instrument.stock_number,
        instrument.maker,
        instrument.name_on_fall,
        instrument.model,
        serial,
        "".join(serial.split()),  # "31 447" is also found as 31447
        instrument.get_kind_display(),
        instrument.get_case_wood_display(),
        instrument.case_finish,
        *instrument.statements.current().values_list("text", flat=True),
    ]
    return folded("\n".join(word for word in words if word))
