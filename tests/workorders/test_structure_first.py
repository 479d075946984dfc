"""Plank, frame, bridges, board and pests come before money goes into looks (TRADE: order of work lists)."""

import pytest
from django.urls import reverse

from instruments.problems import Blocked
from tests import make
from tests.workorders.pages import send
from workorders.actions.gates import waive_gates
from workorders.actions.items import close_item, leave_item, reopen_item
from workorders.actions.orders import give_up_order
from workorders.actions.outside import send_out
from workorders.models import GateWaiver, WorkItem
from workorders.problems import item_problems
from workorders.steps import steps_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def polish():
    return make.make_item(name="French polish", rank=165, concern="looks")


def plank(polish, **fields):
    order = fields.pop("order", polish.order)
    return make.make_item(order=order, name="Test the wrest pins", rank=32, concern="structure", **fields)


def sentences(item):
    return [problem.sentence for problem in item_problems(item)]


def close(item, by, **fields):
    return close_item(item=item, by=by, on=make.A_DAY, result="Done.", **fields)


def is_offered(item):
    can, waits = WorkItem.objects.can_be_done_now(), WorkItem.objects.waiting()
    assert can.filter(pk=item.pk).exists() != waits.filter(pk=item.pk).exists()
    return can.filter(pk=item.pk).exists()


def test_looks_wait_while_a_matter_of_structure_is_open_though_nobody_linked_them(technician, polish):
    test_pins = plank(polish, order=make.make_order(instrument=polish.order.instrument))
    assert sentences(polish) == [
        "Structure before looks: “Test the wrest pins” is open. Prove it first, or ask the owner."
    ]
    with pytest.raises(Blocked, match="Structure before looks"):
        close(polish, technician)
    assert not is_offered(polish)
    close(test_pins, technician)
    assert (sentences(polish), is_offered(polish)) == ([], True)


def test_structure_of_another_instrument_and_ordinary_work_hold_nothing_up(polish):
    plank(polish, order=make.make_order())
    make.make_item(order=polish.order, name="Tune")
    assert (sentences(polish), is_offered(polish)) == ([], True)


def test_what_was_left_or_accepted_without_proof_counts_as_found_wanting(technician, owner, polish):
    leave_item(item=plank(polish), reason="Later.", by=owner, on=make.A_DAY)
    second = plank(polish, acceptance="photo")
    close(second, owner, override_reason="Old, but it holds.")
    assert sentences(polish) == [
        "Structure before looks: “Test the wrest pins” was left as it is. Prove it first, or ask the owner.",
        "Structure before looks: “Test the wrest pins” was accepted without its proof. "
        "Prove it first, or ask the owner.",
    ]
    assert not is_offered(polish)


def test_of_a_task_the_newest_item_counts(technician, owner, polish):
    task = make.make_task(code="test-pins", concern="structure")
    leave_item(item=plank(polish, task=task), reason="Later.", by=owner, on=make.A_DAY)
    close(plank(polish, task=task), technician)
    assert (sentences(polish), is_offered(polish)) == ([], True)


def test_what_was_given_up_with_its_order_holds_nothing_up(owner, polish):
    other = make.make_order(instrument=polish.order.instrument)
    plank(polish, order=other)
    give_up_order(order=other, reason="Sold as seen.", by=owner, on=make.A_DAY)
    assert (sentences(polish), is_offered(polish)) == ([], True)


def test_a_fault_of_the_structure_holds_looks_up_until_work_answers_for_it(technician, polish):
    instrument = polish.order.instrument
    make.make_line(report=make.make_report(instrument=instrument), part="frame", condition="replace")
    assert sentences(polish) == [
        "Structure before looks: Frame: replace, found on 21 March 2026, and no work answers for it. "
        "Prove it first, or ask the owner."
    ]
    assert not is_offered(polish)
    task = make.make_task(code="check-frame", concern="structure")
    make.make_suggestion(task=task, part="frame", condition="replace")
    close(make.make_item(order=polish.order, task=task, name="Prove", concern="structure"), technician)
    assert (sentences(polish), is_offered(polish)) == ([], True)


def test_the_owner_lets_it_go_on_with_a_reason_that_stays(technician, owner, polish):
    plank(polish)
    with pytest.raises(Blocked, match="Only the owner may let looks go before structure"):
        waive_gates(item=polish, reason="They insist.", by=technician, on=make.A_DAY)
    with pytest.raises(Blocked, match="Say why"):
        waive_gates(item=polish, reason=" ", by=owner, on=make.A_DAY)
    waive_gates(item=polish, reason="The polisher is here this week only.", by=owner, on=make.A_DAY)
    assert (sentences(polish), is_offered(polish)) == ([], True)
    assert polish.history.first().history_change_reason == (
        "“French polish” may go on although “Test the wrest pins” is open: "
        "The polisher is here this week only."
    )


def test_what_is_passed_over_holds_it_up_by_no_link_either(technician, owner, polish):
    polish.needs.add(plank(polish), clean := make.make_item(order=polish.order, name="Clean out"))
    assert sentences(polish)[0] == "Clean out first."
    assert len(sentences(polish)) == 2
    waive_gates(item=polish, reason="This week only.", by=owner, on=make.A_DAY)
    assert sentences(polish) == ["Clean out first."]
    close(clean, technician)
    assert close(polish, technician).state == "done"


def test_looks_are_not_sent_out_before_the_structure_is_proven(owner, polish):
    plank(polish)
    job = make.make_outside_job(order=polish.order, items=[polish])
    going = {"goes": "parts", "what_goes": "The fall", "condition": "", "promised_on": None}
    with pytest.raises(Blocked, match="Structure before looks"):
        send_out(job=job, on=make.A_DAY, by=owner, **going)
    waive_gates(item=polish, reason="The polisher is here this week only.", by=owner, on=make.A_DAY)
    assert send_out(job=job, on=make.A_DAY, by=owner, **going).is_away


def test_what_comes_up_after_the_owner_s_word_holds_it_up_again(technician, owner, polish):
    test_pins = plank(polish, acceptance="photo")
    waive_gates(item=polish, reason="This week only.", by=owner, on=make.A_DAY)
    close(test_pins, owner, override_reason="No camera.")
    assert sentences(polish) != [] and not is_offered(polish)
    reopen_item(item=test_pins, reason="Again.", by=owner, on=make.A_DAY)
    assert (sentences(polish), is_offered(polish)) == ([], True)
    plank(polish)
    assert sentences(polish) != [] and not is_offered(polish)


def test_the_order_says_what_it_waits_for_and_what_was_passed_over(client, technician, owner, polish):
    plank(polish)
    client.force_login(technician)
    assert "waits for the structure" in client.get(polish.order.get_absolute_url()).content.decode()
    address = reverse("workorders:item_waive", args=[polish.pk])
    assert client.get(address).status_code == 403
    client.force_login(owner)
    assert address in client.get(polish.get_absolute_url()).content.decode()
    send(client, address, reason="The polisher is here this week only.")
    assert GateWaiver.objects.get().waived_by == owner
    for page in (polish.order, polish):
        words = client.get(page.get_absolute_url()).content.decode()
        assert "Let go on before the structure was proven" in words
        assert "The polisher is here this week only." in words


def test_the_steps_of_an_order_ask_no_more_of_the_database_for_more_items(
    polish, django_assert_max_num_queries
):
    counts = []
    for _ in range(2):
        plank(polish)
        with django_assert_max_num_queries(9) as asked:
            steps_of([polish.order])
        counts.append(len(asked))
    assert counts[0] == counts[1]
