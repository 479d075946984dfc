"""Closing an item: what was done, and the proof that this item asks for."""

from django import forms
from django.utils import timezone

from instruments.calc.compass import note_label, parse_keys
from instruments.calc.key_lists import keys_text
from instruments.forms.fields import DayField, KeysField, NumberField, RowsField
from instruments.forms.photos import PhotosField
from instruments.key_marks import key_strip_of
from instruments.models import KeyMark, Photo
from instruments.pin_report import pin_report
from instruments.pitch_report import PitchReport
from workorders.acceptance import keys_asked_for
from workorders.forms.fields import MinutesField
from workorders.forms.items import MOST_KEYS_TYPED, within_a_day
from workorders.models import WorkItem
from workorders.problems import OWNERS_RIGHT
from workorders.states import Acceptance, PhotoMoment
from workorders.touch import curve_for, verdict_for

SURVEYS_OFFERED = 6
PHOTOS_OFFERED = 12
KEYS_TICKED_AT_MOST = 24
HOW_PHOTOS_COME = "Straight from the camera, or chosen: JPEG, PNG, WebP or HEIC, up to 30 MB."


class WeighOffField(forms.ModelChoiceField):
    """A weigh-off of the instrument, each with what it says of the curve that `order` asks for."""

    def label_from_instance(self, weighing) -> str:
        summary = verdict_for(self.order, weighing).summary
        state = ", still open" if weighing.is_open else ""
        return f"{weighing.weighed_on:%-d %B %Y}, {summary.weighed} keys{state}. {summary.sentence}"


class PinSurveyField(forms.ModelChoiceField):
    def label_from_instance(self, survey) -> str:
        return f"{survey.measured_on:%-d %B %Y}. {pin_report(survey).sentence}"


class PitchSurveyField(forms.ModelChoiceField):
    def label_from_instance(self, survey) -> str:
        stage = survey.get_stage_display().lower()
        return f"{survey.measured_on:%-d %B %Y}, {stage}. {PitchReport(survey).sentence}"


