"""From a sentence of a listing to the record it rests on."""

from django.urls import reverse

from instruments.models import Instrument
from shop.calc.drafting import Sentence

RIGHTS = {"terms": "shop.run_shop"}


def record_link(instrument: Instrument, record: str, *, user) -> str:
    """The page of the record; "" where this person may not open it, or there is none."""
    kind, _, key = record.partition(" ")
    if kind in RIGHTS and not user.has_perm(RIGHTS[kind]):
        return ""
    number, page = instrument.stock_number, instrument.get_absolute_url()
    if kind == "statement":
        return reverse("instruments:statement_page", args=[number, int(key)])
    if kind == "weighing":
        return reverse("instruments:weighing_page", args=[number, int(key)])
    if kind == "item":
        return reverse("workorders:item_page", args=[int(key)])
    places = {
        "identity": f"{page}#identity",
        "condition": f"{page}#condition",
        "finding": f"{page}#condition",
        "work": f"{page}#work",
        "clearance": reverse("shop:protected_materials", args=[number]),
        "price": reverse("shop:price_set", args=[number]),
        "terms": reverse("shop:profile_edit"),
    }
    return places.get(kind, "")


def source_words(sentence: Sentence) -> str:
    return f"{sentence.source[:1].upper()}{sentence.source[1:]}"
