"""What a caller says, what becomes of it, and what is looked for."""

from django import forms

from instruments.forms.fields import CentimetreField, DayField, PastDayField
from shop.forms.people import MailField, PersonChoice, TelephoneField
from shop.lead_problems import offer_cautions
from shop.models import Lead, OfferCalculation
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
    person = PersonChoice(label="On file as", nobody="off", beside="caller")
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
    asked_about = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, may_offer: bool, calculation: OfferCalculation | None = None, **options):
        super().__init__(*args, **options)
        self.calculation = calculation
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
        elif cleaned.get("state") == LeadState.OFFERED:
            self._ask_once(cleaned)
        return cleaned

    def _ask_once(self, cleaned: dict) -> None:
        """An offer above the most we may pay is kept when the very same is sent a second time."""
        offered_minor = cleaned["offered_minor"]
        cautions = offer_cautions(offered_minor, self.calculation)
        if cautions and cleaned.get("asked_about") != str(offered_minor):
            sentence = f"{cautions[0].sentence} Offer it all the same? Then keep the decision once more."
            self.add_error("offered_minor", sentence)
            self.data = self.data.copy()
            self.data[self.add_prefix("asked_about")] = str(offered_minor)

    def decision(self) -> dict:
        """What `decide_lead` takes."""
        named = ("state", "visit_on", "offered_minor", "reason")
        return {name: self.cleaned_data[name] for name in named if name in self.cleaned_data}


class LinkForm(forms.Form):
    days = forms.IntegerField(
        label="Open for",
        min_value=1,
        max_value=30,
        initial=14,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            "A link is open for 1 to 30 days: give a whole number, such as 14.",
        ),
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["days"].unit = "days"
