"""How the shop words its listings: one sentence, and the order of one text."""

from django import forms

from instruments.models import Instrument
from shop.calc.voice import LONGEST_FORM, Form, Version, form_faults, house_words, order_faults, topics_of

MOST_TO_CHOOSE_FROM = 40
LONGEST_TEXT = {"short": 1500, "social": 3000}


class SentenceForm(forms.Form):
    wording = forms.CharField(
        label="The sentence",
        max_length=LONGEST_FORM,
        widget=forms.Textarea(attrs={"rows": 3, "data-wide": ""}),
    )

    def __init__(self, *args, sentence: Form, **options):
        super().__init__(*args, **options)
        self.sentence = sentence
        self.fields[
            "wording"
        ].help_text = f"It can fill in {', '.join(f'${name}' for name in sentence.places)}."

    def clean_wording(self):
        text = " ".join(self.cleaned_data["wording"].split())
        if faults := form_faults(self.sentence, text):
            raise forms.ValidationError(faults)
        return text

    @property
    def meanings(self) -> list[tuple[str, str]]:
        """Each place with what it is filled with."""
        return [(f"${name}", house_words()["places"][name]) for name in self.sentence.places]


class OrderForm(forms.Form):
    """A place for each topic; a topic without one is left out."""

    def __init__(self, *args, version: Version, **options):
        super().__init__(*args, **options)
        self.version, self.topics = version, topics_of(version.code)
        for topic, label in self.topics.items():
            self.fields[f"{topic}-turn"] = self._place(label, topic)
        if most := LONGEST_TEXT.get(version.code):
            self.fields["most_characters"] = forms.IntegerField(
                label="At most so many characters",
                min_value=80,
                max_value=most,
                required=False,
                initial=version.most_characters,
                widget=forms.TextInput(attrs={"inputmode": "numeric"}),
                help_text="What does not fit is left out, the last first; faults always stand.",
            )

    def _place(self, label: str, topic: str) -> forms.IntegerField:
        order = self.version.order
        return forms.IntegerField(
            label=label,
            min_value=1,
            max_value=99,
            required=False,
            initial=order.index(topic) + 1 if topic in order else None,
            widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        )

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        placed = [(cleaned[f"{topic}-turn"], topic) for topic in self.topics if cleaned[f"{topic}-turn"]]
        cleaned["order"] = [topic for _, topic in sorted(placed, key=lambda pair: pair[0])]
        for fault in order_faults(self.version.code, cleaned["order"]):
            self.add_error(None, fault)
        return cleaned


class ShownWithForm(forms.Form):
    """Which instrument of the stock a wording is tried on."""

    of = forms.ChoiceField(label="Tried on", required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.instruments = {each.stock_number: each for each in _to_try_on()[:MOST_TO_CHOOSE_FROM]}
        self.fields["of"].choices = [
            (number, f"{number} {each.maker_name}") for number, each in self.instruments.items()
        ]

    @property
    def is_fit(self) -> bool:
        return not self.is_bound or self.is_valid()

    @property
    def chosen(self) -> Instrument | None:
        """The one asked for, else the newest that has a listing."""
        asked = self.instruments.get(self.data.get("of", ""))
        return asked or next(iter(self.instruments.values()), None)


def _to_try_on():
    return Instrument.objects.filter(listing__isnull=False).order_by("-listing__id")
