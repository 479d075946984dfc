"""What the stock list can be asked: words, filters, an order."""

from collections.abc import Sequence
from functools import lru_cache

from django import forms
from django.db import connection
from django.http import QueryDict
from django.utils.functional import cached_property

from instruments.forms.fields import NumberField
from instruments.models import Instrument, rare_words
from instruments.models.worded import Worded
from instruments.states import Kind, Place
from shop.models import ShopProfile
from shop.pages import PartOfMany
from shop.stock import (
    ALL_BUT_KEPT_OUT,
    SORTS,
    STATES,
    in_order,
    in_state,
    keys_in_range,
    narrow_ranges,
    newest_price,
    stock_with_state,
    surely_many,
)
from workorders.forms.fields import MoneyField

COMPASSES = {"88": "88 keys", "85": "85 keys", "other": "Another number"}
ANY = ("", "Any")
BY_PRICE = ("cheapest", "dearest")


class StockForm(forms.Form):
    q = forms.CharField(
        label="Search",
        required=False,
        max_length=100,
        widget=forms.TextInput(
            attrs={"type": "search", "placeholder": "Maker, model, serial, number, words of its history"}
        ),
    )
    state = forms.ChoiceField(label="State", required=False, choices=[*STATES.items()])
    kind = forms.ChoiceField(label="Kind", required=False, choices=[ANY, *Kind.choices])
    place = forms.ChoiceField(label="Where", required=False, choices=[ANY, *Place.choices])
    compass = forms.ChoiceField(label="Compass", required=False, choices=[ANY, *COMPASSES.items()])
    height_from = NumberField(label="Height from", required=False)
    height_to = NumberField(label="Height to", required=False)
    price_from = MoneyField(label="Price from", required=False)
    price_to = MoneyField(label="Price to", required=False)
    sort = forms.ChoiceField(
        label="Order", required=False, choices=[(name, words) for name, (words, _) in SORTS.items()]
    )

    def __init__(self, asked):
        asked = asked.copy()
        # Whoever searches for a piano that was sold wants to find it; whoever looks at the list does not.
        asked.setdefault("state", "all" if asked.get("q", "").strip() else "in_stock")
        asked.setdefault("sort", "newest")
        super().__init__(asked)
        for name in ("height_from", "height_to"):
            self.fields[name].unit = "cm"

    @cached_property
    def asked(self) -> str:
        return self.data.urlencode()

    def found(self):
        """The instruments asked for. What of the question was not understood is left out, and marked."""
        self.full_clean()
        return self.narrowed_stock(stock_with_state())

    def keys(self, *, most: int, part: range | None = None) -> Sequence[int]:
        """Their keys alone, `most` at most: far cheaper than all that is known of them.

        Where there are surely so many only those in the places of `part` are read, which is cheaper still.
        """
        asked = self.asked
        law = connection.vendor, ShopProfile.jurisdiction_now()
        wanted = _understood(asked).cleaned_data
        rare, narrow = rare_words(Instrument, wanted.get("q", "")), narrow_ranges(wanted)
        words, state = _keys(asked, most, rare, narrow, *law), wanted.get("state", "")
        if part is None or self.narrowed or wanted.get("q") or state not in ALL_BUT_KEPT_OUT:
            return words.keys()
        is_many, keys = words.keys_if_many(_many(state, most, connection.vendor), part)
        return PartOfMany(keys, part, most) if is_many else keys

    def narrowed_stock(self, stock, *, rare: tuple[str, ...] | None = None):
        wanted = self.cleaned_data
        stock = in_state(stock, wanted.get("state", "")).search(wanted.get("q", ""), rare=rare)
        stock = stock.filter(
            **{lookup: wanted[name] for name, lookup in LOOKUPS.items() if wanted.get(name) not in (None, "")}
        )
        if wanted.get("compass") == "other":
            stock = stock.exclude(key_count__in=[85, 88])
        elif wanted.get("compass"):
            stock = stock.filter(key_count=int(wanted["compass"]))
        return in_order(stock, wanted.get("sort") or "newest", wanted.get("state", ""))

    @property
    def asks_for_all(self) -> bool:
        """Whether nothing at all narrows the list, so that an empty one means an empty shop."""
        return not self.narrowed and not self.data.get("q") and self.data.get("state") in ("in_stock", "all")

    @property
    def narrowed(self) -> bool:
        """Whether any filter beside words, state and order is in use; the page then shows them open."""
        return any(self.data.get(name) for name in (*LOOKUPS, "compass"))


LOOKUPS = {
    "kind": "kind",
    "place": "place",
    "height_from": "height_cm__gte",
    "height_to": "height_cm__lte",
    "price_from": "price_now__gte",
    "price_to": "price_now__lte",
}


@lru_cache(maxsize=200)
def stock_form(asked: str) -> StockForm:
    """For a page, which only shows it and asks it for its keys: made once for the same question."""
    return StockForm(QueryDict(asked))


@lru_cache(maxsize=200)
def _understood(asked: str) -> StockForm:
    form = StockForm(QueryDict(asked))
    form.full_clean()
    return form


@lru_cache(maxsize=10)
def _many(state: str, most: int, vendor: str) -> Worded:
    return Worded.of(surely_many(state, most))


@lru_cache(maxsize=200)
def _keys(
    asked: str, most: int, rare: tuple[str, ...], narrow: tuple[str, ...], vendor: str, jurisdiction: str
) -> Worded:
    """In words of the database; the same question is put into them once."""
    form = _understood(asked)
    asks_prices = any(form.cleaned_data.get(name) not in (None, "") for name in ("price_from", "price_to"))
    if asks_prices or form.cleaned_data.get("sort") in BY_PRICE:
        stock = Instrument.objects.annotate(price_now=newest_price())
    else:
        stock = Instrument.objects.all()
    for name in narrow:
        stock = stock.filter(pk__in=keys_in_range(name, form.cleaned_data))
    return Worded.of(form.narrowed_stock(stock, rare=rare).values("pk")[:most])
