import re

from django import forms

from shop.models import Person

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


class PersonChoice(forms.ModelChoiceField):
    """A known person picked from a list, or a new one named beside it (see `PersonPickMixin`)."""

    def __init__(self, **options):
        super().__init__(queryset=Person.objects.all(), required=False, empty_label="Somebody new", **options)


class PersonPickMixin:
    """For forms with `person` (known) and `new_name`, `new_address`, `new_telephone` (not yet known)."""

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("person") and not cleaned.get("new_name") and "person" not in self.errors:
            self.add_error("person", "Choose who it is, or give the name of somebody new.")
        return cleaned

    def person_card(self) -> dict:
        cleaned = self.cleaned_data
        return {
            "name": cleaned["new_name"],
            "address": cleaned.get("new_address", ""),
            "telephone": cleaned.get("new_telephone", ""),
            "email": cleaned.get("new_email", ""),
        }
