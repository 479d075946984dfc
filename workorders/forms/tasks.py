"""The shop's own task library."""

from django import forms
from django.utils.text import slugify

from instruments.forms.fields import RowsField
from workorders.actions.tasks import save_task
from workorders.forms.fields import MinutesField, at_least_one
from workorders.models import Task
from workorders.states import Acceptance

RESERVED = {"", "minutes", "new", "suggested"}  # these words stand in the addresses of the library
FIGURE_FIELDS = ("figure_name", "figure_unit", "figure_low", "figure_high")


class TaskForm(forms.ModelForm):
    usual_minutes = MinutesField(label="Usual time")
    needs = RowsField(
        queryset=None,
        required=False,
        label="What must come first",
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = Task
        fields = [
            *("name", "rank", "usual_minutes", "minutes_source", "done_when", "acceptance"),
            *FIGURE_FIELDS,
            *("caution", "needs", "in_use"),
        ]
        widgets = {"acceptance": forms.RadioSelect, "caution": forms.Textarea(attrs={"rows": 4})}
        labels = {"rank": "Place in the order of work"}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["needs"].queryset = Task.objects.exclude(pk=self.instance.pk)
        self.fields["acceptance"].choices = Acceptance.choices
        if self.instance.pk:
            self.fields["needs"].initial = list(self.instance.needs.values_list("pk", flat=True))

    def clean_name(self):
        name = self.cleaned_data["name"]
        self.instance.code = self.instance.code or slugify(name)[:40]
        same = Task.objects.filter(code=self.instance.code).exclude(pk=self.instance.pk)
        if self.instance.code in RESERVED or same.exists():
            raise forms.ValidationError("The library has a task of that name already; choose another name.")
        return name

    def clean_usual_minutes(self):
        return at_least_one(self.cleaned_data["usual_minutes"])

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("acceptance") == Acceptance.FIGURE:
            self._ask_for_figure(cleaned)
        else:
            cleaned |= {"figure_name": "", "figure_unit": "", "figure_low": None, "figure_high": None}
        low, high = cleaned.get("figure_low"), cleaned.get("figure_high")
        if low is not None and high is not None and high < low:
            self.add_error("figure_high", "The upper limit lies below the lower one.")
        return cleaned

    def save_by(self, by) -> Task:
        task = super().save(commit=False)
        return save_task(task=task, needs=list(self.cleaned_data["needs"]), by=by)

    def _ask_for_figure(self, cleaned) -> None:
        for name, sentence in (
            ("figure_name", "Say what is measured, such as key dip."),
            ("figure_unit", "Give the unit, such as mm."),
        ):
            if not cleaned.get(name):
                self.add_error(name, sentence)
        if cleaned.get("figure_low") is None and cleaned.get("figure_high") is None:
            self.add_error("figure_low", "Give at least one limit.")
