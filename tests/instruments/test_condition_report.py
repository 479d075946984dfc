"""Condition reports: begun, gone on with by others, closed; what is the last word on a part."""

import re
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from instruments.actions.condition_reports import change_report, close_report
from instruments.actions.findings import record_finding
from instruments.calc.condition.comparing import Value
from instruments.models import ConditionReport, MeasuredValue
from instruments.problems import Blocked, purchase_problems
from instruments.walks import walk_of
from tests.make import A_DAY, make_instrument, make_line, make_photo, make_report

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def at(instrument, name="condition_reports") -> str:
    return reverse(f"instruments:{name}", args=[instrument.stock_number])


def begin(client, instrument, **head):
    head = {"occasion": "as_bought", "looked_on": "2026-03-21", "form_token": uuid4().hex} | head
    return client.post(at(instrument, "condition_begin"), head)


def test_a_report_is_begun_with_its_air_and_leads_to_the_first_station(signed_in, technician):
    instrument = make_instrument()
    answer = begin(signed_in, instrument, temperature_c="18,5", humidity_percent="52", note="in the barn")
    report = instrument.condition_reports.get()
    assert (report.temperature_c, report.humidity_percent) == (Decimal("18.5"), 52)
    assert (report.begun_by, report.is_open) == (technician, True)
    assert answer.url.endswith(f"/condition/{report.pk}/at/outside/")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"humidity_percent": "140"}, "is 100 at most"),
        ({"looked_on": "2999-01-01"}, "That day has not come yet."),
        ({"occasion": "a whim"}, "that is not among the choices"),
    ],
)
def test_a_head_that_cannot_be_is_refused_in_words(signed_in, wrong, sentence):
    assert sentence in begin(signed_in, make_instrument(), **wrong).content.decode()
    assert not ConditionReport.objects.exists()


def test_the_occasion_may_come_with_the_address(signed_in):
    page = signed_in.get(at(make_instrument(), "condition_begin") + "?occasion=out_on_trial").content.decode()
    (chosen,) = re.findall(r"<input[^>]*checked[^>]*>", page)
    assert 'value="out_on_trial"' in chosen


def test_the_way_in_goes_on_with_the_open_report_or_begins_one(signed_in):
    instrument = make_instrument()
    assert signed_in.get(at(instrument, "findings_record")).url == at(instrument, "condition_begin")
    report = make_report(instrument=instrument)
    assert f"/condition/{report.pk}/at/" in signed_in.get(at(instrument, "findings_record")).url


def test_two_people_write_one_report_and_each_line_says_who(signed_in, buyer, technician):
    report = make_report(by=buyer)
    make_line(report=report, part="case", by=buyer)
    make_line(report=report, part="pins", condition="attend", by=technician)
    page = signed_in.get(report.get_absolute_url()).content.decode()
    assert "Begun by Bram Okoro" in page
    assert page.count("Bram Okoro") == 2
    assert "2 of 20" in page


def test_a_closed_report_takes_no_line_and_no_other_head(technician):
    report = close_report(report=make_report(), by=technician)
    with pytest.raises(Blocked, match="This report was closed by Tobias Lind"):
        make_line(report=report)
    with pytest.raises(Blocked):
        change_report(report=report, by=technician, note="after all")
    with pytest.raises(Blocked):
        close_report(report=report, by=technician)


def test_a_line_belongs_to_a_report_of_its_own_instrument(technician):
    line = {"part": "case", "condition": "sound", "by": technician, "on": A_DAY}
    with pytest.raises(ValueError, match="is not a report of"):
        record_finding(instrument=make_instrument(), report=make_report(), **line)


def test_closing_is_pressed_once_and_remembered(signed_in, technician):
    report = make_report()
    address = reverse("instruments:condition_close", args=[report.instrument.stock_number, report.pk])
    sent = {"form_token": uuid4().hex}
    assert [signed_in.post(address, sent).status_code for _ in range(2)] == [302, 302]
    report.refresh_from_db()
    assert report.closed_by == technician
    assert report.history.first().history_change_reason == "Condition report closed: As bought, 21 March 2026"


def test_a_report_is_closed_by_somebody_or_open(technician):
    report = make_report()
    with pytest.raises(IntegrityError), transaction.atomic():
        ConditionReport.objects.filter(pk=report.pk).update(closed_at=timezone.now())


def test_the_last_word_on_a_part_is_the_newest_reports():
    instrument = make_instrument()
    make_line(report=make_report(instrument=instrument), condition="repair")
    newer = make_line(report=make_report(instrument=instrument, occasion="finished"))
    assert list(instrument.findings.current()) == [newer]


def test_not_having_looked_takes_nothing_back():
    instrument = make_instrument()
    older = make_line(report=make_report(instrument=instrument), condition="repair")
    second = make_report(instrument=instrument, occasion="as_sold")
    not_looked = make_line(report=second, condition="not_examined")
    assert list(instrument.findings.current()) == [older]
    assert walk_of(second).lines == {"case": not_looked}


def test_looking_again_after_that_replaces_the_older_word():
    instrument = make_instrument()
    older = make_line(report=make_report(instrument=instrument), condition="repair")
    make_line(report=make_report(instrument=instrument), condition="not_examined")
    newest = make_line(report=make_report(instrument=instrument))
    assert newest.supersedes == older
    assert list(instrument.findings.current()) == [newest]


