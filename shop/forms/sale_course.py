"""Forms of a sale after it is agreed: agreement, delivery, repairs asked for, notice."""

from django import forms

from instruments.forms.fields import DayField, NumberField, PastDayField
from shop.states import ENDINGS_BY_HAND, REJECTIONS, ContractPlace

WIDE = {"data-wide": ""}
NOTHING_TO_CANCEL = "Agreed in our shop, there is no right to cancel: leave this empty."


class AgreedFields(forms.Form):
    """Where it was agreed decides whether the buyer may think again; asked with every sale."""

    agreed_where = forms.ChoiceField(
        label="Where it was agreed",
        choices=ContractPlace,
        required=False,
        widget=forms.RadioSelect(attrs=WIDE),
        initial=ContractPlace.SHOP,
        help_text="By telephone, post or web, or face to face elsewhere, the law lets a buyer cancel.",
    )
    is_business = forms.BooleanField(label="Bought for a business, not for themselves", required=False)
    informed_on = PastDayField(
        label="They had the cancellation information on",
        required=False,
        help_text="Only where agreed away from our shop. While they lack it, they may cancel a year longer.",
    )

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("informed_on") and cleaned.get("agreed_where") == ContractPlace.SHOP:
            self.add_error("informed_on", NOTHING_TO_CANCEL)
        return cleaned

    @property
    def agreed(self) -> dict | None:
        """What `write_agreed` takes; None where nothing was said of it."""
        data = self.cleaned_data
        if not data["agreed_where"]:
            return None
        return {
            "agreed_where": data["agreed_where"],
            "is_consumer": not data["is_business"],
            "informed_on": data["informed_on"],
        }


class AgreedForm(AgreedFields):
    note = forms.CharField(
        label="How it was agreed", max_length=300, required=False, help_text="Such as: by e-mail of 3 May."
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["agreed_where"].required = True


class DeliveryPlanForm(forms.Form):
    planned_on = DayField(
        label="Day agreed", help_text="Where none is agreed, the law says within 30 days of the sale."
    )
    address = forms.CharField(label="Where it goes", max_length=400, widget=forms.Textarea(attrs={"rows": 3}))
    access = forms.CharField(
        label="The way in", max_length=300, required=False, help_text="Steps, turns, floors, parking."
    )
    mover = forms.CharField(label="Who moves it", max_length=120, required=False)
    note = forms.CharField(label="Note", max_length=300, required=False)

    def __init__(self, *args, sold_on, **options):
        super().__init__(*args, **options)
        self.sold_on = sold_on

    def clean_planned_on(self):
        planned = self.cleaned_data["planned_on"]
        if planned < self.sold_on:
            raise forms.ValidationError(
                f"It was sold on {self.sold_on:%-d %B %Y}: give that day or a later one."
            )
        return planned


class HandOverForm(forms.Form):
    """The day counts for the law; the rest is what a shop wishes it had written when somebody asks later."""

    handed_over_on = PastDayField(label="The buyer had it on")
    received_by = forms.CharField(
        label="Received by", max_length=120, required=False, help_text="Left empty: the buyer."
    )
    mover = forms.CharField(label="Who moved it", max_length=120, required=False)
    access = forms.CharField(label="The way in", max_length=300, required=False)
    set_up_on = PastDayField(
        label="Set up on", required=False, help_text="Only if setting it up was agreed and came later."
    )
    temperature_c = NumberField(
        label="Temperature of the room",
        max_digits=4,
        decimal_places=1,
        required=False,
    )
    humidity_percent = NumberField(
        label="Humidity of the room", max_digits=4, decimal_places=1, required=False
    )
    note = forms.CharField(label="Note", max_length=300, required=False)

    def __init__(self, *args, not_before=None, **options):
        super().__init__(*args, **options)
        self.not_before = not_before  # the day of the sale; None where they had it on trial before
        self.fields["temperature_c"].unit, self.fields["humidity_percent"].unit = "°C", "% RH"

    def clean_handed_over_on(self):
        day = self.cleaned_data["handed_over_on"]
        if self.not_before and day < self.not_before:
            raise forms.ValidationError(
                f"It was sold on {self.not_before:%-d %B %Y}, so they cannot have had it before that day."
            )
        return day

    def clean(self):
        cleaned = super().clean()
        climate = {"temperature_c": "temperature", "humidity_percent": "humidity"}
        given = [name for name in climate if cleaned.get(name) is not None]
        for name, words in climate.items():
            if len(given) == 1 and name not in given and name not in self.errors:
                self.add_error(name, f"Give the {words} as well, or neither.")
        had, set_up = cleaned.get("handed_over_on"), cleaned.get("set_up_on")
        if had and set_up and set_up < had:
            self.add_error("set_up_on", "It cannot be set up before they had it.")
        return cleaned


class RepairForm(forms.Form):
    asked_on = PastDayField(label="Asked for on")
    what = forms.CharField(label="What is wrong", max_length=300)


class RepairBackForm(forms.Form):
    back_on = PastDayField(label="With the buyer again on")
    put_right = forms.ChoiceField(
        label="Is it put right?",
        choices=[("yes", "Yes"), ("no", "No, or not wholly")],
        widget=forms.RadioSelect(attrs=WIDE),
    )
    note = forms.CharField(label="What was done", max_length=300, required=False)

    def clean_put_right(self):
        return self.cleaned_data["put_right"] == "yes"


class NoticeForm(forms.Form):
    kind = forms.ChoiceField(
        label="What the buyer wants", choices=ENDINGS_BY_HAND, widget=forms.RadioSelect(attrs=WIDE)
    )
    told_on = PastDayField(label="Told us on", help_text="For a letter or an e-mail, the day it was sent.")
    reason = forms.CharField(label="What they said", max_length=300, required=False)
    collection_offered = forms.BooleanField(
        label="We fetch it",
        required=False,
        initial=True,
        help_text="Then the 14 days to pay back run from the day they told us.",
    )
    agreed_on = PastDayField(
        label="We agreed to the rejection on",
        required=False,
        help_text="Empty while we have not. The 14 days to pay back begin with that day.",
    )
    sent_on = PastDayField(
        label="They proved sending it on", required=False, help_text="Where they send it back themselves."
    )
    back_on = PastDayField(label="Back with us on", required=False)

    def clean(self):
        cleaned = super().clean()
        told = cleaned.get("told_on")
        for name in ("agreed_on", "sent_on", "back_on"):
            if told and cleaned.get(name) and cleaned[name] < told:
                self.add_error(name, "That is before they told us.")
        if cleaned.get("agreed_on") and cleaned.get("kind") not in {None, *REJECTIONS}:
            self.add_error("agreed_on", "Only a rejection waits for us to agree: leave this empty.")
        return cleaned


class NoticeBackForm(forms.Form):
    reason = forms.CharField(label="What they said", max_length=300)
