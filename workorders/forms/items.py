"""Giving an item to somebody, saying what it is about and what must come first."""

from django import forms

from instruments.forms.fields import KeysField, RowsField
from workorders.forms.fields import (
    MinutesField,
    PersonField,
    at_least_one,
    bench_people,
)
from workorders.models import WorkItem
from workorders.problems import OWNERS_RIGHT
from workorders.states import ItemState

MOST_KEYS_TYPED = 400  # characters: the longest list of single keys is shorter


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
