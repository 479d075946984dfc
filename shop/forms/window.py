"""What a stranger may ask of the window: height, price, compass, what it is and how it looks, an order."""

from functools import lru_cache

from django import forms
from django.db import connection
from django.http import QueryDict
from django.utils.functional import cached_property

from instruments.calc.exact import plain
from instruments.forms.fields import CentimetreField
from instruments.models.worded import Worded
from instruments.sound_states import ToneWord
from instruments.states import CaseWood, Kind
from shop.forms.stock import ANY, COMPASSES
from shop.models import Listing, ShopProfile
from shop.pages import MOST_COUNTED
from shop.stock import keys_in_range, narrow_ranges
from shop.window_stock import ORDERS, window_stock, woods_in_window
from workorders.currency import price_in_words
from workorders.forms.fields import MoneyField

# "What it is" in one choice, as people ask for it.
CHARACTERS = {
    "overstrung": ("Overstrung", {"instrument__stringing": "overstrung"}),
    "underdamped": ("Underdamper", {"instrument__damping": "under"}),
    "iron": ("Full iron frame", {"instrument__frame": "full_iron"}),
}
LOOKUPS = {
    "kind": "instrument__kind",
    "wood": "instrument__case_wood",
    "height_from": "instrument__height_cm__gte",
    "height_to": "instrument__height_cm__lte",
    "price_from": "price_now__gte",
    "price_to": "price_now__lte",
}


class WindowForm(forms.Form):
    kind = forms.ChoiceField(label="Kind", required=False, choices=[ANY, *Kind.choices])
    height_from = CentimetreField(label="Height from", required=False)
    height_to = CentimetreField(label="Height to", required=False)
    price_from = MoneyField(label="Price from", required=False)
    price_to = MoneyField(label="Price to", required=False)
    compass = forms.ChoiceField(label="Compass", required=False, choices=[ANY, *COMPASSES.items()])
    wood = forms.ChoiceField(label="Wood and finish", required=False)
    build = forms.ChoiceField(
        label="Build",
        required=False,
        choices=[ANY, *((name, words) for name, (words, _) in CHARACTERS.items())],
    )
    sounds = forms.ChoiceField(label="To our ear", required=False, choices=[ANY, *ToneWord.choices])
    heard = forms.BooleanField(label="Only those that can be heard here", required=False)
    order = forms.ChoiceField(
        label="Order", required=False, choices=[(name, words) for name, (words, _) in ORDERS.items()]
    )

    def __init__(self, asked, *, woods: list[tuple[str, str]] | None = None):
        """`woods` to choose from, where they need not be looked up: those that are in the window."""
        asked = asked.copy()
        asked.setdefault("order", "newest")
        super().__init__(asked)
        self.fields["wood"].choices = [ANY, *(woods_in_window() if woods is None else woods)]

    def clean(self):
        asked = super().clean()
        for least, most, words in (
            ("height_from", "height_to", "The least height is more than the most: change one of them."),
            ("price_from", "price_to", "The lowest price is above the highest: change one of them."),
        ):
            low, high = asked.get(least), asked.get(most)
            if low is not None and high is not None and low > high:
                self.add_error(most, words)
        return asked

    def keys(self, *, most: int) -> list[int]:
        """The keys of the listings asked for, `most` at most.

        What of the question was not understood is left out, and said beside it.
        """
        self.full_clean()
        law = connection.vendor, ShopProfile.jurisdiction_now()
        narrow = narrow_ranges(self.cleaned_data)
        return _keys(self.data.urlencode(), most, narrow, *law).keys()

    def narrowed(self):
        wanted = {name: value for name, value in self.cleaned_data.items() if value not in (None, "")}
        listings = window_stock().filter(
            **{lookup: wanted[name] for name, lookup in LOOKUPS.items() if name in wanted}
        )
        if wanted.get("compass") == "other":
            listings = listings.exclude(instrument__key_count__in=[85, 88])
        elif "compass" in wanted:
            listings = listings.filter(instrument__key_count=int(wanted["compass"]))
        if "build" in wanted:
            listings = listings.filter(**CHARACTERS[wanted["build"]][1])
        if "sounds" in wanted:
            listings = listings.filter(instrument__tone__kept_words__contains=f",{wanted['sounds']},")
        if wanted.get("heard"):
            listings = listings.filter(can_be_heard=True)
        return listings.order_by(*ORDERS[wanted.get("order", "newest")][1])

    @property
    def is_narrowed(self) -> bool:
        """Whether anything is asked for beside an order; the page then shows the questions open."""
        return any(self.data.get(name) for name in (*LOOKUPS, "compass", "build", "sounds", "heard"))

    @property
    def asked_words(self) -> list[str]:
        """What narrows the list, each as its field says it: "Height to 122 cm"."""
        asked = {name: self.cleaned_data.get(name) for name in self.fields if name != "order"}
        return [
            self._words_of(name, value) for name, value in asked.items() if value not in (None, "", False)
        ]

    def _words_of(self, name: str, value) -> str:
        field = self.fields[name]
        if isinstance(field, MoneyField):
            return f"{field.label} {price_in_words(value)}"
        if isinstance(field, CentimetreField):
            return f"{field.label} {plain(value)} cm"
        if isinstance(field, forms.BooleanField):
            return field.label
        return f"{field.label} {dict(field.choices)[value]}"

    @cached_property
    def unmeasured(self) -> int:
        """How many are left out of a question of height because nobody has measured theirs."""
        if not {"height_from", "height_to"} & {name for name, value in self.cleaned_data.items() if value}:
            return 0
        unmeasured = Listing.objects.in_window().filter(instrument__height_cm__isnull=True)
        return unmeasured.order_by()[:MOST_COUNTED].count()


@lru_cache(maxsize=200)
def _keys(asked: str, most: int, narrow: tuple[str, ...], vendor: str, jurisdiction: str) -> Worded:
    """In words of the database; the same question is put into them once."""
    form = WindowForm(QueryDict(asked), woods=CaseWood.choices)
    form.full_clean()
    listings = form.narrowed()
    for name in narrow:
        listings = listings.filter(instrument__in=keys_in_range(name, form.cleaned_data))
    return Worded.of(listings.values("pk")[:most])
