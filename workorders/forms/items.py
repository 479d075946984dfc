"""Closing an item by its proof, giving it to somebody, saying what must come first."""

from django import forms
from django.utils import timezone

from instruments.calc.compass import parse_keys
from instruments.forms.fields import DayField, KeysField, NumberField, RowsField
from instruments.forms.photos import PhotosField
from instruments.key_marks import key_strip_of
from instruments.models import KeyMark, Photo
from workorders.forms.fields import (
    MinutesField,
    PersonField,
    at_least_one,
    bench_people,
)
from workorders.models import WorkItem
from workorders.problems import OWNERS_RIGHT
from workorders.states import Acceptance, ItemState
from workorders.touch import curve_for, verdict_for

WEIGH_OFFS_OFFERED = 6
MOST_KEYS_TYPED = 400  # characters: the longest list of single keys is shorter
PHOTOS_OFFERED = 12


class WeighOffField(forms.ModelChoiceField):
    """A weigh-off of the instrument, each with what it says of the curve that `order` asks for."""

    def label_from_instance(self, weighing) -> str:
        summary = verdict_for(self.order, weighing).summary
        state = ", still open" if weighing.is_open else ""
        return f"{weighing.weighed_on:%-d %B %Y}, {summary.weighed} keys{state}. {summary.sentence}"


class CloseForm(forms.Form):
    """What was done, and the proof that this item asks for. Fields that it does not ask for are not there."""

    result = forms.CharField(label="What was done", max_length=500, widget=forms.Textarea(attrs={"rows": 3}))
    figure = NumberField(max_digits=9, decimal_places=3, required=False)
    weighing = WeighOffField(
        queryset=None, required=False, widget=forms.RadioSelect, label="Weigh-off", empty_label=None
    )
    photo = forms.ModelChoiceField(queryset=None, required=False, label="Photograph")
    new_photo = PhotosField(
        label="Photograph after the work",
        help_text="Straight from the camera, or chosen: JPEG, PNG, WebP or HEIC, up to 30 MB.",
        required=False,
    )
    rechecked = RowsField(
        queryset=KeyMark.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Keys looked at again and right",
    )
    rechecked_keys = KeysField(label="Or type the keys", max_length=MOST_KEYS_TYPED)
    minutes = MinutesField(label="Your time on it, not yet written down", required=False)
    done_on = DayField(label="Done on")
    override_reason = forms.CharField(
        label="Why it is accepted all the same",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="It stays with the item, in the record, and on the listing as a stated limit.",
    )

    def __init__(self, *args, item: WorkItem, by, **options):
        super().__init__(*args, **options)
        self.item, self.today = item, timezone.localdate()
        self.fields["done_on"].initial = self.today
        self._offer_figure()
        self._offer_weigh_offs()
        self._offer_photos()
        self._offer_keys()
        can_lack = item.acceptance != Acceptance.NOTE or "rechecked" in self.fields
        if not can_lack or not by.has_perm(OWNERS_RIGHT):
            del self.fields["override_reason"]

    def _offer_figure(self):
        if self.item.acceptance != Acceptance.FIGURE:
            del self.fields["figure"]
            return
        name = self.item.figure_name
        self.fields["figure"].label = name[:1].upper() + name[1:]
        self.fields["figure"].help_text = f"Has to be {self.item.limits_words}."
        self.fields["figure"].unit = self.item.figure_unit

    def _offer_weigh_offs(self):
        if self.item.acceptance != Acceptance.TOUCH:
            del self.fields["weighing"]
            return
        weighings = self.item.order.instrument.weighings.with_readings().select_related(
            "instrument", "closing"
        )
        newest = list(weighings.values_list("pk", flat=True)[:WEIGH_OFFS_OFFERED])
        field = self.fields["weighing"]
        field.order = self.item.order
        field.queryset = weighings.filter(pk__in=newest).prefetch_related("readings")
        field.initial = newest[0] if newest else None

    def _offer_photos(self):
        self.fields["photo"].queryset = self.item.order.instrument.photos.kept()

    def _offer_keys(self):
        marks = KeyMark.objects.open().filter(item_links__item=self.item).select_related("marked_by")
        self.strip = key_strip_of(self.item.order.instrument, marks=list(marks))
        if not self.strip.marks:
            del self.fields["rechecked"], self.fields["rechecked_keys"]
            return
        self.fields["rechecked"].queryset = KeyMark.objects.filter(
            pk__in=[mark.pk for mark in self.strip.marks]
        )
        self.fields["rechecked_keys"].instrument = self.item.order.instrument

    def clean(self) -> dict:
        """Keys ticked and keys typed are one answer."""
        cleaned = super().clean()
        typed = cleaned.pop("rechecked_keys", "")
        if "rechecked" in cleaned:
            instrument = self.item.order.instrument
            keys = set(parse_keys(typed, instrument.first_key, instrument.key_count))
            ticked = set(cleaned["rechecked"])
            cleaned["rechecked"] = [mark for mark in self.strip.marks if mark in ticked or mark.key in keys]
        return cleaned

    @property
    def curve(self):
        """What a weigh-off is held to."""
        return curve_for(self.item.order)

    @property
    def ticked(self) -> set[str]:
        values = self["rechecked"].value() if "rechecked" in self.fields else ()
        return {str(getattr(value, "pk", value)) for value in values or ()}

    @property
    def photos_offered(self) -> list[Photo]:
        """The newest photographs of the instrument where one is asked for, and the one chosen already."""
        photos = self.fields["photo"].queryset.select_related("instrument").order_by("-id")
        asked_for = self.item.acceptance == Acceptance.PHOTO
        newest = list(photos[:PHOTOS_OFFERED]) if asked_for else []
        chosen = self.cleaned_data.get("photo") if self.is_bound else None
        return [chosen, *newest] if chosen and chosen not in newest else newest

    def clean_done_on(self):
        done_on = self.cleaned_data["done_on"]
        if done_on > self.today:
            raise forms.ValidationError("Work cannot have been done on a day to come.")
        return done_on

    def clean_minutes(self):
        return within_a_day(self.cleaned_data["minutes"])


