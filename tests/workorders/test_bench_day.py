"""A technician's day on the bench's page: start, pause, finish, what is noted and found on the way."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import brotli
import pytest
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import reverse

from tests import make
from tests.pictures import upload
from tests.workorders.pages import item_and_its_prerequisite, send
from workorders.actions.bench import log_time
from workorders.actions.items import close_item
from workorders.actions.proposals import decline_proposal, propose_work
from workorders.models import BenchTimer, ItemNote, TimeSpent, WorkProposal

pytestmark = pytest.mark.django_db
BENCH, PAUSE, SETTLE = "/bench/", "/bench/pause/", "/bench/timer/"
NINE = datetime(2026, 3, 20, 9, tzinfo=UTC)
BUDGET_BYTES = 100_000


@pytest.fixture(autouse=True)
def at_the_bench(client, technician, time_machine):
    time_machine.move_to(NINE, tick=False)
    client.force_login(technician)
    return time_machine


def start(client, item):
    return send(client, reverse("workorders:timer_start", args=[item.pk]))


def after(at_the_bench, **time):
    at_the_bench.move_to(NINE + timedelta(**time), tick=False)


def page_of(answer) -> str:
    return answer.content.decode()


def test_start_shows_what_i_am_at_and_since_when(client, technician, at_the_bench):
    item = make.make_item(assigned_to=technician, caution="Lead is a poison.", done_when="notes return")
    assert start(client, item).url == BENCH
    after(at_the_bench, minutes=25)
    page = page_of(client.get(BENCH))
    assert '<strong data-elapsed="1500">25 min</strong>' in page
    assert "since 09:00" in page and "Lead is a poison." in page and "Done when notes return" in page


def test_the_timer_is_there_in_another_browser_after_a_restart(client, technician, at_the_bench):
    """Nothing of it lives in a browser or in the server's memory."""
    start(client, make.make_item())
    client.logout()
    after(at_the_bench, hours=3)
    another = Client()
    another.force_login(technician)
    assert '<strong data-elapsed="10800">3 h</strong>' in page_of(another.get(BENCH))
    send(another, PAUSE)
    assert [row.minutes for row in TimeSpent.objects.all()] == [180]


def test_pause_says_what_was_written_down(client, at_the_bench):
    start(client, make.make_item())
    after(at_the_bench, minutes=40)
    send(client, PAUSE)
    assert "“Lubricate the action” is paused. 40 min are written down." in page_of(client.get(BENCH))


def test_starting_another_says_that_the_first_is_paused(client, technician, at_the_bench):
    first = make.make_item(name="Ease the keys")
    second = make.make_item(name="Clean out", assigned_to=technician)
    start(client, first)
    assert "Starting another pauses “Ease the keys”" in page_of(client.get(BENCH))
    after(at_the_bench, minutes=10)
    start(client, second)
    page = page_of(client.get(BENCH))
    assert "“Ease the keys” is paused. 10 min are written down." in page
    assert BenchTimer.objects.running().get().item == second


def test_the_same_press_sent_again_later_starts_nothing_anew(client, at_the_bench):
    item = make.make_item()
    url, token = reverse("workorders:timer_start", args=[item.pk]), "a" * 32
    client.post(url, {"form_token": token})
    send(client, PAUSE)
    assert client.post(url, {"form_token": token}).url == BENCH
    assert not BenchTimer.objects.running().exists()


def test_what_cannot_be_started_says_why(client):
    weigh, _ = item_and_its_prerequisite()
    start(client, weigh)
    assert "Lubricate the action first." in page_of(client.get(BENCH))


def test_a_forgotten_timer_asks_how_long_it_really_was(client, at_the_bench):
    start(client, make.make_item())
    after(at_the_bench, hours=26)
    page = page_of(client.get(BENCH))
    assert "That is too long to be believed." in page and f'href="{SETTLE}"' in page
    assert send(client, PAUSE).url == SETTLE
    assert "has run since Friday 20 March, 09:00" in page_of(client.get(SETTLE))
    send(client, SETTLE, minutes="2 h 30")
    assert [(row.minutes, row.note) for row in TimeSpent.objects.all()] == [(150, "Told afterwards")]


@pytest.mark.parametrize("typed", ["27 h", "", "soon", "-5"])
def test_what_cannot_be_is_refused_beside_the_field_and_nothing_stops(client, at_the_bench, typed):
    start(client, make.make_item())
    after(at_the_bench, hours=26)
    answer = send(client, SETTLE, minutes=typed)
    assert (answer.status_code == 200 and f'value="{typed}"' in page_of(answer)) or not typed
    assert BenchTimer.objects.running().exists() and not TimeSpent.objects.exists()


