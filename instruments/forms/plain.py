"""Fields as every page shows them: what is wrong is said of the field, in the shop's words and not Django's.

`BoundField` is what all templates read a field's errors from, and the renderer of all forms
(settings.FORM_RENDERER) makes them: so it is said here once. Django's own sentences are lazy translations, by
which they are known; a field that has words of its own (`error_messages={"required": …}`) keeps them.
"""

from decimal import Decimal

from django import forms
from django.forms.renderers import DjangoTemplates
from django.utils.functional import Promise as Lazy

LONG_FIGURE = 10_000
TYPE_IT = "write a few words"
# The kinds of field, the closest first; a field's own `asks_for` comes before them all.
ASKS_FOR = (
    (forms.MultipleChoiceField, "choose at least one"),
    (forms.ModelMultipleChoiceField, "choose at least one"),
    (forms.ChoiceField, "choose one"),
    (forms.ModelChoiceField, "choose one"),
    (forms.DateField, "give a day, such as 21/03/2026"),
    (forms.TimeField, "give a time, such as 14:30"),
    (forms.FileField, "choose a file"),
    (forms.EmailField, "give an e-mail address, such as nell@sorrel.example"),
    (forms.URLField, "give an address, such as https://sorrel.example"),
    (forms.DecimalField, "give a number"),
    (forms.IntegerField, "give a whole number"),
)
NOT_READ = "“{label}” cannot be read: {asks_for}."
NOT_A_CHOICE = "“{label}”: that is not among the choices."
NOT_A_FILE = "“{label}”: nothing came with it. Choose the file again."
SENTENCES = {
    "invalid": NOT_READ,
    "invalid_date": NOT_READ,
    "overflow": NOT_READ,
    "max_length": "“{label}” is too long: at most {limit_value} characters, and this has {show_value}.",
    "min_length": "“{label}” is too short: at least {limit_value} characters, and this has {show_value}.",
    "max_value": "“{label}” is {limit_value} at most.",
    "min_value": "“{label}” is {limit_value} at least.",
    "step_size": "“{label}” goes in steps of {limit_value}.",
    "max_digits": "“{label}” has too many figures: at most {max}.",
    "max_whole_digits": "“{label}” is too large: at most {max} figures before the point.",
    "max_decimal_places": "“{label}” has too many decimals: at most {max}.",
    "invalid_choice": NOT_A_CHOICE,
    "invalid_list": NOT_A_CHOICE,
    "invalid_pk_value": NOT_A_CHOICE,
    "null_characters_not_allowed": "“{label}” has a character in it that cannot be kept. Type it again.",
    "missing": NOT_A_FILE,
    "empty": "“{label}”: that file is empty.",
    "contradiction": "“{label}”: either choose a file or tick that there is none, not both.",
    "invalid_image": "“{label}”: that is not a picture that can be read.",
    "invalid_extension": "“{label}”: a file of that kind is not taken.",
    "incomplete": "“{label}” is not whole: fill all of it in.",
    "unique": "“{label}”: that is taken already. Give another.",
}


def asked_for(field: forms.Field) -> str:
    kinds = (words for kind, words in ASKS_FOR if isinstance(field, kind))
    return getattr(field, "asks_for", "") or next(kinds, TYPE_IT)


def left_empty(label: str, field: forms.Field) -> str:
    """What is said of a field that nobody filled in."""
    if isinstance(field, forms.BooleanField):
        return f"“{label}” has to be ticked before this goes on."
    return f"“{label}” is still empty: {asked_for(field)}."


def plainly(error: forms.ValidationError, label: str, field: forms.Field) -> str | forms.ValidationError:
    """The error in the shop's words where it is in Django's; else as it is."""
    if not isinstance(error.message, Lazy):
        return error
    if error.code == "required":
        return left_empty(label, field)
    if (sentence := SENTENCES.get(error.code)) is None:
        return error
    given = {name: _figure(value) for name, value in (error.params or {}).items()}
    return sentence.format(**given | {"label": label, "asks_for": asked_for(field)})


def _figure(value):
    """A bound as people read it; a year is left as it is."""
    is_figure = isinstance(value, int) or (isinstance(value, Decimal) and value.is_finite())
    return f"{value:,}" if is_figure and abs(value) >= LONG_FIGURE else value


class PlainBoundField(forms.BoundField):
    """Without `maxlength`: a browser cuts off what is pasted, unsaid. The form says how long it may be."""

    def __init__(self, form, field, name):
        super().__init__(form, field, name)
        field.widget.attrs.pop("maxlength", None)

    @property
    def errors(self):
        said = super().errors
        found = said.as_data()
        if not any(isinstance(error.message, Lazy) for error in found):
            return said
        plain = [plainly(error, str(self.label), self.field) for error in found]
        return said.__class__(plain, said.error_class, renderer=said.renderer, field_id=said.field_id)


class PlainRenderer(DjangoTemplates):
    bound_field_class = PlainBoundField
