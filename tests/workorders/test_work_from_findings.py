import pytest

from instruments.actions.findings import record_finding
from instruments.actions.key_marks import clear_marks, mark_keys
from instruments.problems import Blocked
from tests import make
from tests.workorders.small_library import make_library
from workorders.actions.from_findings import Wanted, work_from_findings
from workorders.actions.items import close_item, leave_item
from workorders.actions.orders import open_order
from workorders.models import Task, WorkItem, WorkOrder
from workorders.to_work import needs_of, proofs_wanted

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def piano(technician):
    make_library()
    return make.make_instrument(by=technician)


def task(code: str) -> Task:
    return Task.objects.get(code=code)


def find(piano, by, part="hammers", condition="repair", **more):
    return record_finding(instrument=piano, part=part, condition=condition, by=by, on=ON, **more)


def mark(piano, by, keys=(40,), fault="sticks"):
    return tuple(mark_keys(instrument=piano, keys=keys, fault=fault, by=by, on=ON).new)


def take_all(piano, by, **more):
    free = [need for need in needs_of(piano) if need.is_free and need.suggested]
    wanted = [Wanted(need.suggested, need.findings, need.marks) for need in free]
    return work_from_findings(instrument=piano, wanted=wanted, by=by, on=ON, title="From findings", **more)


def test_faults_are_listed_structure_first_each_with_its_task(piano, technician):
    find(piano, technician, part="case", condition="attend")
    find(piano, technician, part="keys", condition="sound")
    find(piano, technician, part="soundboard", condition="repair")
    mark(piano, technician)
    found = [(need.title, need.suggested.code) for need in needs_of(piano)]
    assert found == [
        ("Soundboard and bars: repair", "repair-soundboard"),
        ("Sticks", "ease-keys"),
        ("Case and finish: attend", "repair-case"),
    ]


def test_frame_and_plank_are_proven_first_unless_they_are(piano, technician):
    find(piano, technician)
    assert [each.code for each in proofs_wanted(piano, needs_of(piano))] == ["check-frame", "test-pins"]
    order = make.make_order(instrument=piano)
    make.make_item(order=order, task=task("check-frame"))
    assert [each.code for each in proofs_wanted(piano, needs_of(piano))] == ["test-pins"]


def test_findings_and_marks_become_items_in_order_with_keys_and_reasons(piano, technician):
    find(piano, technician, note="Grooved in the tenor.")
    find(piano, technician, part="keys", note="Tight.", keys="A#0 to C1")
    mark(piano, technician, keys=(40, 41, 42))
    made = take_all(piano, technician, proofs=[task("check-frame")])
    items = list(made.order.items.order_by("rank"))
    assert [item.task.code for item in items] == ["check-frame", "ease-keys", "reface-hammers"]
    assert [item.keys for item in items] == ["", "A♯0–C1, C4–D4", ""]
    assert items[1].note == "Keys: Tight."
    assert [link.finding.part for link in items[2].finding_links.all()] == ["hammers"]
    assert items[1].mark_links.count() == 3
    assert items[0] in items[2].needs.all()
    assert (made.order.title, made.new_count) == ("From findings", 3)


def test_asked_twice_nothing_is_doubled(piano, technician):
    find(piano, technician)
    mark(piano, technician)
    wanted = [Wanted(need.suggested, need.findings, need.marks) for need in needs_of(piano)]
    for _ in range(2):
        try:
            work_from_findings(instrument=piano, wanted=wanted, by=technician, on=ON, title="Once")
        except Blocked as refused:
            assert str(refused) == "All of that is work already, or has been looked at again since."
    assert (WorkOrder.objects.count(), WorkItem.objects.count()) == (1, 2)


def test_a_task_that_is_open_takes_findings_and_keys_on(piano, technician):
    order = open_order(instrument=piano, title="Prepare", tasks=[task("ease-keys")], by=technician, on=ON)
    mark(piano, technician)
    made = take_all(piano, technician)
    assert (made.order, made.new_count, WorkItem.objects.count()) == (order, 0, 1)
    assert (made.items[0].keys, made.items[0].mark_links.count()) == ("C4", 1)


def test_new_marks_join_the_item_that_is_open(piano, technician):
    mark(piano, technician)
    take_all(piano, technician)
    mark(piano, technician, keys=(52,))
    assert [(need.keys, need.is_free) for need in needs_of(piano)] == [("C4", False), ("C5", True)]
    take_all(piano, technician)
    assert WorkItem.objects.get().keys == "C4, C5"


def test_an_order_that_is_closed_takes_nothing_and_nothing_is_made(piano, technician):
    find(piano, technician)
    with pytest.raises(Blocked, match="reopen the order first"):
        take_all(
            piano,
            technician,
            order=make.make_order(
                instrument=piano, state="ready", closed_at="2026-03-21T12:00Z", closed_by=technician
            ),
        )
    assert not WorkItem.objects.exists()


def test_what_was_cleared_or_found_sound_in_the_meantime_is_passed_over(piano, technician):
    finding, marks = find(piano, technician), mark(piano, technician, keys=(40, 41))
    wanted = [Wanted(task("reface-hammers"), (finding,)), Wanted(task("ease-keys"), (), marks)]
    find(piano, technician, condition="sound")
    clear_marks(marks=marks[:1], by=technician, on=ON, found="right")
    made = work_from_findings(instrument=piano, wanted=wanted, by=technician, on=ON, title="Late")
    assert [(item.name, item.keys) for item in made.items] == [("Ease the keys", "C♯4")]


def test_an_item_stands_in_place_of_its_finding_until_it_is_left(piano, technician, owner):
    find(piano, technician)
    item = take_all(piano, technician).items[0]
    (need,) = needs_of(piano)
    assert (need.item, need.is_free) == (item, False)
    leave_item(item=item, reason="Not worth it.", by=owner, on=ON)
    (need,) = needs_of(piano)
    assert (need.item, need.is_free) == (item, True)


def test_a_fault_found_again_while_it_is_at_work_is_no_new_work(piano, technician):
    find(piano, technician, condition="attend")
    item = take_all(piano, technician).items[0]
    find(piano, technician, condition="repair")
    assert [(need.item, need.is_free) for need in needs_of(piano)] == [(item, False)]
    find(piano, technician, condition="replace")
    assert [(need.suggested.code, need.is_free) for need in needs_of(piano)] == [("fit-hammers", True)]


def test_a_mark_that_work_did_not_cure_waits_again(piano, technician, owner):
    mark(piano, technician)
    item = take_all(piano, technician).items[0]
    close_item(item=item, by=owner, on=ON, result="Eased.", override_reason="The customer waits.")
    (need,) = needs_of(piano)
    assert (need.item, need.keys) == (None, "C4")


def test_keys_that_nobody_can_read_do_not_stop_the_work(piano, technician):
    find(piano, technician, part="keys", keys="here and there", note="Loose.")
    assert take_all(piano, technician).items[0].keys == ""


def test_the_list_takes_the_same_queries_at_one_and_many_faults(piano, technician, django_assert_num_queries):
    find(piano, technician)
    mark(piano, technician)
    with django_assert_num_queries(6):
        needs_of(piano)
    for part in ("case", "keys", "pins", "damp", "frame"):
        find(piano, technician, part=part)
    for fault in ("sticks", "blocks", "buzzes"):
        mark(piano, technician, keys=range(1, 60), fault=fault)
    take_all(piano, technician)
    with django_assert_num_queries(6):
        needs_of(piano)
