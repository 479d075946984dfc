from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.search import refresh_search_text
from instruments.calc import compass, edtf
from instruments.models import Instrument

UNITS = {"_cm": " cm", "_kg": " kg", "_g": " g"}


@transaction.atomic
def correct_identity(*, instrument: Instrument, by, **fields) -> Instrument:
    """Change what an instrument is said to be. The history names each field with what stood there before.

    Fields that stay the same are left alone; when all do, nothing is written.
    """
    current = Instrument.objects.select_for_update().get(pk=instrument.pk)
    before = {name: words_for(current, name) for name in fields}
    for name, value in fields.items():
        setattr(current, name, value)
    changes = [
        f"{field_label(name)} {old} → {new}"
        for name, old in before.items()
        if (new := words_for(current, name)) != old
    ]
    if changes:
        save_tracked(current, by=by, why=f"Corrected. {'; '.join(changes)}")
        refresh_search_text(current)
    return current


def field_label(name: str) -> str:
    label = str(Instrument._meta.get_field(name).verbose_name)
    return label[:1].upper() + label[1:]


def words_for(instrument: Instrument, name: str) -> str:
    """What a field holds, as the history says it: "122 cm", "about 1912", "not recorded"."""
    value = getattr(instrument, name)
    if value in (None, ""):
        return "not recorded"
    if name == "made":
        return edtf.describe(value)
    if name == "first_key":
        return compass.note_label(value)
    if instrument._meta.get_field(name).choices:
        return str(getattr(instrument, f"get_{name}_display")())
    if isinstance(value, Decimal):
        value = f"{value.normalize():f}"
    unit = next((words for ending, words in UNITS.items() if name.endswith(ending)), "")
    return f"{value}{unit}"
