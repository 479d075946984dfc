"""Something else found at the bench: a finding, put to the owner, who agrees to it or declines it."""

import pytest

from instruments.problems import Blocked, Caution
from tests import make
from tests.workorders.test_item_close_race import at_the_same_moment
from workorders import bench_problems
from workorders.actions.from_findings import Wanted, work_from_findings
from workorders.actions.orders import close_order
from workorders.actions.proposals import accept_proposal, decline_proposal, propose_work
from workorders.bench_problems import proposal_problems
from workorders.models import ProposalAnswer, WorkItem, WorkProposal

pytestmark = pytest.mark.django_db
A_DAY = make.A_DAY


@pytest.fixture
def recentre():
    return make.make_task(code="recentre", name="Re-centre", rank=11, usual_minutes=120)


def propose(item, by, **found):
    found = {"part": "centres", "condition": "repair", "note": "Tight on the flat.", "keys": "C4"} | found
    return propose_work(item=item, by=by, on=A_DAY, **found)


def test_what_is_found_is_a_finding_of_the_instrument_and_waits_for_the_owner(technician):
    item = make.make_item()
    proposal = propose(item, technician)
    (finding,) = item.order.instrument.findings.current()
    assert (finding.part, finding.note, finding.found_by) == ("centres", "Tight on the flat.", technician)
    assert list(WorkProposal.objects.waiting()) == [proposal]
    assert item.history.first().history_change_reason == (
        "Found while at “Lubricate the action”: Centres: repair. The owner is asked."
    )


def test_agreed_it_becomes_an_item_of_the_order_with_its_keys_note_and_time(technician, owner, recentre):
    item = make.make_item()
    proposal = propose(item, technician)
    answer = accept_proposal(proposal=proposal, task=recentre, usual_minutes=45, by=owner, on=A_DAY)
    made = WorkItem.objects.get(task=recentre)
    assert answer.item == made and made.order == item.order
    assert (made.keys, made.note, made.usual_minutes) == ("C4", "Centres: Tight on the flat.", 45)
    assert [link.finding for link in made.finding_links.all()] == [proposal.finding]


def test_agreed_to_twice_it_is_one_item(technician, owner, recentre):
    proposal = propose(make.make_item(), technician)
    first = accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY)
    assert accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY) == first
    assert WorkItem.objects.filter(task=recentre).count() == 1


def test_it_may_become_work_in_own_words(technician, owner):
    item = make.make_item()
    proposal = propose(item, technician, part="case", note="A sconce is loose.")
    answer = accept_proposal(proposal=proposal, own_words="Fix the sconce", by=owner, on=A_DAY)
    assert (answer.item.name, answer.item.note) == ("Fix the sconce", "A sconce is loose.")
    assert answer.item.finding_links.get().finding == proposal.finding


def test_it_needs_a_task_or_words(technician, owner):
    with pytest.raises(Blocked, match="Choose the task it becomes"):
        accept_proposal(proposal=propose(make.make_item(), technician), by=owner, on=A_DAY)


def test_when_the_order_is_ready_by_then_a_new_one_is_opened(technician, owner, recentre):
    order = make.make_order()
    item = make.make_item(order=order, is_required=False)
    proposal = propose(item, technician)
    close_order(order=order, by=owner, on=A_DAY)
    answer = accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY)
    assert answer.item.order.title == "Found at the bench" and answer.item.order.is_open


def test_what_became_work_on_another_way_is_not_ordered_twice(technician, owner, recentre):
    item = make.make_item()
    proposal = propose(item, technician)
    made = work_from_findings(
        instrument=item.order.instrument,
        wanted=[Wanted(recentre, (proposal.finding,))],
        order=item.order,
        by=technician,
        on=A_DAY,
    )
    answer = accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY)
    assert answer.item == made.items[0]


def test_only_the_owner_decides(technician, recentre):
    proposal = propose(make.make_item(), technician)
    with pytest.raises(Blocked, match="Only the owner"):
        accept_proposal(proposal=proposal, task=recentre, by=technician, on=A_DAY)
    with pytest.raises(Blocked, match="Only the owner"):
        decline_proposal(proposal=proposal, reason="No.", by=technician, on=A_DAY)


def test_declined_it_says_why_and_the_finding_stays(technician, owner, recentre):
    proposal = propose(make.make_item(), technician)
    decline_proposal(proposal=proposal, reason="It goes as it is, at that price.", by=owner, on=A_DAY)
    assert proposal.finding.instrument.findings.faults().get() == proposal.finding
    with pytest.raises(Blocked, match="Olive Tarn declined it on"):
        accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY)


def test_declining_wants_a_reason(technician, owner):
    with pytest.raises(Blocked, match="Say why"):
        decline_proposal(proposal=propose(make.make_item(), technician), reason=" ", by=owner, on=A_DAY)


def test_looked_at_again_since_it_is_not_made_work(technician, owner, recentre):
    item = make.make_item()
    proposal = propose(item, technician)
    propose(item, technician, condition="replace")
    with pytest.raises(Blocked, match=r"looked at again since \(Centres: replace\)"):
        accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY)


def test_the_shop_may_ask_somebody_else_first(technician, owner, monkeypatch):
    proposal = propose(make.make_item(), technician)
    ask = Caution("The customer has to approve it in writing.")
    monkeypatch.setattr(bench_problems, "BEFORE_MORE_WORK", [lambda order: [ask]])
    assert proposal_problems(proposal, owner) == [ask]


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_agreed_and_declined_at_once_only_one_stands(technician, owner, recentre):
    proposal = propose(make.make_item(), technician)
    at_the_same_moment(
        lambda: accept_proposal(proposal=proposal, task=recentre, by=owner, on=A_DAY),
        lambda: decline_proposal(proposal=proposal, reason="No.", by=owner, on=A_DAY),
    )
    answer = ProposalAnswer.objects.get()
    assert WorkItem.objects.filter(task=recentre).exists() == bool(answer.item_id)