def test_nothing_to_settle_leads_back_to_the_bench(client):
    assert client.get(SETTLE).url == BENCH


def test_finishing_from_the_bench_stops_the_timer_and_comes_back(client, at_the_bench):
    item = make.make_item()
    start(client, item)
    after(at_the_bench, minutes=50)
    close = f"{reverse('workorders:item_close', args=[item.pk])}?then=bench"
    assert "Your timer stands at 50 min on it" in page_of(client.get(close))
    assert send(client, close, result="All 85.", done_on="2026-03-20").url == BENCH
    assert "The timer is stopped. 50 min are written down." in page_of(client.get(BENCH))
    assert [row.minutes for row in TimeSpent.objects.all()] == [50]


def test_finishing_with_a_forgotten_timer_asks_first_how_long_it_was(client, at_the_bench):
    item = make.make_item()
    start(client, item)
    after(at_the_bench, hours=30)
    close = reverse("workorders:item_close", args=[item.pk])
    assert send(client, close, result="All 85.", done_on="2026-03-20").url == SETTLE
    item.refresh_from_db()
    assert not item.is_open and not TimeSpent.objects.exists()


def test_the_second_of_two_who_finish_is_told_by_whom_and_keeps_the_words(client, owner):
    item = make.make_item()
    client.get(reverse("workorders:item_close", args=[item.pk]))
    other = Client()
    other.force_login(owner)
    close = reverse("workorders:item_close", args=[item.pk])
    assert send(other, close, result="By Olive.", done_on="2026-03-20").status_code == 302
    page = page_of(send(client, close, result="By Tobias.", done_on="2026-03-20"))
    assert "Olive Tarn closed “Lubricate the action” on 20 March 2026 at 09:00." in page
    assert "By Tobias." in page


def test_what_somebody_else_finished_meanwhile_says_so_beside_my_timer(client, owner):
    item = make.make_item()
    start(client, item)
    close_item(item=item, by=owner, on=make.A_DAY, result="Done.")
    page = page_of(client.get(BENCH))
    assert "Olive Tarn closed it on" in page and ">Stop<span" in page


def test_time_given_before_is_told_on_the_list(client, technician):
    item = make.make_item(assigned_to=technician)
    log_time(item=item, person=technician, minutes=85, by=technician, on=make.A_DAY)
    page = page_of(client.get(BENCH))
    assert "1 h 25 so far" in page and ">Go on<" in page


def test_a_photograph_is_known_as_before_until_work_has_begun_then_as_after(client, technician):
    item = make.make_item()
    url = f"{reverse('workorders:item_note', args=[item.pk])}?then=bench"
    assert client.get(url).context["form"]["moment"].value() == "before"
    answer = send(client, url, photo=upload(), moment="before", words="Grooves 2 mm deep.")
    assert answer.url == BENCH
    note = ItemNote.objects.get()
    assert (note.words, note.moment, note.photo.caption) == (
        "Grooves 2 mm deep.",
        "before",
        "Before the work: Lubricate the action",
    )
    assert client.get(url).context["form"]["moment"].value() == "after"
    send(client, url, photo=upload(colour="navy"), moment="after")
    assert ItemNote.objects.last().photo.shot == "after_work"
    assert "Grooves 2 mm deep." in page_of(client.get(item.get_absolute_url()))


def test_a_note_wants_words_or_a_photograph(client):
    item = make.make_item()
    page = page_of(send(client, reverse("workorders:item_note", args=[item.pk]), moment="before"))
    assert "Write a word, or take a photograph." in page and not ItemNote.objects.exists()


def test_a_photograph_is_not_taken_twice_when_the_words_are_refused(client):
    item = make.make_item()
    url, token = reverse("workorders:item_note", args=[item.pk]), "b" * 32
    page = page_of(client.post(url, {"form_token": token, "photo": upload(), "words": "x" * 501}))
    assert "front.jpg is kept" in page
    client.post(url, {"form_token": token, "words": "Shorter."})
    assert ItemNote.objects.get().photo is not None


def found(client, item, **fields):
    fields = {"part": "hammers", "condition": "repair", "note": "A shank is split."} | fields
    return send(client, f"{reverse('workorders:item_found', args=[item.pk])}?then=bench", **fields)


