"""Keys pressed on a drawn keyboard, typed as ranges, or both."""

from django import forms

from instruments.calc import compass
from instruments.models import Instrument


def pressed_keys_field(label: str) -> forms.TypedMultipleChoiceField:
    return forms.TypedMultipleChoiceField(
        label=label, coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )


def typed_keys_field(label: str, **options) -> forms.CharField:
    words = {"autocomplete": "off", "autocapitalize": "none", "placeholder": "1-12, C4, all sharps"}
    return forms.CharField(label=label, required=False, widget=forms.TextInput(attrs=words), **options)


class KeysChosen:
    """For a form with the fields `key` (pressed) and `typed`, and an `instrument`."""

    instrument: Instrument

    def offer_keys(self) -> None:
        """The keys of this instrument's own compass."""
        top = compass.top_key(self.instrument.first_key, self.instrument.key_count)
        own = range(self.instrument.first_key, top + 1)
        self.fields["key"].choices = [(key, compass.note_label(key)) for key in own]

    def clean_typed(self) -> tuple[int, ...]:
        try:
            return compass.parse_keys(
                self.cleaned_data["typed"], self.instrument.first_key, self.instrument.key_count
            )
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="keys") from reason

    @property
    def keys(self) -> set[int]:
        """Pressed and typed together."""
        return {*self.cleaned_data.get("key", ()), *self.cleaned_data.get("typed", ())}

    @property
    def pressed(self) -> set[int]:
        """What was pressed on a form that is shown again."""
        known = {str(key): key for key, _ in self.fields["key"].choices}
        return {known[str(value)] for value in self["key"].value() or () if str(value) in known}
