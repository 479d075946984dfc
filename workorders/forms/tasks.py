"""The shop's own task library."""

from django import forms
from django.utils.text import slugify

from instruments.forms.fields import RowsField
from workorders.actions.tasks import save_task, save_task_set
from workorders.forms.fields import MinutesField, at_least_one
from workorders.models import Task, TaskSet
from workorders.states import MEASURED_AS, WITH_LIMITS, Acceptance, Concern

RESERVED = {"", "minutes", "new", "sets", "suggested"}  # these words stand in the addresses of the library
FIGURE_FIELDS = ("figure_name", "figure_unit", "figure_low", "figure_high")
DRIFT_FIELDS = ("drift_cents", "drift_days")


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
            *DRIFT_FIELDS,
            *("concern", "caution", "needs", "in_use"),
        ]
        widgets = {
            "acceptance": forms.RadioSelect,
            "concern": forms.RadioSelect,
            "caution": forms.Textarea(attrs={"rows": 4}),
        }
        labels = {"rank": "Place in the order of work"}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["needs"].queryset = Task.objects.exclude(pk=self.instance.pk)
        self.fields["acceptance"].choices = Acceptance.choices
        self.fields["concern"].choices = Concern.choices
        self.fields["concern"].required = False
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

    def clean_concern(self):
        return self.cleaned_data["concern"] or Concern.WORK

    def clean(self):
        cleaned = super().clean()
        acceptance = cleaned.get("acceptance")
        if acceptance in MEASURED_AS:
            cleaned["figure_name"], cleaned["figure_unit"] = MEASURED_AS[acceptance]
        if acceptance in WITH_LIMITS:
            self._ask_for_figure(cleaned)
        else:
            cleaned |= {"figure_name": "", "figure_unit": "", "figure_low": None, "figure_high": None}
        if acceptance != Acceptance.PITCH:
            cleaned |= dict.fromkeys(DRIFT_FIELDS)
        self._ask_for_both_of_drift(cleaned)
        low, high = cleaned.get("figure_low"), cleaned.get("figure_high")
        if low is not None and high is not None and high < low:
            self.add_error("figure_high", "The upper limit lies below the lower one.")
        return cleaned

    def _ask_for_both_of_drift(self, cleaned) -> None:
        cents, days = (cleaned.get(name) for name in DRIFT_FIELDS)
        if cents is not None and cents <= 0:
            self.add_error("drift_cents", "Drift is counted both ways, above 0.")
        if days is not None and days < 1:
            self.add_error("drift_days", "Give at least one day.")
        if (cents is None) != (days is None) and not {*DRIFT_FIELDS} & {*self.errors}:
            missing = "drift_days" if days is None else "drift_cents"
            self.add_error(missing, "Drift needs both: how many cents, over how many days.")

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


class TaskSetForm(forms.ModelForm):
    tasks = RowsField(queryset=None, label="Its tasks", widget=forms.CheckboxSelectMultiple)

    class Meta:
        model = TaskSet
        fields = ["name", "note", "tasks", "in_use"]

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        tasks = Task.objects.in_use()
        if self.instance.pk:
            tasks = (tasks | Task.objects.filter(sets=self.instance)).distinct()
            self.fields["tasks"].initial = list(self.instance.tasks.values_list("pk", flat=True))
        self.fields["tasks"].queryset = tasks

    def clean_name(self):
        name = self.cleaned_data["name"]
        self.instance.code = self.instance.code or slugify(name)[:40]
        same = TaskSet.objects.filter(code=self.instance.code).exclude(pk=self.instance.pk)
        if self.instance.code in RESERVED or same.exists():
            raise forms.ValidationError("There is a set of that name already; choose another name.")
        return name

    def save_by(self, by) -> TaskSet:
        task_set = super().save(commit=False)
        return save_task_set(task_set=task_set, tasks=list(self.cleaned_data["tasks"]), by=by)
