"""Turning findings and marked keys into work: what to take, as which task, in which order of the shop."""

from dataclasses import dataclass
from datetime import date

from django import forms
from django.forms import BoundField

from workorders.actions.from_findings import Wanted
from workorders.calc.stages import STAGES, stage_of
from workorders.models import Task, TaskSuggestion, WorkOrder
from workorders.to_work import Need

NEW_ORDER = "new"


@dataclass(frozen=True)
class NeedRow:
    """One fault on the page, with its two fields where it can still be taken."""

    need: Need
    take: BoundField | None = None
    task: BoundField | None = None


class FindingsToWorkForm(forms.Form):
    title = forms.CharField(label="Title of the new order", max_length=120, required=False)
    order = forms.ChoiceField(label="Where the work goes", widget=forms.RadioSelect)
    proofs = forms.MultipleChoiceField(
        label="Prove first", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(
        self,
        *args,
        needs: list[Need],
        proofs: list[Task],
        orders: list[WorkOrder],
        today: date,
        **options,
    ):
        super().__init__(*args, **options)
        self.needs, self.tasks = needs, {task.code: task for task in Task.objects.in_use()}
        self.orders = {order.number: order for order in orders}
        self.fields["title"].initial = f"Found by {today:%-d %B %Y}"
        self._offer_orders()
        self._offer_proofs(proofs)
        for need in self.free:
            self._offer(need)

    def _offer_orders(self):
        choices = [(number, f"{order.title}, {number}") for number, order in self.orders.items()]
        if not choices:
            del self.fields["order"]
            return
        self.fields["order"].choices = [*choices, (NEW_ORDER, "A new order")]
        self.fields["order"].initial = choices[-1][0]

    def _offer_proofs(self, proofs: list[Task]):
        self.fields["proofs"].choices = [(task.code, task.name) for task in proofs]
        self.fields["proofs"].initial = [task.code for task in proofs]
        if not proofs:
            del self.fields["proofs"]

    def _offer(self, need: Need):
        self.fields[f"take-{need.code}"] = forms.BooleanField(
            label=need.title, required=False, initial=bool(need.suggested and not need.item)
        )
        self.fields[f"task-{need.code}"] = forms.ChoiceField(
            label=f"Task for {need.title}",
            required=False,
            choices=[("", "Choose a task"), *self._by_stage],
            initial=need.suggested.code if need.suggested else "",
        )

    @property
    def _by_stage(self) -> list[tuple[str, list[tuple[str, str]]]]:
        stages: dict[str, list[tuple[str, str]]] = {name: [] for _, name in STAGES}
        for code, task in self.tasks.items():
            stages[stage_of(task.rank)].append((code, task.name))
        return [(name, choices) for name, choices in stages.items() if choices]

    @property
    def free(self) -> list[Need]:
        return [need for need in self.needs if need.is_free]

    @property
    def rows(self) -> list[NeedRow]:
        """What can be taken."""
        return [NeedRow(need, self[f"take-{need.code}"], self[f"task-{need.code}"]) for need in self.free]

    @property
    def rows_at_work(self) -> list[NeedRow]:
        return [NeedRow(need) for need in self.needs if not need.is_free]

    def clean(self) -> dict:
        cleaned = super().clean()
        taken = [need for need in self.free if cleaned.get(f"take-{need.code}")]
        for need in taken:
            if not cleaned.get(f"task-{need.code}") and f"task-{need.code}" not in self.errors:
                self.add_error(f"task-{need.code}", "Choose the task for it.")
        if not taken and not self.errors:
            raise forms.ValidationError("Tick at least one fault.")
        if (
            cleaned.get("order", NEW_ORDER) == NEW_ORDER
            and not cleaned.get("title")
            and "title" not in self.errors
        ):
            self.add_error("title", "Give the new order a title.")
        return cleaned

    def wanted(self) -> list[Wanted]:
        data = self.cleaned_data
        return [
            Wanted(self.tasks[data[f"task-{need.code}"]], need.findings, need.marks)
            for need in self.free
            if data[f"take-{need.code}"]
        ]

    def chosen(self) -> dict:
        """The order, its title and the proofs, as the action takes them."""
        data = self.cleaned_data
        return {
            "order": self.orders.get(data.get("order", NEW_ORDER)),
            "title": data["title"],
            "proofs": [self.tasks[code] for code in data.get("proofs", ())],
        }


class SuggestionForm(forms.Form):
    task = forms.ModelChoiceField(
        queryset=Task.objects.none(),
        to_field_name="code",
        required=False,
        label="Task",
        empty_label="None: it is chosen each time",
    )

    def __init__(self, *args, suggestion: TaskSuggestion, **options):
        initial = {"task": suggestion.task and suggestion.task.code}
        super().__init__(*args, initial=initial, **options)
        self.fields["task"].queryset = Task.objects.in_use()