class ItemDetailsForm(forms.ModelForm):
    """What may be said of an open item; whether it is required only by the owner."""

    keys = KeysField(max_length=MOST_KEYS_TYPED)
    usual_minutes = MinutesField(label="About how long")

    class Meta:
        model = WorkItem
        fields = ["keys", "usual_minutes", "note", "is_required"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, by, **options):
        super().__init__(*args, **options)
        self.fields["keys"].instrument = self.instance.order.instrument
        if not by.has_perm(OWNERS_RIGHT):
            del self.fields["is_required"]

    def clean_usual_minutes(self):
        return at_least_one(self.cleaned_data["usual_minutes"])


class AssignForm(forms.Form):
    to = PersonField(label="With whom", required=False, empty_label="Anybody")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["to"].queryset = bench_people()


class NeedsForm(forms.Form):
    """What must come first, of all that is open or done on the instrument."""

    needs = RowsField(
        queryset=None, required=False, widget=forms.CheckboxSelectMultiple, label="What must come first"
    )

    def __init__(self, *args, item: WorkItem, **options):
        super().__init__(*args, **options)
        others = WorkItem.objects.filter(order__instrument=item.order.instrument_id).exclude(pk=item.pk)
        offered = others.exclude(state=ItemState.LEFT) | others.filter(needed_by=item)
        self.fields["needs"].queryset = offered.select_related("order").distinct().order_by("rank", "id")
        self.fields["needs"].label_from_instance = lambda other: self._label(other, item)
        self.fields["needs"].initial = [need.pk for need in item.needs.all()]

    @staticmethod
    def _label(other: WorkItem, item: WorkItem) -> str:
        where = "" if other.order_id == item.order_id else f", in {other.order.number}"
        state = "" if other.is_open else f" ({other.get_state_display().lower()})"
        return f"{other.name}{where}{state}"


def within_a_day(minutes: int | None) -> int | None:
    if minutes is not None and not 0 < minutes <= 24 * 60:
        raise forms.ValidationError("A day at the bench has 1 to 1,440 minutes.", code="minutes")
    return minutes
