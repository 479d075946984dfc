"""The owner's word on what was found at the bench."""

from django import forms

from workorders.forms.fields import MinutesField, at_least_one
from workorders.models import Task, TaskSuggestion, WorkProposal


class AgreeForm(forms.Form):
    """The task that it becomes, or own words; filled with what was proposed."""

    task = forms.ModelChoiceField(
        queryset=Task.objects.none(),
        to_field_name="code",
        required=False,
        label="Task",
        empty_label="Choose a task",
    )
    own_words = forms.CharField(
        label="Or in your own words", max_length=120, required=False, help_text="Instead of a task."
    )
    usual_minutes = MinutesField(label="About how long", required=False)

    def __init__(self, *args, proposal: WorkProposal, **options):
        task = proposal.task or suggested_task(proposal)
        minutes = proposal.usual_minutes or (task.usual_minutes if task else None)
        initial = {"task": task and task.code, "usual_minutes": minutes}
        super().__init__(*args, initial=initial, **options)
        self.fields["task"].queryset = Task.objects.in_use()

    def clean_usual_minutes(self):
        minutes = self.cleaned_data["usual_minutes"]
        return minutes if minutes is None else at_least_one(minutes)


def suggested_task(proposal: WorkProposal) -> Task | None:
    """What the library suggests for the part in its condition."""
    finding = proposal.finding
    suggestions = TaskSuggestion.objects.filter(
        part=finding.part, condition=finding.condition, task__in_use=True
    )
    suggestion = suggestions.select_related("task").first()
    return suggestion.task if suggestion else None
