"""The shop's own wording of its listings, and the way back to the house's."""

from collections.abc import Sequence

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.calc.voice import form_faults, house_voice, order_faults
from shop.models import ListingOrder, ListingSentence


@transaction.atomic
def word_sentence(*, code: str, text: str, by) -> ListingSentence:
    """Say it in these words from the next draft on. Raises Refused when it would say more than is known."""
    form = house_voice().forms[code]
    if faults := form_faults(form, text):
        raise Refused(" ".join(faults))
    row = _held(ListingSentence, code=code)
    row.text, row.is_own = text, True
    return save_tracked(row, by=by, why=f"“{form.label}” worded: {text}"[:500])


@transaction.atomic
def word_as_the_house(*, code: str, by) -> ListingSentence:
    form = house_voice().forms[code]
    row = _held(ListingSentence, code=code)
    row.text, row.is_own = form.text, False
    return save_tracked(row, by=by, why=f"“{form.label}” worded as the house does")


@transaction.atomic
def order_version(*, version: str, topics: Sequence[str], most_characters: int | None, by) -> ListingOrder:
    """Set which topics a version has, in which order, and how long it may be."""
    if faults := order_faults(version, topics):
        raise Refused(" ".join(faults))
    row = _held(ListingOrder, version=version)
    row.topics, row.most_characters, row.is_own = list(topics), most_characters, True
    return save_tracked(row, by=by, why=f"{house_voice().versions[version].label} put in our own order")


@transaction.atomic
def order_as_the_house(*, version: str, by) -> ListingOrder:
    house, row = house_voice().versions[version], _held(ListingOrder, version=version)
    row.topics, row.most_characters, row.is_own = list(house.order), house.most_characters, False
    return save_tracked(row, by=by, why=f"{house.label} put in the order of the house")


def _held(model, **key):
    return model.objects.select_for_update().filter(**key).first() or model(**key)
