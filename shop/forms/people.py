import re

from django import forms

from shop.doubles import cards_alike
from shop.forms.choices import PersonChoice
from shop.models import Person

__all__ = ["MailField", "PersonChoice", "PersonForm", "PersonPickMixin", "TelephoneField"]

NUMBER = re.compile(r"[+()\d\s./-]+(?:\s?(?:x|ext\.?)\s?\d+)?", re.IGNORECASE)


class TelephoneField(forms.CharField):
    """A number as people write it; kept as written, since spaces are how it is read out."""

    widget = forms.TextInput(attrs={"inputmode": "tel", "autocomplete": "off"})

    def __init__(self, **options):
        super().__init__(**{"label": "Telephone", "max_length": 40, "required": False} | options)

    def clean(self, value) -> str:
        number = super().clean(value)
        if number and (not NUMBER.fullmatch(number) or sum(sign.isdigit() for sign in number) < 4):
            raise forms.ValidationError("Give a telephone number, such as 01632 960 123.", code="telephone")
        return number


class MailField(forms.EmailField):
    """An e-mail address, spelled so wherever it is asked for."""

    def __init__(self, **options):
        options.setdefault("label", "E-mail")
        options.setdefault("required", False)
        options.setdefault(
            "error_messages", {"invalid": "Give an e-mail address, such as nell@sorrel.example."}
        )
        super().__init__(**options)


class PersonForm(forms.ModelForm):
    telephone = TelephoneField()
    email = MailField()

    class Meta:
        model = Person
        fields = ["name", "address", "telephone", "email", "note"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3}), "note": forms.Textarea(attrs={"rows": 3})}


class PersonPickMixin:
    """For forms with `person` (known) and `new_name`, `new_address`, `new_telephone` (not yet known).

    A new card like one on file is asked about once: a tick says that it is another person.
    """

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.alike = []
        self.fields["is_another"] = forms.BooleanField(
            label="It is somebody else: make a new card", required=False, widget=forms.HiddenInput
        )

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("person") or "person" in self.errors:
            return cleaned
        if not cleaned.get("new_name"):
            self.add_error("person", "Choose who it is, or give the name of somebody new.")
        elif not cleaned.get("is_another"):
            self._ask_if_known()
        return cleaned

    def _ask_if_known(self) -> None:
        card = self.person_card()
        found = cards_alike(name=card["name"], telephone=card["telephone"], email=card["email"])
        if not found:
            return
        self.alike = [person for person, _ in found]
        person, what = found[0]
        self.fields["is_another"].widget = forms.CheckboxInput()
        self.add_error(
            "person",
            f"There is already {person} with this {what}. Choose the card, or tick that it is somebody else.",
        )

    def person_card(self) -> dict:
        cleaned = self.cleaned_data
        return {
            "name": cleaned["new_name"],
            "address": cleaned.get("new_address", ""),
            "telephone": cleaned.get("new_telephone", ""),
            "email": cleaned.get("new_email", ""),
        }
