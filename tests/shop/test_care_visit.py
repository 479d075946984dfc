"""Visits: booked, moved, written up on a phone, corrected; what those in the price cost, and the history."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.models import RecordIsPermanent
from instruments.problems import Blocked, Refused
from shop.actions.histories import issue_history
from shop.actions.visits import move_visit, visit_was_not_done, write_up_visit
from shop.after_care import care_of
from shop.models import CareVisit, CostLine, VisitRecord
from shop.visit_words import pitch_words, visit_lines
from tests import make
from tests.make_care import SOLD_ON, make_sale_with_care, make_visit, posted
from tests.reading import Reading
from workorders.actions.bench import set_rate

pytestmark = pytest.mark.django_db
DELIVERED = date(2026, 2, 2)
A_VISIT = date(2026, 2, 20)


@pytest.fixture
def sale(owner):
    set_rate(per_hour_minor=3000, since=date(2026, 1, 1), by=owner)
    return make_sale_with_care(by=owner, delivered_on=DELIVERED)


@pytest.fixture
def visit(owner, technician, sale):
    return make_visit(instrument=sale.instrument, by=owner, who=technician, included=True, booked_for=A_VISIT)


def written(visit, by, **given):
    given = {"visited_on": A_VISIT, "visited_by": by, "work": "Tuned."} | given
    return write_up_visit(visit=visit, by=by, on=A_VISIT, **given)


def test_sales_book_a_tuning_in_the_price_on_the_page(client, seller, technician, sale):
    client.force_login(seller)
    url = reverse("shop:visit_book", args=[sale.instrument.stock_number])
    page = client.get(url)
    assert "1 is left." in page.content.decode() and "4 Salt Lane" in page.content.decode()
    day = timezone.localdate() + timedelta(days=3)
    answer = client.post(url, posted(page, booked_for=day.isoformat(), who=technician.pk))
    visit = CareVisit.objects.get()
    assert answer.url == visit.get_absolute_url()
    assert (visit.included, visit.who, visit.sale, visit.booked_for) == (True, technician, sale, day)


def test_a_form_sent_twice_books_once(client, seller, technician, sale):
    client.force_login(seller)
    url = reverse("shop:visit_book", args=[sale.instrument.stock_number])
    fields = posted(client.get(url), booked_for=timezone.localdate().isoformat(), who=technician.pk)
    assert client.post(url, fields).url == client.post(url, fields).url
    assert CareVisit.objects.count() == 1


def test_a_day_that_has_passed_is_refused_beside_the_field(client, seller, technician, sale):
    client.force_login(seller)
    url = reverse("shop:visit_book", args=[sale.instrument.stock_number])
    page = client.post(url, posted(client.get(url), booked_for="2020-01-01", who=technician.pk))
    assert "That day has passed." in page.content.decode() and not CareVisit.objects.exists()


def test_no_more_are_booked_in_the_price_than_were_agreed(owner, sale, visit):
    with pytest.raises(Blocked, match="The tuning in the price is booked or done"):
        make_visit(instrument=sale.instrument, by=owner, included=True, booked_for=A_VISIT)
    assert make_visit(instrument=sale.instrument, by=owner, booked_for=A_VISIT).included is False


def test_the_technician_writes_it_up(client, technician, visit):
    client.force_login(technician)
    url = reverse("shop:visit_done", args=[visit.number])
    typed = {
        "visited_on": "2026-02-20",
        "pitch_found": "436,2",
        "pitch_left": "440",
        "humidity_percent": "48",
        "temperature_c": "19",
        "minutes": "1 h 30",
        "travel_minutes": "30",
        "work": "Tuned; one string tightened twice.",
        "key": ["40", "41"],
        "typed": "C5",
        "advice": "Keep the window shut.",
    }
    assert client.post(url, posted(client.get(url), **typed)).status_code == 302
    record = VisitRecord.objects.get()
    # 1200 log2(436.2 / 440) = -15.0 cents; moisture worked by hand from
    # the Wood Handbook (FPL-GTR-190), eq. 4-5, at 19 °C and 48 % RH: 8.98 %
    assert pitch_words(record) == "A4 found 436.2 Hz (15 cents flat), left 440.0 Hz (in pitch)"
    assert "wood comes to rest at about 9.0 % moisture" in " ".join(words for _, words in visit_lines(record))
    assert record.keys == "C4, C♯4, C5" and (record.minutes, record.travel_minutes) == (90, 30)
    page = client.get(visit.get_absolute_url()).content.decode()
    assert "15 cents flat" in page and "Keep the window shut." in page and "Bea Buyer" not in page


def test_wrong_figures_are_refused_beside_their_fields_and_kept(client, technician, visit):
    client.force_login(technician)
    url = reverse("shop:visit_done", args=[visit.number])
    typed = {"pitch_found": "220", "humidity_percent": "148", "typed": "H9", "work": "Tuned."}
    page = client.post(url, posted(client.get(url), **typed)).content.decode()
    assert "A4: between 349.2 and 554.4 Hz. Was it another note, or another unit?" in page
    assert 'value="148"' in page and 'value="H9"' in page and "Tuned." in page
    visit.refresh_from_db()
    assert visit.is_booked and not VisitRecord.objects.exists()


@pytest.mark.parametrize("typed", [{}, {"minutes": "1 h 30", "note": "Parked behind."}])
def test_an_empty_visit_is_refused_beside_what_was_done(client, technician, visit, typed):
    client.force_login(technician)
    url = reverse("shop:visit_done", args=[visit.number])
    page = client.post(url, posted(client.get(url), visited_on="2026-02-20", **typed)).content.decode()
    assert "Write what was done or read. Where nothing was, say that it was not done." in page
    assert not VisitRecord.objects.exists()
    with pytest.raises(Blocked, match="Write what was done or read"):
        written(visit, technician, work="")


def test_a_reading_alone_is_enough(technician, visit):
    assert written(visit, technician, work="", humidity_percent=Decimal(48)).was_done


def test_a_visit_done_before_its_day_is_asked_about_beside_the_day(client, technician, visit):
    client.force_login(technician)
    url = reverse("shop:visit_done", args=[visit.number])
    assert "It was done before the day" in client.get(url).content.decode()
    fields = posted(client.get(url), visited_on="2026-02-19", work="Tuned.")
    page = client.post(url, fields).content.decode()
    assert "It is booked for 20 February 2026, a later day than this." in page
    assert "It was done before the day it is booked for" in page and not VisitRecord.objects.exists()
    with pytest.raises(Blocked, match="a later day than this"):
        written(visit, technician, visited_on=date(2026, 2, 19))
    client.post(url, posted(client.get(url), visited_on="2026-02-19", work="Tuned.", is_earlier="on"))
    assert VisitRecord.objects.get().visited_on == date(2026, 2, 19)
    fields = posted(client.get(url), work="Tuned well.")  # corrected later, it is not asked again
    assert client.post(url, fields).status_code == 302


def test_a_tuning_in_the_price_costs_its_time_at_the_rate(technician, visit):
    record = written(visit, technician, minutes=90, travel_minutes=35)
    line = CostLine.objects.get()
    assert (line.kind, line.amount_minor, line.spent_on) == ("tuning", 6250, A_VISIT)  # 125 min at 30.00
    assert record.cost_line == line


def test_one_that_is_paid_for_costs_nothing_here(owner, technician, sale):
    paid = make_visit(instrument=sale.instrument, by=owner, booked_for=A_VISIT)
    written(paid, technician, minutes=90)
    assert not CostLine.objects.exists()


def test_written_up_again_the_newer_row_holds_and_the_cost_is_put_right(technician, visit):
    first = written(visit, technician, minutes=90)
    second = written(visit, technician, minutes=60)
    assert second.corrects == first and VisitRecord.objects.standing().get() == second
    assert [line.amount_minor for line in CostLine.objects.order_by("id")] == [4500, -4500, 3000]
    with pytest.raises(RecordIsPermanent):
        first.save()


def test_one_that_was_not_done_says_why_and_frees_the_tuning(client, technician, sale, visit):
    client.force_login(technician)
    url = reverse("shop:visit_not_done", args=[visit.number])
    assert client.post(url, posted(client.get(url), visited_on="2026-02-20", why_not="")).status_code == 200
    fields = posted(client.get(url), visited_on="2026-02-20", why_not="Nobody at home.")
    assert client.post(url, fields).status_code == 302
    assert "Nobody at home." in client.get(visit.get_absolute_url()).content.decode()
    standing = care_of(sale, on=A_VISIT)
    assert standing.included_left == 1 and standing.tuned_on == []
    with pytest.raises(Refused, match="was not done"):
        written(visit, technician)


def test_a_visit_is_moved_with_a_reason_and_only_while_it_is_booked(owner, technician, visit):
    later = A_VISIT + timedelta(days=7)
    moved = move_visit(visit=visit, booked_for=later, who=technician, why="They are ill.", by=owner)
    assert moved.booked_for == later
    assert "They are ill." in moved.history.first().history_change_reason
    written(moved, technician, visited_on=later)
    with pytest.raises(Refused, match="not booked any more"):
        move_visit(visit=visit, booked_for=A_VISIT, who=owner, why="Again.", by=owner)


def test_the_next_is_due_by_the_pace_or_as_the_tuner_said(owner, technician, sale, visit):
    assert care_of(sale, on=A_VISIT).next_due_on == DELIVERED + timedelta(days=28)
    written(visit, technician)
    assert care_of(sale, on=A_VISIT).next_due_on == date(2026, 6, 20)
    written(visit, technician, next_due_on=date(2026, 5, 4))
    standing = care_of(sale, on=date(2026, 5, 5))
    assert standing.next_due_on == date(2026, 5, 4) and standing.is_late
    make_visit(instrument=sale.instrument, by=owner, booked_for=date(2026, 5, 9))
    assert not care_of(sale, on=date(2026, 5, 5)).waits


def test_what_the_guarantee_needs_is_held_against_the_visits(technician, sale, visit):
    written(visit, technician, humidity_percent=Decimal("38"))
    told = care_of(sale, on=date(2027, 2, 2)).conditions  # pins and action are in it until that day
    assert told[0].startswith("In year 1 we know of 1 of the 2 tunings") and "38 % RH" in told[1]
    assert len(care_of(sale, on=date(2027, 2, 1)).conditions) == 1  # the year is not over


def test_where_to_go_is_read_by_whoever_goes_and_by_nobody_else_at_the_bench(
    client, owner, technician, roles, visit
):
    client.force_login(technician)
    page = client.get(visit.get_absolute_url()).content.decode()
    assert "4 Salt Lane" in page and "Bea Buyer" not in page
    client.force_login(make.make_user("ines", "Ines Copper", roles["Technician"]))
    for url in (visit.get_absolute_url(), reverse("shop:visit_calendar", args=[visit.number])):
        assert b"4 Salt Lane" not in client.get(url).content
    client.force_login(owner)
    assert "Bea Buyer" in client.get(visit.get_absolute_url()).content.decode()


def test_the_booked_day_is_a_file_for_a_calendar(client, technician, visit):
    client.force_login(technician)
    file = client.get(reverse("shop:visit_calendar", args=[visit.number])).content.decode()
    assert "DTSTART;VALUE=DATE:20260220" in file and "SUMMARY:Tuning: Halden & Rook" in file
    written(visit, technician)
    assert client.get(reverse("shop:visit_calendar", args=[visit.number])).status_code == 404


def test_the_service_card_has_the_visits_and_names_nobody(client, technician, visit):
    written(
        visit,
        technician,
        work="Tuned for Bea Buyer.",
        pitch_unit="cents",
        pitch_found=Decimal("-15"),
        humidity_percent=Decimal("48"),
        next_due_on=date(2026, 6, 1),
    )
    client.force_login(technician)
    url = reverse("shop:service_card", args=[visit.instrument.stock_number])
    text = Reading(client.get(url).content).text
    assert "20 Feb 2026" in text and "436.2 Hz" in text and "48 % RH" in text and "1 Jun 2026" in text
    assert "Halden & Rook" in text and "Bea Buyer" not in text
    assert Reading(client.get(url).content).page_count == 1


def test_a_visit_made_early_is_headed_with_its_day_and_the_card_says_what_is_due(client, technician, visit):
    written(visit, technician, visited_on=A_VISIT - timedelta(days=2), is_earlier=True, work="Tuned.")
    client.force_login(technician)
    page = client.get(visit.get_absolute_url()).content.decode()
    assert "Done on Wednesday 18 February 2026" in page and "It was booked for 20 February 2026." in page
    text = Reading(
        client.get(reverse("shop:service_card", args=[visit.instrument.stock_number])).content
    ).text
    due = care_of(visit.sale).next_due_on
    assert f"{due:%-d %b %Y}" in text


def test_the_day_on_which_a_tuning_is_due_is_proposed(client, owner, sale):
    client.force_login(owner)
    page = client.get(reverse("shop:visit_book", args=[sale.instrument.stock_number]))
    due = care_of(sale).next_due_on
    assert page.context["form"].initial["booked_for"] == max(due, timezone.localdate())


def test_the_public_history_grows_with_the_visits_and_names_nobody(client, owner, technician, sale, visit):
    before = issue_history(instrument=sale.instrument, by=owner, on=SOLD_ON)
    assert "serviced" not in before.content
    written(visit, technician, work="Tuned; a hammer re-glued.", note="Mrs Buyer pays late.", keys="C4")
    other = make_visit(instrument=sale.instrument, by=owner, booked_for=A_VISIT)
    written(other, technician, work="Rang Bea Buyer twice.", advice="Ask Bea Buyer.")
    issue = issue_history(instrument=sale.instrument, by=owner, on=A_VISIT)
    page = client.get(issue.get_absolute_url()).content.decode()
    assert "Tuned; a hammer re-glued." in page and "20 February 2026" in page and "notes C4" in page
    for private in ("Bea Buyer", "Mrs Buyer", "4 Salt Lane", "Rang"):
        assert private not in page
    old = client.get(before.get_absolute_url()).content.decode()
    assert "the visits after it was sold" in old


def test_the_visits_are_listed_within_a_fixed_number_of_queries(
    client, technician, owner, sale, visit, django_assert_max_num_queries
):
    client.force_login(technician)
    for _ in range(4):
        make_visit(instrument=sale.instrument, by=owner, booked_for=A_VISIT, who=technician)
    with django_assert_max_num_queries(12):
        page = client.get(reverse("shop:visits") + "?show=mine").content.decode()
    assert page.count("row-name") == 5 and "Bea Buyer" not in page
    assert "not written up" in page


def test_a_wasted_trip_in_the_price_costs_its_way(technician, visit):
    visit_was_not_done(
        visit=visit, visited_on=A_VISIT, why_not="Locked out.", travel_minutes=40, by=technician, on=A_VISIT
    )
    assert CostLine.objects.get().amount_minor == 2000
