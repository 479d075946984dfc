from django import forms

from shop.calc.doubles import name_key
from shop.doubles import FACTS
from shop.models import Person

BOTH = "both"
NOTE_LENGTH = Person._meta.get_field("note").max_length


class NamedForm(forms.Form):
    """Asks for the name of whom it is about, so that nobody does it by one wrong press."""

    confirm = forms.CharField(label="Their name, to be sure", max_length=120)

    def __init__(self, *args, name: str, **options):
        super().__init__(*args, **options)
        self.name = name
        self.fields["confirm"].help_text = f"Write “{name}”."
        self.fields["confirm"].widget.attrs["autocomplete"] = "off"

    def clean_confirm(self) -> str:
        typed = self.cleaned_data["confirm"]
        if name_key(typed) != name_key(self.name):
            raise forms.ValidationError(f"That is not the name on the card: {self.name}.", code="name")
        return typed


class JoinForm(NamedForm):
    """Which facts stand where two cards differ, and how we know that they are one person's."""

    reason = forms.CharField(
        label="How do we know that they are one person?",
        max_length=300,
        help_text="They said so; the same house and telephone; both signed alike …",
    )
    field_order = [*FACTS, "reason", "confirm"]

    def __init__(self, *args, double: Person, into: Person, **options):
        super().__init__(*args, name=into.name, **options)
        self.values = {name: _values(name, double, into) for name in FACTS}
        for name, values in self.values.items():
            if len(values) > 1:
                label = f"{Person._meta.get_field(name).verbose_name.capitalize()} that stands"
                self.fields[name] = forms.ChoiceField(
                    label=label,
                    choices=list(values.items()),
                    widget=forms.RadioSelect,
                    initial=next(iter(values)),
                )
        self.order_fields(self.field_order)

    def facts(self) -> dict[str, str]:
        return {
            name: values[self.cleaned_data.get(name) or next(iter(values))]
            for name, values in self.values.items()
        }

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("note") == BOTH and len(self.values["note"][BOTH]) > NOTE_LENGTH:
            self.add_error("note", f"Both notes together are longer than {NOTE_LENGTH} signs. Choose one.")
        return cleaned


def _values(name: str, double: Person, into: Person) -> dict[str, str]:
    """What could stand, the first as it is proposed: what the standing card says, where it says anything."""
    one, other = getattr(into, name), getattr(double, name)
    if one == other or not one or not other:
        return {"into": one or other}
    both = {BOTH: f"{one}\n{other}"} if name == "note" else {}
    return both | {"into": one, "double": other}


class PartForm(NamedForm):
    reason = forms.CharField(label="How do we know that they are two?", max_length=300)
    field_order = ["reason", "confirm"]
