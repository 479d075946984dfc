"""Work outside: who does it, what is asked for, what goes, what comes back, what it costs."""

from django import forms

from instruments.forms.fields import DayField, PastDayField, RowsField
from instruments.models import Photo
from instruments.states import Place
from workorders.forms.fields import MoneyField
from workorders.models import OutsideJob, Outworker, WorkItem, WorkOrder
from workorders.store_states import Goes, OutsideKind

BACK_AT = (Place.WORKSHOP, Place.SHOWROOM, Place.STORE)
PHOTOS_OFFERED = 12


class OutworkerForm(forms.ModelForm):
    class Meta:
        model = Outworker
        fields = ["name", "trade", "address", "telephone", "email", "note", "in_use"]
        labels = {"trade": "What they do"}
        help_texts = {"trade": "French polisher, bass strings, key tops."}


class OutsideForm(forms.Form):
    """What is asked for, of whom, and which items it concerns."""

    kind = forms.ChoiceField(label="What kind of work", choices=OutsideKind.choices)
    work = forms.CharField(
        label="What is to be done", max_length=300, widget=forms.Textarea(attrs={"rows": 2})
    )
    outworker = forms.ModelChoiceField(label="By whom", queryset=Outworker.objects.none())
    items = RowsField(
        queryset=WorkItem.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Which items wait for it",
        help_text="None ticked: the whole order waits while it is away.",
    )

    def __init__(self, *args, order: WorkOrder, job: OutsideJob | None = None, **options):
        super().__init__(*args, **options)
        known = Outworker.objects.filter(in_use=True)
        self.fields["outworker"].queryset = known | Outworker.objects.filter(jobs=job) if job else known
        self.fields["outworker"].queryset = self.fields["outworker"].queryset.distinct()
        self.fields["items"].queryset = WorkItem.objects.filter(order=order).open()
        if job:
            self.initial = {
                "kind": job.kind,
                "work": job.work,
                "outworker": job.outworker_id,
                "items": [item.pk for item in job.items.all()],
            } | self.initial


class PriceForm(forms.Form):
    quoted_minor = MoneyField(label="Price they named", required=False)
    agreed_minor = MoneyField(
        label="Price agreed",
        required=False,
        help_text="It is shown as a cost still to come, until the last bill is in.",
    )


class SendForm(forms.Form):
    goes = forms.ChoiceField(label="What goes", choices=Goes.choices, widget=forms.RadioSelect)
    what_goes = forms.CharField(
        label="Which parts",
        max_length=300,
        required=False,
        help_text="By name and number, as on the note that goes with them: the fall, 52 naturals.",
    )
    condition = forms.CharField(
        label="Its condition now", max_length=300, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    on = PastDayField(label="It goes on")
    promised_on = DayField(label="Promised back on", required=False)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("goes") == Goes.PARTS and not cleaned.get("what_goes"):
            self.add_error("what_goes", "Say which parts go.")
        on, promised_on = cleaned.get("on"), cleaned.get("promised_on")
        if on and promised_on and promised_on < on:
            self.add_error("promised_on", "It cannot be back before it goes.")
        return cleaned


class PromiseForm(forms.Form):
    promised_on = DayField(label="Promised back on")
    why = forms.CharField(label="Why", max_length=200, required=False)


class BackForm(forms.Form):
    on = PastDayField(label="Back on")
    condition = forms.CharField(
        label="Its condition now",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Looked at beside what was noted when it went.",
    )
    photo = forms.ModelChoiceField(
        label="A photograph of it now",
        queryset=Photo.objects.none(),
        required=False,
        empty_label="None",
        help_text="Of the instrument's own photographs, the newest first.",
    )
    place = forms.ChoiceField(label="Where it stands now", choices=[(p.value, p.label) for p in BACK_AT])

    def __init__(self, *args, job: OutsideJob, **options):
        super().__init__(*args, **options)
        photos = job.order.instrument.photos.kept().select_related("instrument").order_by("-id")
        newest = list(photos.values_list("pk", flat=True)[:PHOTOS_OFFERED])
        self.fields["photo"].queryset = photos.filter(pk__in=newest)
        self.fields["photo"].label_from_instance = lambda photo: f"{photo.words}, no. {photo.pk}"
        if job.goes != Goes.WHOLE:
            del self.fields["place"]


class BillForm(forms.Form):
    amount_minor = MoneyField(label="Billed")
    on = PastDayField(label="Bill of")
    more_to_come = forms.BooleanField(label="More is to come: this is a part of it", required=False)
    note = forms.CharField(label="Bill's number, or a note", max_length=200, required=False)

    def bill(self) -> dict:
        billed = dict(self.cleaned_data)
        billed["is_last"] = not billed.pop("more_to_come")
        return billed