def test_something_else_is_found_and_the_bench_says_what_became_of_it(client, owner):
    item = make.make_item()
    assert found(client, item, keys="C5", photo=upload(), usual_minutes="45").url == BENCH
    proposal = WorkProposal.objects.get()
    assert (proposal.finding.keys, proposal.usual_minutes, proposal.finding.photo.shot) == (
        "C5",
        45,
        "damage",
    )
    assert "the owner has not decided yet" in page_of(client.get(BENCH))
    decline_proposal(proposal=proposal, reason="Not at that price.", by=owner, on=make.A_DAY)
    assert "Olive Tarn declined: Not at that price." in page_of(client.get(BENCH))


def test_the_last_word_on_a_part_is_not_replaced_unseen(client):
    item = make.make_item()
    found(client, item, note="Grooves 2 mm deep.")
    page = page_of(found(client, item))
    assert "On file since 20 March 2026: Hammers: repair: Grooves 2 mm deep." in page
    was = WorkProposal.objects.get().finding_id
    assert f'name="was" value="{was}"' in page and "A shank is split." in page
    found(client, item, was=was, note="Grooves; a shank is split.")
    assert WorkProposal.objects.count() == 2


@pytest.mark.parametrize(
    "wrong, said",
    [
        ({"note": ""}, "Say what you found, or take a photograph of it."),
        ({"keys": "C99"}, "C99"),
        ({"usual_minutes": "0"}, "between one minute and 1,000 hours"),
        ({"part": "engine"}, "that is not among the choices"),
        ({"note": "x" * 501}, "at most 500 characters"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_written(client, wrong, said):
    page = page_of(found(client, make.make_item(), **wrong))
    assert said in page and not WorkProposal.objects.exists()


def test_the_owner_is_asked_today_and_agrees(client, owner, technician):
    task = make.make_task(code="reshank", name="Renew shanks", rank=11)
    make.make_suggestion(task=task, part="hammers", condition="repair")
    item = make.make_item()
    proposal = propose_work(
        item=item, part="hammers", condition="repair", note="Split.", by=technician, on=make.A_DAY
    )
    client.force_login(owner)
    agree = reverse("workorders:proposal_agree", args=[proposal.pk])
    assert agree in page_of(client.get("/")) and "Found at the bench" in page_of(client.get("/"))
    assert "the owner has not decided yet" in page_of(client.get(item.order.get_absolute_url()))
    form = client.get(agree).context["form"]
    assert (form["task"].value(), form["usual_minutes"].value()) == ("reshank", "1 h 30")
    send(client, agree, task="reshank", usual_minutes="1 h")
    assert item.order.items.filter(name="Renew shanks", usual_minutes=60).exists()
    assert agree not in page_of(client.get("/"))
    assert "Olive Tarn agreed to it on" in page_of(client.get(agree))
    assert "It became" in page_of(client.get(proposal.get_absolute_url()))


def test_declining_is_refused_without_a_reason(client, owner, technician):
    proposal = propose_work(
        item=make.make_item(), part="case", condition="attend", by=technician, on=make.A_DAY
    )
    client.force_login(owner)
    decline = reverse("workorders:proposal_decline", args=[proposal.pk])
    assert "is still empty" in page_of(send(client, decline, reason=" "))
    assert send(client, decline, reason="Not now.").url == proposal.get_absolute_url()


def transferred(page: str) -> int:
    """Styles and scripts that the page names, as the server sends them: squeezed once, when collected."""
    names = set()
    for piece in page.split('"'):
        if piece.startswith("/static/") and piece.endswith((".css", ".js")):
            names.add(piece.removeprefix("/static/"))
    return sum(len(brotli.compress(Path(finders.find(name)).read_bytes())) for name in names)


def test_a_full_bench_with_all_it_loads_stays_under_its_budget(client, technician, capsys):
    """Sixty items of the person's own beside twelve free and twelve waiting; fonts are kept for a year."""
    for number in range(20):
        _, lubricate = item_and_its_prerequisite()
        order = lubricate.order
        for part in range(3):
            make.make_item(
                order=order,
                name=f"Regulate the action, section {number}.{part}",
                assigned_to=technician,
                keys="1-20, C4, all sharps",
                caution="Lead is a poison.",
                acceptance="photo",
            )
    start(client, lubricate)
    page = client.get(BENCH).content
    both = len(page) + transferred(page.decode())
    with capsys.disabled():
        print(f"\nbench with 60 items: page {len(page):,} bytes, with styles and scripts {both:,}")
    assert both < BUDGET_BYTES