class CloseForm(forms.Form):
    """What was done, and the proof that this item asks for. Fields that it does not ask for are not there."""

    result = forms.CharField(
        label="What was done",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="These words may be printed for a buyer, in the listing and the history. Name no customer "
        "and no price.",
    )
    figure = NumberField(max_digits=9, decimal_places=3, required=False)
    weighing = WeighOffField(
        queryset=None, required=False, widget=forms.RadioSelect, label="Weigh-off", empty_label=None
    )
    pin_survey = PinSurveyField(
        queryset=None, required=False, widget=forms.RadioSelect, label="Survey of the pins", empty_label=None
    )
    pitch_survey = PitchSurveyField(
        queryset=None, required=False, widget=forms.RadioSelect, label="Survey of pitch", empty_label=None
    )
    photo_before = forms.ModelChoiceField(queryset=None, required=False, label="Before the work")
    new_photo_before = PhotosField(
        label="Photograph from before the work", help_text=HOW_PHOTOS_COME, required=False
    )
    photo = forms.ModelChoiceField(queryset=None, required=False, label="Photograph")
    new_photo = PhotosField(label="Photograph after the work", help_text=HOW_PHOTOS_COME, required=False)
    rechecked = RowsField(
        queryset=KeyMark.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Keys looked at again and right",
    )
    keys = forms.TypedMultipleChoiceField(
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Keys looked at again and right",
        error_messages={"invalid_choice": "That key is not one this item asks for."},
    )
    rechecked_keys = KeysField(label="Or type the keys", max_length=MOST_KEYS_TYPED)
    minutes = MinutesField(label="Your time on it, not yet written down", required=False)
    done_on = DayField(label="Done on")
    override_reason = forms.CharField(
        label="Why it is accepted all the same",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="For the shop: it stays with the item and in its history, and is not shown to the public.",
    )
    override_public = forms.CharField(
        label="What a buyer is told of the reason",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="The listing, its page and its sheet state the limit in any case. Words here are added to "
        "it; left empty, nothing of the reason is said.",
    )

    def __init__(self, *args, item: WorkItem, by, **options):
        super().__init__(*args, **options)
        self.item, self.today = item, timezone.localdate()
        self.fields["done_on"].initial = self.today
        self._offer_figure()
        self._offer_weigh_offs()
        self._offer_surveys("pin_survey", Acceptance.PINS, item.order.instrument.pin_surveys)
        self._offer_surveys("pitch_survey", Acceptance.PITCH, item.order.instrument.pitch_surveys)
        self._offer_photos()
        self._offer_marks()
        self._offer_keys()
        can_lack = item.acceptance != Acceptance.NOTE or "rechecked" in self.fields
        if not can_lack or not by.has_perm(OWNERS_RIGHT):
            del self.fields["override_reason"], self.fields["override_public"]

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
        newest = list(weighings.values_list("pk", flat=True)[:SURVEYS_OFFERED])
        field = self.fields["weighing"]
        field.order = self.item.order
        field.queryset = weighings.filter(pk__in=newest).prefetch_related("readings")
        field.initial = newest[0] if newest else None

    def _offer_surveys(self, name: str, acceptance: str, surveys):
        """The newest few of the instrument, the newest of all chosen."""
        if self.item.acceptance != acceptance:
            del self.fields[name]
            return
        newest = list(surveys.values_list("pk", flat=True)[:SURVEYS_OFFERED])
        field = self.fields[name]
        field.queryset = (
            surveys.filter(pk__in=newest).select_related("instrument").prefetch_related("readings")
        )
        field.initial = newest[0] if newest else None

    def _offer_photos(self):
        kept = self.item.order.instrument.photos.kept()
        self.fields["photo"].queryset = kept
        if self.item.acceptance != Acceptance.PAIR:
            del self.fields["photo_before"], self.fields["new_photo_before"]
            return
        self.fields["photo_before"].queryset = kept
        for name, moment in (("photo_before", PhotoMoment.BEFORE), ("photo", PhotoMoment.AFTER)):
            noted = self.item.notes.filter(moment=moment, photo__removed_at__isnull=True).last()
            self.fields[name].initial = noted and noted.photo_id

    def _offer_marks(self):
        marks = KeyMark.objects.open().filter(item_links__item=self.item).select_related("marked_by")
        self.strip = key_strip_of(self.item.order.instrument, marks=list(marks))
        if not self.strip.marks:
            del self.fields["rechecked"]
            return
        self.fields["rechecked"].queryset = KeyMark.objects.filter(
            pk__in=[mark.pk for mark in self.strip.marks]
        )

    def _offer_keys(self):
        """Few keys to tick, many to type; those that are marked are ticked by their mark."""
        instrument = self.item.order.instrument
        self.fields["rechecked_keys"].instrument = instrument
        asks_for_keys = self.item.acceptance == Acceptance.KEYS
        self.asked = keys_asked_for(self.item) if asks_for_keys else []
        marked = {mark.key for mark in self.strip.marks}
        to_tick = [key for key in self.asked if key not in marked]
        if to_tick and len(self.asked) <= KEYS_TICKED_AT_MOST:
            self.fields["keys"].choices = [(key, note_label(key)) for key in to_tick]
        else:
            del self.fields["keys"]
        if asks_for_keys and "keys" not in self.fields and not marked:
            words = keys_text(self.asked, instrument.first_key, instrument.key_count)
            self.fields["rechecked_keys"].label = "Keys looked at again and right"
            self.fields["rechecked_keys"].help_text = f"Asked for: {words}. Try each, then type “{words}”."
        if not marked and not asks_for_keys:
            del self.fields["rechecked_keys"]

    def clean(self) -> dict:
        """Keys ticked and keys typed are one answer."""
        cleaned = super().clean()
        typed = cleaned.pop("rechecked_keys", "")
        instrument = self.item.order.instrument
        keys = set(parse_keys(typed, instrument.first_key, instrument.key_count))
        if "rechecked" in cleaned:
            ticked = set(cleaned["rechecked"])
            cleaned["rechecked"] = [mark for mark in self.strip.marks if mark in ticked or mark.key in keys]
        if self.asked:
            cleaned["keys"] = sorted(keys | set(cleaned.get("keys", ())))
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
        asked_for = self.item.acceptance in {Acceptance.PHOTO, Acceptance.PAIR}
        return self._newest("photo") if asked_for else self._newest("photo", most=0)

    @property
    def photos_before_offered(self) -> list[Photo]:
        return self._newest("photo_before") if "photo_before" in self.fields else []

    def _newest(self, name: str, most: int = PHOTOS_OFFERED) -> list[Photo]:
        photos = self.fields[name].queryset.select_related("instrument").order_by("-id")
        newest = list(photos[:most]) if most else []
        if self.is_bound:
            chosen = self.cleaned_data.get(name)
        else:
            chosen = photos.filter(pk=key).first() if (key := self[name].value()) else None
        return [chosen, *newest] if chosen and chosen not in newest else newest

    def clean_done_on(self):
        done_on = self.cleaned_data["done_on"]
        if done_on > self.today:
            raise forms.ValidationError("Work cannot have been done on a day to come.")
        return done_on

    def clean_minutes(self):
        return within_a_day(self.cleaned_data["minutes"])
