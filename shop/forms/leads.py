"""What a caller says, what becomes of it, and what is looked for."""

from django import forms

from instruments.forms.fields import CentimetreField, DayField, PastDayField
from instruments.states import Kind
from shop.forms.people import MailField, TelephoneField
from shop.models import Lead, Person, Wanted
from shop.states import LeadState
from workorders.forms.fields import MoneyField

NOT_ASKED = ("", "Not asked")
WHO = ("person", "caller", "telephone", "email", "how_found", "called_on")
WHAT = ("maker", "kind", "height_cm", "key_count", "serial", "age_told", "age_why", "protected_told")
STATE_OF_IT = ("every_note", "last_tuned", "last_moved")
DEAL = ("place", "access", "reason_for_sale", "asking_minor", "story")


def no_autofill() -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off"})


class LeadForm(forms.ModelForm):
    person = forms.ModelChoiceField(
        label="On file as",
        queryset=Person.objects.all(),
        required=False,
        empty_label="Not on file",
    )
    telephone = TelephoneField()
    email = MailField()
    called_on = PastDayField(label="Called on")
    height_cm = CentimetreField(
        label="Height, or length of a grand", required=False, max_digits=5, decimal_places=1
    )
    asking_minor = MoneyField(label="What they ask", required=False)

    class Meta:
        model = Lead
        fields = (*WHO, *WHAT, *STATE_OF_IT, *DEAL)
        widgets = {"story": forms.Textarea(attrs={"rows": 3})} | {
            name: no_autofill() for name in ("caller", "maker", "serial", "age_told", "place")
        }
        help_texts = {
            "maker": "As it stands on the fall. Nothing to be seen? Write “unknown”.",
            "serial": "Inside the lid, on the frame. Ask for it first: it settles more than the rest.",
            "age_why": "A bill, a family tale, the date cast in the frame …",
            "last_tuned": "When, and by whom. A tuner’s card often lies under the lid.",
            "every_note": "Have every note played from the bottom to the top while you listen.",
            "asking_minor": "Name no price of ours by telephone: give a range, if near pitch and in fair "
            "order.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["height_cm"].unit = "cm"
        for name in ("kind", "how_found", "protected_told"):
            self.fields[name].choices = [NOT_ASKED, *self.fields[name].choices[1:]]
        self.parts = [
            ("Who called", [self[name] for name in WHO]),
            ("What it is, as told", [self[name] for name in WHAT]),
            ("How it is, as told", [self[name] for name in STATE_OF_IT]),
            ("Where, why and how much", [self[name] for name in DEAL]),
        ]

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("person") and not cleaned.get("caller") and "caller" not in self.errors:
            self.add_error("caller", "Who called? A name, or “the man at Mill House”, is enough.")
        return cleaned


class DecisionForm(forms.Form):
    state = forms.ChoiceField(label="What now", widget=forms.RadioSelect)
    visit_on = DayField(label="Day of the visit", required=False)
    offered_minor = MoneyField(label="What we offered", required=False)
    reason = forms.CharField(
        label="Why",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Said to whoever asks later.",
    )

    def __init__(self, *args, may_offer: bool, **options):
        super().__init__(*args, **options)
        left_out = {LeadState.BOUGHT} | (set() if may_offer else {LeadState.OFFERED})
        self.fields["state"].choices = [choice for choice in LeadState.choices if choice[0] not in left_out]
        if not may_offer:
            del self.fields["offered_minor"]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("state") == LeadState.VISIT and not cleaned.get("visit_on"):
            self.add_error("visit_on", "Which day?")
        if cleaned.get("state") == LeadState.OFFERED and cleaned.get("offered_minor") is None:
            self.add_error("offered_minor", "How much? Nothing is 0: we would take it away for nothing.")
        return cleaned


class LinkForm(forms.Form):
    days = forms.IntegerField(
        label="Open for",
        min_value=1,
        max_value=30,
        initial=14,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["days"].unit = "days"


class WantedForm(forms.ModelForm):
    most_minor = MoneyField(label="At most to pay", required=False)
    person = forms.ModelChoiceField(
        label="For whom", queryset=Person.objects.all(), required=False, empty_label="The shop itself"
    )

    class Meta:
        model = Wanted
        fields = ("person", "maker", "kind", "least_cm", "most_cm", "least_keys", "most_minor", "note")
        widgets = {"maker": no_autofill()}
        help_texts = {"maker": "Left empty: any maker."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["kind"].choices = [("", "Any kind"), *Kind.choices]
        for name in ("least_cm", "most_cm"):
            self.fields[name].unit = "cm"

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("least_cm"), cleaned.get("most_cm")
        if low and high and low > high:
            self.add_error("most_cm", "That is less than the least.")
        named = ("maker", "kind", "least_cm", "most_cm", "least_keys")
        if not self.errors and not any(cleaned.get(name) for name in named):
            self.add_error("maker", "Say at least one thing that it has to be: everything would match.")
        return cleaned


class WantedCloseForm(forms.Form):
    why = forms.CharField(label="Why", max_length=200, help_text="Found, gave up, bought elsewhere …")
