"""Opening an order and filling it from the library or in the shop's own words."""

from collections import defaultdict
from dataclasses import dataclass

from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField, KeysField
from workorders.actions.tasks import task_sets
from workorders.calc.stages import STAGES, stage_of
from workorders.forms.fields import MinutesField, at_least_one
from workorders.models import Task, TaskSet, WorkItem, WorkOrder
from workorders.states import Acceptance


@dataclass(frozen=True)
class TaskChoice:
    """One task of the library as the form offers it."""

    task: Task
    is_chosen: bool
    is_open_already: bool


class TasksForm(forms.Form):
    """Ready-made sets and single tasks; what is chosen is all of them together."""

    sets = forms.MultipleChoiceField(required=False)
    tasks = forms.ModelMultipleChoiceField(
        queryset=Task.objects.none(),
        to_field_name="code",
        required=False,
        error_messages={"invalid_choice": "“%(value)s” is not in the task library."},
    )

    def __init__(self, *args, instrument, **options):
        super().__init__(*args, **options)
        self.ready_made = task_sets()
        self.fields["sets"].choices = [(each.code, each.name) for each in self.ready_made]
        self.fields["tasks"].queryset = Task.objects.in_use()
        self.open_already = set(
            WorkItem.objects.open().filter(order__instrument=instrument).values_list("task_id", flat=True)
        )

    @property
    def chosen_sets(self) -> list[TaskSet]:
        codes = self["sets"].value() or []
        return [each for each in self.ready_made if each.code in codes]

    @property
    def stages(self) -> list[tuple[str, list[TaskChoice]]]:
        """The library by stage of work, each task with whether it is chosen or open on the instrument."""
        chosen = {getattr(value, "code", value) for value in self["tasks"].value() or []}
        stages: dict[str, list[TaskChoice]] = defaultdict(list)
        for task in self.fields["tasks"].queryset:
            stages[stage_of(task.rank)].append(
                TaskChoice(task, task.code in chosen, task.pk in self.open_already)
            )
        return [(name, stages[name]) for _, name in STAGES if stages[name]]

    def chosen_tasks(self) -> set[Task]:
        from_sets = {task for each in self.chosen_sets for task in each.tasks.all()}
        return from_sets | set(self.cleaned_data["tasks"])


class OrderForm(TasksForm):
    title = forms.CharField(
        max_length=120,
        required=False,
        help_text="Left empty, it takes the name of the set you choose.",
    )
    due_on = DayField(label="Wanted by", required=False)
    note = forms.CharField(
        max_length=4000, required=False, widget=forms.Textarea(attrs={"rows": 3}), label="Note for the bench"
    )

    field_order = ["title", "due_on", "note", "sets", "tasks"]

    def clean_due_on(self):
        due_on = self.cleaned_data["due_on"]
        if due_on and due_on < timezone.localdate():
            raise forms.ValidationError("That day has passed.", code="past")
        return due_on

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("title") and "title" not in self.errors:
            names = [each.name for each in self.chosen_sets]
            if not names:
                self.add_error("title", "Say what the order is for, or choose a set.")
            cleaned["title"] = " and ".join(names)[:120]
        return cleaned


class AddTasksForm(TasksForm):
    def clean(self):
        cleaned = super().clean()
        if not self.errors and not self.chosen_tasks():
            raise forms.ValidationError("Choose a set or at least one task.")
        return cleaned


class OwnItemForm(forms.Form):
    name = forms.CharField(label="What is to be done", max_length=120)
    usual_minutes = MinutesField(label="About how long", initial=60)
    keys = KeysField()
    note = forms.CharField(max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 2}))
    acceptance = forms.ChoiceField(
        label="Closes on",
        choices=[(Acceptance.NOTE, "a word on what was done"), (Acceptance.PHOTO, "a photograph after")],
        widget=forms.RadioSelect,
        initial=Acceptance.NOTE,
    )
    done_when = forms.CharField(label="Done when", max_length=200, required=False)
    caution = forms.CharField(
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Tension, weight, lead, solvents, celluloid: say so where it applies.",
    )
    is_required = forms.BooleanField(label="Required before the order is ready", required=False, initial=True)

    def __init__(self, *args, instrument, **options):
        super().__init__(*args, **options)
        self.fields["keys"].instrument = instrument

    def clean_usual_minutes(self):
        return at_least_one(self.cleaned_data["usual_minutes"])


class ReasonForm(forms.Form):
    """A reason that stays in the record."""

    reason = forms.CharField(label="Why", max_length=300, widget=forms.Textarea(attrs={"rows": 3}))


class OrderDetailsForm(forms.ModelForm):
    due_on = DayField(label="Wanted by", required=False)

    class Meta:
        model = WorkOrder
        fields = ["title", "due_on", "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class SureForm(forms.Form):
    """Nothing to fill in: pressing the button is the answer."""
