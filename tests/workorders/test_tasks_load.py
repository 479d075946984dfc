import pytest
from django.core.checks import run_checks

from workorders.actions.tasks import load_task_sets, load_tasks, save_task_set, task_sets
from workorders.calc.library import library_faults
from workorders.library import task_table
from workorders.models import Task, TaskSet

pytestmark = pytest.mark.django_db


def test_the_library_has_more_than_thirty_tasks_and_nothing_to_complain_of():
    load_tasks()
    assert Task.objects.count() == len(task_table()) >= 30
    assert [error for error in run_checks() if error.id.startswith("workorders.")] == []


def test_loading_twice_changes_nothing_the_second_time():
    load_tasks()
    assert load_tasks() == []


def test_a_task_that_the_shop_edited_is_never_overwritten(owner):
    load_tasks()
    Task.objects.filter(code="voice").update(usual_minutes=45, is_as_shipped=False)
    load_tasks()
    assert Task.objects.get(code="voice").usual_minutes == 45


def test_a_task_as_shipped_is_brought_up_to_the_file():
    load_tasks()
    Task.objects.filter(code="voice").update(usual_minutes=45)
    assert [task.code for task in load_tasks()] == ["voice"]


def test_lubrication_comes_before_touch_weight():
    load_tasks()
    needs = Task.objects.get(code="set-touch-weight").needs.values_list("code", flat=True)
    assert "lubricate-action" in needs


@pytest.mark.parametrize("cosmetic", ["repair-case", "french-polish", "repair-key-tops", "recover-keys"])
def test_looks_come_after_plank_and_frame_are_proven(cosmetic):
    load_tasks()
    needs = set(Task.objects.get(code=cosmetic).needs.values_list("code", flat=True))
    assert {"test-pins", "check-frame"} <= needs


@pytest.mark.parametrize(
    ("code", "word"),
    [
        ("restring", "tension"),
        ("check-castors", "lift"),
        ("set-touch-weight", "Lead"),
        ("clear-mould", "Mould"),
        ("clear-pests", "label and local law"),
        ("french-polish", "Solvent"),
        ("recover-keys", "Celluloid"),
    ],
)
def test_dangerous_work_carries_its_caution(code, word):
    load_tasks()
    assert word in Task.objects.get(code=code).caution


def test_the_ready_made_sets_are_made_of_tasks_in_use():
    load_tasks()
    load_task_sets()
    Task.objects.filter(code="voice").update(in_use=False)
    names = [task_set.name for task_set in task_sets()]
    assert names == ["Prepare for sale", "Refresh the action", "Touch to a customer's hand"]
    assert all(task_set.tasks.all() for task_set in task_sets())


def test_loading_the_sets_twice_changes_nothing_and_leaves_alone_what_the_shop_changed(owner):
    load_tasks()
    assert len(load_task_sets()) == 3
    touch = TaskSet.objects.get(code="customers-touch")
    touch.note = "As Ilse likes it."
    save_task_set(task_set=touch, tasks=[Task.objects.get(code="voice")], by=owner)
    assert load_task_sets() == []
    touch.refresh_from_db()
    assert (touch.note, [task.code for task in touch.tasks.all()]) == ("As Ilse likes it.", ["voice"])


# CHECKS.md 12: work that touches lead, mould, celluloid or solvent needs its caution; so does string tension,
# lifting and treatment against moth. Which task touches which is common practice, no source.
TOUCHES = {
    "string": ("check-frame", "test-pins", "let-down-tension", "repin", "pitch-raise", "fine-tune"),
    "lift": ("repair-soundboard", "repair-case", "check-castors", "refit-case"),
    "lead": ("clean-keys", "secure-key-leads", "mend-broken-keys", "ease-keys", "set-touch-weight"),
    "solvent": ("french-polish", "recover-keys", "repair-case", "lubricate-action"),
    "mould": ("record-as-found", "clear-mould", "clean-out", "renew-key-baizes"),
    "moth": ("record-as-found", "clear-pests", "clean-out", "renew-key-baizes"),
    "celluloid": ("clean-keys", "repair-key-tops", "recover-keys", "rebush-keys", "fit-hammers"),
}


@pytest.mark.parametrize("hazard", TOUCHES)
def test_whatever_touches_a_hazard_says_so_in_its_caution(hazard):
    load_tasks()
    cautions = dict(Task.objects.filter(code__in=TOUCHES[hazard]).values_list("code", "caution"))
    assert [code for code in TOUCHES[hazard] if hazard not in cautions[code].casefold()] == []


def test_a_table_whose_caution_is_silent_on_what_it_touches_is_at_fault():
    row = {"code": "strip", "needs": [], "acceptance": "note", "touches": ["solvents"], "caution": "Wet it."}
    assert library_faults([row]) == ["strip touches solvents and says nothing of it in its caution."]
