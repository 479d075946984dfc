"""Signing on a screen: drawn in a field, or by typing one's name, for who cannot or would rather not draw.

A name typed under words in order to sign them is a signature: Electronic Communications Act 2000, s. 7, and
Law Commission, Electronic execution of documents (Law Com No 386, 2019); both from memory. Check the law in
force.
"""

from django import forms

from shop.actions.signatures import drawn, typed
from shop.calc.signature import NOT_DRAWN, Drawing, read_drawing
from shop.documents.trial_agreement import ScreenSignature
from shop.states import SigningWay

LONGEST_DRAWING, LONGEST_NAME = 100_000, 120
SIGNERS = (("customer", "The customer"), ("shop", "The shop"))


class DrawingField(forms.CharField):
    """Lines drawn in a field of the page, as its script sends them; None where nobody drew."""

    def __init__(self, **options):
        super().__init__(max_length=LONGEST_DRAWING, required=False, widget=forms.HiddenInput, **options)

    def clean(self, value) -> Drawing | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_drawing(text)
        except ValueError as reason:
            raise forms.ValidationError(str(reason)) from reason


def typed_field(label: str) -> forms.CharField:
    box = forms.TextInput(attrs={"autocomplete": "off"})
    return forms.CharField(label=label, max_length=LONGEST_NAME, required=False, widget=box)


class SigningFields(forms.Form):
    """What it is signed with, by the way chosen in `way`; the hash is that of the words that were read.

    `by` is who is signed in: nobody else signs for the shop.
    """

    customer_name = forms.CharField(label="Name of who signs", max_length=LONGEST_NAME, required=False)
    customer_drawing = DrawingField(label="Their signature")
    shop_drawing = DrawingField(label="For the shop")
    customer_typed = typed_field("The customer types their name to sign")
    shop_typed = typed_field("The shop types its name to sign")
    content_hash = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def __init__(self, *args, by, **options):
        super().__init__(*args, **options)
        self.signs_for_shop = by.get_full_name() or by.get_username()
        self.fields["customer_typed"].help_text = "The name as it stands above, in full."
        self.fields["shop_typed"].label = f"For the shop, {self.signs_for_shop} types their name to sign"

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("way") not in (SigningWay.SCREEN, SigningWay.TYPED):
            return cleaned
        if not cleaned.get("customer_name") and "customer_name" not in self.errors:
            self.add_error("customer_name", "Give the name of who signs.")
        if cleaned["way"] == SigningWay.SCREEN:
            self._refuse_undrawn(cleaned)
        else:
            self._refuse_untyped(cleaned)
        return cleaned

    def _refuse_undrawn(self, cleaned: dict) -> None:
        """Whose signature is missing is said of each by its own name: the list over the form shows both."""
        for signer, whose in SIGNERS:
            name = f"{signer}_drawing"
            if name not in self.errors and not cleaned.get(name):
                self.add_error(name, f"{whose} has not signed. {NOT_DRAWN}")

    def _refuse_untyped(self, cleaned: dict) -> None:
        wanted = {"customer": cleaned.get("customer_name"), "shop": self.signs_for_shop}
        for signer, whose in SIGNERS:
            name, full = f"{signer}_typed", wanted[signer]
            if name in self.errors or not full or _alike(cleaned.get(name, ""), full):
                continue
            self.add_error(name, f"{whose} has not signed. Type the name in full, “{full}”, to sign.")

    def signatures(self) -> dict[str, ScreenSignature]:
        """Of the customer and of the shop; empty where it is signed on paper."""
        said = self.cleaned_data
        names = {"customer": said.get("customer_name", ""), "shop": self.signs_for_shop}
        if said.get("way") == SigningWay.SCREEN:
            return {signer: drawn(name, said[f"{signer}_drawing"]) for signer, name in names.items()}
        if said.get("way") == SigningWay.TYPED:
            return {signer: typed(name) for signer, name in names.items()}
        return {}


def _alike(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