def test_a_slip_in_the_same_report_can_be_taken_back_to_not_examined():
    report = make_report()
    make_line(report=report, condition="repair")
    put_right = make_line(report=report, condition="not_examined")
    assert list(report.instrument.findings.current()) == [put_right]


def test_findings_without_a_report_stay_readable(technician):
    instrument = make_instrument()
    finding = record_finding(instrument=instrument, part="pins", condition="sound", by=technician, on=A_DAY)
    MeasuredValue.objects.create(finding=finding, number=Decimal("5.800"), unit="N·m")
    assert instrument.findings.current().get().value_words == "5.8 N·m"


def test_a_measured_value_is_a_figure_with_its_unit_or_an_answer(technician):
    line = make_line(report=make_report(), part="keys")
    for wrong in ({}, {"number": 3}, {"number": 3, "unit": "mm", "answer": "falls"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            MeasuredValue.objects.create(finding=line, **wrong)


def test_the_purchase_is_cautioned_against_and_never_decided():
    """Common practice, no source: loose bars with a dead treble end it, on an ordinary upright."""
    values = [Value("sustain_a5", "A5 sounds for", Decimal(9), unit="s")]
    line = make_line(
        report=make_report(), part="soundboard", condition="repair", signs=["bars_loose"], values=values
    )
    (problem,) = purchase_problems([line])
    assert not problem.is_blocker
    assert problem.sentence.startswith("The bars are loose and the treble is dead.")


def test_what_ends_a_purchase_stands_on_the_instruments_page(signed_in):
    report = make_report()
    make_line(report=report, part="frame", condition="replace", signs=["frame_cracked"])
    page = signed_in.get(report.instrument.get_absolute_url()).content.decode()
    assert "The frame is cracked. This usually ends a purchase." in page
    assert report.get_absolute_url() in page


def compare(client, first, second):
    address = at(first.instrument, "condition_compare")
    return client.get(f"{address}?one={first.pk}&two={second.pk}").content.decode()


@pytest.fixture
def out_and_back():
    instrument = make_instrument()
    out = make_report(instrument=instrument, occasion="out_on_trial")
    back = make_report(instrument=instrument, occasion="back_from_trial")
    for report, figure, condition in ((out, "8", "sound"), (back, "5.5", "attend")):
        values = [Value("pin_torque_lowest", "lowest torque", Decimal(figure), unit="N·m")]
        make_line(report=report, part="pins", condition=condition, values=values)
        make_line(report=report, part="case")
    return out, back


def test_a_figure_not_taken_again_is_said_and_is_no_change(signed_in, out_and_back):
    out, back = out_and_back
    make_line(report=back, part="pins")
    page = compare(signed_in, out, back)
    assert "nothing changed, 18 cannot be compared" in page
    assert "Lowest torque: 8 N·m before, not measured this time." in page


def test_two_reports_stand_side_by_side_the_changed_part_first(signed_in, out_and_back):
    page = compare(signed_in, *out_and_back)
    assert "1 part changed, 18 cannot be compared" in page
    assert page.index('id="part-pins"') < page.index('id="part-lid"') < page.index('id="part-case"')
    assert "−2.5 N·m" in page


def test_whichever_way_round_they_are_chosen(signed_in, out_and_back):
    pages = compare(signed_in, *out_and_back), compare(signed_in, *reversed(out_and_back))
    heads = [re.search("<h1>.*</h1>", page).group() for page in pages]
    assert heads == ["<h1>Out on trial, back from trial</h1>"] * 2


def test_photographs_stand_in_pairs(signed_in, technician, out_and_back):
    for report, colour in zip(out_and_back, ("sienna", "olive"), strict=True):
        photo = make_photo(instrument=report.instrument, colour=colour)
        fall = {"part": "fall", "condition": "attend", "photo": photo}
        record_finding(instrument=report.instrument, report=report, by=technician, on=A_DAY, **fall)
    page = compare(signed_in, *out_and_back)
    assert page.count('class="condition-photo"') == 2


def test_one_report_cannot_be_compared_with_itself(signed_in, out_and_back):
    assert "Choose two different reports." in compare(signed_in, out_and_back[0], out_and_back[0])


def test_a_report_of_another_instrument_is_no_choice(signed_in, out_and_back):
    page = compare(signed_in, out_and_back[0], make_report())
    assert "that is not among the choices" in page


def test_the_list_names_every_report_and_offers_to_compare(signed_in, out_and_back):
    page = signed_in.get(at(out_and_back[0].instrument)).content.decode()
    assert "Out on trial, 21 March 2026" in page
    assert "Compare them" in page


def test_reading_a_report_takes_as_many_queries_however_long_it_is(signed_in, django_assert_max_num_queries):
    report = make_report()
    for part in ("case", "pins", "keys", "back", "lid", "frame"):
        make_line(report=report, part=part)
    with django_assert_max_num_queries(10):
        signed_in.get(report.get_absolute_url())


def test_the_instrument_is_held_before_the_photograph_of_a_part_is_looked_up():
    report = make_report()
    with CaptureQueriesContext(connection) as asked:
        make_line(report=report, part="case", condition="sound")
    reads = [query["sql"] for query in asked if query["sql"].startswith("SELECT")]
    held = next(n for n, sql in enumerate(reads) if 'FROM "instruments_instrument"' in sql)
    looked_up = next(n for n, sql in enumerate(reads) if 'FROM "instruments_finding"' in sql)
    assert held < looked_up
