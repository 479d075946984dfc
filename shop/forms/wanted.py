"""What somebody looks for."""

from django import forms

from instruments.forms.fields import DayField, NumberField
from instruments.states import Kind
from shop.forms.leads import no_autofill
from shop.forms.people import PersonChoice
from shop.models import Wanted
from shop.wish_states import TellingState, TouchWish, WishPoint
from workorders.forms.fields import MoneyField

TELLING = ("maker", "kind", "least_cm", "most_cm", "least_keys", "touch", "tone", "finish")
NOBODY_TO_TELL = (
    "Nobody is named who could be told: choose for whom it is, with an e-mail address on the card."
)


class WantedForm(forms.ModelForm):
    person = PersonChoice(label="For whom", nobody="shop", beside="")
    most_minor = MoneyField(label="At most to pay", required=False)
    touch_within_g = NumberField(
        label="And within so much of it",
        required=False,
        min_value=0.5,
        max_value=20,
        max_digits=3,
        decimal_places=1,
    )
    until = DayField(label="The latest day", required=False)
    must = forms.MultipleChoiceField(
        label="What may not be otherwise",
        choices=WishPoint,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="What is known to be otherwise in one of these is never named as fitting.",
    )
    is_told = forms.BooleanField(
        label="They agreed to be told by e-mail when one comes into the window",
        required=False,
        widget=forms.CheckboxInput(attrs={"data-wide": ""}),
    )

    class Meta:
        model = Wanted
        fields = (
            *("person", "maker", "kind", "least_cm", "most_cm", "least_keys", "touch", "touch_within_g"),
            *("tone", "finish", "most_minor", "place", "until", "must", "note"),
        )
        widgets = {name: no_autofill() for name in ("maker", "tone", "finish", "place")}
        help_texts = {
            "maker": "Several with commas between. Left empty: any maker.",
            "least_keys": "88 for the whole compass.",
            "tone": "A few words, such as warm, clear. They are looked for in what is said of a piano.",
            "place": "A town is enough; one that is offered nearby is named first.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["kind"].choices = [("", "Any kind"), *Kind.choices]
        self.fields["touch"].choices = [("", "It does not matter"), *TouchWish.choices]
        self.fields["is_told"].initial = self.instance.is_told
        for name, unit in (("least_cm", "cm"), ("most_cm", "cm"), ("touch_within_g", "g")):
            self.fields[name].unit = unit

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("least_cm"), cleaned.get("most_cm")
        if low and high and low > high:
            self.add_error("most_cm", "That is less than the least.")
        if cleaned.get("touch_within_g") is None and "touch_within_g" not in self.errors:
            cleaned["touch_within_g"] = Wanted._meta.get_field("touch_within_g").default
        if not self.errors and not any(cleaned.get(name) for name in TELLING):
            self.add_error("maker", "Say at least one thing that it has to be: everything would match.")
        person = cleaned.get("person")
        if cleaned.get("is_told") and not (person and person.standing_card.email):
            self.add_error("is_told", NOBODY_TO_TELL)
        return cleaned


class WantedCloseForm(forms.Form):
    why = forms.CharField(label="Why", max_length=200, help_text="Found, gave up, bought elsewhere …")


class TellForm(forms.Form):
    state = forms.ChoiceField(label="What now", widget=forms.RadioSelect)

    def __init__(self, *args, may_send: bool, **options):
        super().__init__(*args, **options)
        self.fields["state"].choices = [
            *([(TellingState.SENT, "Send this letter now")] if may_send else []),
            (TellingState.BY_HAND, "I told them another way"),
            (TellingState.LEFT, "Do not tell them of this one"),
        ]
