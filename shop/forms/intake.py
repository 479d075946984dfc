"""Logging an instrument: what it is, what it looks like, where it came from and what was told."""

from django import forms
from django.urls import reverse_lazy

from instruments.forms.fields import PastDayField
from instruments.forms.identity import IdentityForm
from instruments.forms.photos import PhotosField, ReceivedPhotos
from instruments.models import Instrument
from instruments.states import Place, Teller
from shop.models import Person
from shop.sellers import of_that_name, people_like
from shop.states import ROUTES_BY_HAND, PurchaseRoute
from workorders.forms.fields import MoneyField

SOMEBODY_ELSE = "new"
KEPT_AS_TYPED = ("price_minor", "bought_on", "route", "history", "teller", "told_on")
MATCHED_AS_TYPED = {
    "autocomplete": "off",
    "hx-post": reverse_lazy("shop:seller_matches"),
    "hx-trigger": "input changed delay:300ms",
    "hx-target": "#sellers",
    "hx-sync": "this:replace",
}


class IntakeForm(IdentityForm):
    place = forms.ChoiceField(
        label="Where it is",
        choices=Place,
        initial=Place.WORKSHOP,
        required=False,
    )
    seller_name = forms.CharField(
        label="Seller", required=False, max_length=120, widget=forms.TextInput(attrs=MATCHED_AS_TYPED)
    )
    seller_choice = forms.CharField(required=False, max_length=20)
    route = forms.ChoiceField(
        label="How it came to us",
        choices=ROUTES_BY_HAND,
        initial=PurchaseRoute.PRIVATE,
        required=False,
        widget=forms.RadioSelect,
    )
    price_minor = MoneyField(label="Price paid", required=False)
    bought_on = PastDayField(label="Bought on", required=False)
    history = forms.CharField(
        label="Its history, as it was told",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Kept as told, and to ourselves, until somebody says on its page that the public may "
        "read it. One thing at a time can be tested: add the others there.",
    )
    told_by = forms.CharField(
        label="Who told it",
        required=False,
        max_length=120,
        help_text="Left empty: the seller.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    teller = forms.ChoiceField(
        label="Who that is to the piano",
        choices=[("", "Not said"), *Teller.choices],
        required=False,
        help_text="A listing prints this in place of the name, the seller’s too.",
    )
    told_on = PastDayField(label="Told on", required=False, help_text="Left empty: the day it was bought.")
    photos = PhotosField(required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.seller_matches = self.find_seller_matches()

    def find_seller_matches(self) -> list[Person]:
        return people_like(self._typed("seller_name"))

    def clean_place(self) -> str:
        return self.cleaned_data["place"] or Place.WORKSHOP

    def clean_route(self) -> str:
        return self.cleaned_data["route"] or PurchaseRoute.PRIVATE

    def clean_seller_choice(self) -> Person | str:
        chosen = self.cleaned_data["seller_choice"]
        if chosen in ("", SOMEBODY_ELSE):
            return chosen
        person = Person.objects.standing().filter(pk=chosen).first() if chosen.isdecimal() else None
        if person is None:
            raise forms.ValidationError("That person is not on file any more. Give the name again.")
        return person

    def clean(self) -> dict:
        cleaned = super().clean()
        name, choice = cleaned.get("seller_name", ""), cleaned.get("seller_choice")
        if name and choice == "" and of_that_name(name, self.seller_matches):
            self.add_error("seller_choice", f"We know a {name} already. Is it the same person?")
        if cleaned.get("history") and not self._teller(cleaned):
            self.add_error("told_by", "Who told it? Give a name, or the seller’s above.")
        return cleaned

    def record(self) -> dict:
        """What `log_instrument` takes, but for the pictures."""
        cleaned = self.cleaned_data
        known = cleaned["seller_choice"] if isinstance(cleaned["seller_choice"], Person) else None
        return {
            "identity": self.identity() | {"place": cleaned["place"]},
            "seller": known,
            "new_seller": "" if known else cleaned["seller_name"],
            "told_by": self._teller(cleaned),
        } | {name: cleaned[name] for name in KEPT_AS_TYPED}

    @property
    def received(self) -> ReceivedPhotos:
        """The photos that came with this sending, whatever else is still wrong with it."""
        return getattr(self, "cleaned_data", {}).get("photos") or ReceivedPhotos()

    @property
    def chosen_seller(self) -> str:
        return self._typed("seller_choice")

    def _teller(self, cleaned: dict) -> str:
        seller = cleaned.get("seller_choice")
        return (
            cleaned.get("told_by")
            or (seller.name if isinstance(seller, Person) else "")
            or cleaned.get("seller_name", "")
        )

    def _typed(self, name: str) -> str:
        source = self.data if self.is_bound else self.initial
        return str(source.get(name) or "")


def same_serial(instrument: Instrument) -> list[Instrument]:
    """Others of the same maker with the same serial number: perhaps this one has been here before."""
    if not instrument.serial:
        return []
    others = Instrument.objects.filter(serial=instrument.serial, maker=instrument.maker)
    return list(others.exclude(pk=instrument.pk)[:3])
