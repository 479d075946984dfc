"""The walk: one station of a report on one page."""

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.condition_reports import close_report
from instruments.models import Finding, Photo
from instruments.states import PARTS_AT, Part, Station
from tests.make import make_line, make_report
from tests.pictures import upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def address(report, station="front") -> str:
    return reverse("instruments:condition_station", args=[report.instrument.stock_number, report.pk, station])


def send(client, report, station="front", **found):
    return client.post(address(report, station), {"form_token": uuid4().hex} | found)


def test_every_part_has_its_station_once_in_walking_order():
    assert [part for station in Station for part in PARTS_AT[station]] == list(Part)


def test_the_parts_of_a_station_stand_on_its_page(signed_in):
    page = signed_in.get(address(make_report())).content.decode()
    places = [page.index(f'id="part-{part.value}"') for part in PARTS_AT[Station.FRONT]]
    assert places == sorted(places)


def test_only_what_was_touched_is_saved(signed_in, technician):
    report = make_report()
    send(signed_in, report, **{"hammers-condition": "repair", "hammers-note": "grooved", "action-note": ""})
    finding = report.findings.get()
    assert (finding.part, finding.condition, finding.note) == ("hammers", "repair", "grooved")
    assert finding.found_by == technician


def test_all_of_a_group_is_sound_by_one_button_without_script(signed_in):
    report = make_report()
    make_line(report=report, part="hammers", condition="repair")
    send(
        signed_in,
        report,
        **{"all_sound": "yes", "hammers-was": str(report.findings.get().pk), **as_it_stands(report)},
    )
    conditions = dict(report.findings.values_list("part", "condition"))
    assert conditions == dict.fromkeys(PARTS_AT[Station.FRONT], "sound") | {"hammers": "repair"}


def as_it_stands(report) -> dict:
    return {f"{line.part}-condition": line.condition for line in report.findings.all()}


def test_what_is_pressed_stays_when_all_others_are_sound(signed_in):
    report = make_report()
    send(signed_in, report, **{"all_sound": "yes", "strings-condition": "replace"})
    assert report.findings.get(part="strings").condition == "replace"


def test_a_part_with_a_fault_on_file_is_not_sound_with_all_others(signed_in):
    before = make_report()
    make_line(report=before, part="hammers", condition="attend")
    close_report(report=before, by=before.begun_by)
    report = make_report(instrument=before.instrument)
    page = signed_in.get(address(report)).content.decode()
    assert "1 part was Attend before: look at it by itself." in page
    assert page.count(" data-open>") == len(PARTS_AT[Station.FRONT]) - 1
    send(signed_in, report, all_sound="yes")
    assert set(report.findings.values_list("part", flat=True)) == set(PARTS_AT[Station.FRONT]) - {"hammers"}
    page = signed_in.get(address(report)).content.decode()
    assert "All of this group sound" not in page
    assert "look at it by itself" in page


def test_saving_goes_on_to_the_next_station_and_ends_at_the_report(signed_in):
    report = make_report()
    for station in Station:
        answer = send(signed_in, report, station, all_sound="yes")
    assert answer.url == report.get_absolute_url()
    assert report.findings.count() == 20


def test_the_page_says_how_far_the_walk_has_come_and_what_is_next(signed_in):
    report = make_report()
    make_line(report=report, part="action")
    page = signed_in.get(address(report)).content.decode()
    assert "1 of 20" in page
    assert 'class="walk-part is-next" id="part-hammers"' in page


def test_figures_and_answers_are_kept_with_the_finding(signed_in):
    report = make_report()
    sent = {
        "keys-condition": "attend",
        "keys-key_dip": "10,5",
        "keys-lifted_sharp": "stays",
        "keys-keys": "all sharps",
    }
    send(signed_in, report, "keys", **sent)
    assert report.findings.get().value_words == "lifted sharp: stays; key dip: 10.5 mm"


def test_a_figure_that_cannot_be_is_refused_with_its_bounds_and_kept(signed_in):
    report = make_report()
    page = send(
        signed_in, report, "lid", **{"pins-condition": "sound", "pins-pin_torque_lowest": "600"}
    ).content.decode()
    assert "Between 0 and 60 N·m." in page
    assert 'value="600"' in page
    assert not report.findings.exists()


def test_a_note_without_a_condition_is_asked_about_and_kept(signed_in):
    report = make_report()
    page = send(signed_in, report, "lid", **{"lid-note": "hinge loose"}).content.decode()
    assert "Choose what you found as well." in page
    assert "hinge loose" in page
    assert not Finding.objects.exists()


def test_keys_that_are_not_on_this_keyboard_are_refused(signed_in):
    sent = {"keys-condition": "repair", "keys-keys": "86"}
    assert (
        "There is no key 86 on this keyboard"
        in send(signed_in, make_report(), "keys", **sent).content.decode()
    )


def test_only_parts_with_keys_ask_for_them(signed_in):
    page = signed_in.get(address(make_report(), "lid")).content.decode()
    assert page.count("Keys concerned") == 1  # the wrest pins
    assert "<label" in page and 'for="">' not in page


def test_what_may_end_a_purchase_is_not_sound(signed_in):
    report = make_report()
    page = send(signed_in, report, "lid", **{"frame-condition": "sound", "frame-signs": "frame_cracked"})
    assert "What may end a purchase is not sound." in page.content.decode()
    assert not report.findings.exists()


def test_nothing_touched_is_said_and_not_saved(signed_in):
    assert "Nothing was chosen yet" in send(signed_in, make_report()).content.decode()


def test_two_parts_are_saved_together_or_not_at_all(signed_in):
    report = make_report()
    send(
        signed_in,
        report,
        "keys",
        **{"pests-condition": "sound", "keys-condition": "repair", "keys-keys": "none"},
    )
    assert not report.findings.exists()


def test_sent_twice_it_is_written_once(signed_in):
    report = make_report()
    sent = {"form_token": uuid4().hex, "hammers-condition": "sound"}
    answers = [signed_in.post(address(report), sent) for _ in range(2)]
    assert report.findings.count() == 1
    assert answers[0].url == answers[1].url


def test_a_line_is_changed_by_a_new_one_that_says_who(signed_in, technician, buyer):
    report = make_report()
    line = make_line(report=report, part="hammers", condition="attend", by=buyer)
    sent = {"hammers-was": str(line.pk), "hammers-condition": "repair"}
    send(signed_in, report, **sent)
    assert [(each.condition, each.found_by) for each in report.findings.all()] == [
        ("attend", buyer),
        ("repair", technician),
    ]


def test_what_somebody_else_wrote_meanwhile_is_not_replaced_unseen(signed_in, buyer):
    report = make_report()
    make_line(report=report, part="hammers", condition="attend", by=buyer)
    page = send(signed_in, report, **{"hammers-was": "", "hammers-condition": "sound"}).content.decode()
    assert "Bram Okoro wrote this part meanwhile" in page
    assert report.findings.count() == 1


def test_seen_and_sent_once_more_it_replaces_what_somebody_else_wrote(signed_in, buyer):
    report = make_report()
    make_line(report=report, part="hammers", condition="attend", by=buyer)
    page = send(signed_in, report, **{"hammers-condition": "sound"}).content.decode()
    (was,) = re.findall(r'name="hammers-was" value="([0-9]+)"', page)
    send(signed_in, report, **{"hammers-was": was, "hammers-condition": "sound"})
    assert report.findings.last().condition == "sound"


def test_ones_own_later_word_from_an_older_page_is_taken_and_nothing_else(signed_in):
    """Two forms kept on a phone without a connection go one after the other."""
    report = make_report()
    send(signed_in, report, **{"hammers-condition": "attend", "action-condition": "sound"})
    send(signed_in, report, **{"hammers-condition": "repair"})
    assert list(report.findings.values_list("part", "condition")) == [
        ("action", "sound"),
        ("hammers", "attend"),
        ("hammers", "repair"),
    ]


def test_the_photograph_is_kept_with_the_finding(signed_in):
    report = make_report()
    sent = {"hammers-condition": "repair", "hammers-photo": upload()}
    send(signed_in, report, **sent)
    photo = report.findings.get().photo
    assert (photo.shot, str(photo)) == ("hammers", "Hammers, as bought")
    assert not photo.is_public


def test_a_photograph_of_a_refused_form_waits_for_it(signed_in):
    report, token = make_report(), uuid4().hex
    wrong = {"form_token": token, "hammers-photo": upload(), "hammers-note": "grooved"}
    page = signed_in.post(address(report), wrong).content.decode()
    assert "is kept; it goes with this part" in page
    signed_in.post(
        address(report), {"form_token": token, "hammers-note": "grooved", "hammers-condition": "repair"}
    )
    assert report.findings.get().photo == Photo.objects.get()


def test_a_new_note_keeps_the_photograph_of_the_part(signed_in):
    report = make_report()
    send(signed_in, report, **{"hammers-condition": "repair", "hammers-photo": upload()})
    line = report.findings.get()
    send(
        signed_in,
        report,
        **{"hammers-was": str(line.pk), "hammers-condition": "repair", "hammers-note": "worse"},
    )
    assert report.findings.last().photo == line.photo


def test_a_closed_report_is_not_written_in(signed_in, technician):
    report = close_report(report=make_report(), by=technician)
    sent = {"hammers-condition": "sound", "hammers-note": "refaced"}
    page = send(signed_in, report, **sent).content.decode()
    assert "This report was closed by Tobias Lind" in page
    assert "refaced" in page
    assert not report.findings.exists()


def test_what_ends_a_purchase_is_told_on_the_walk_and_the_report(signed_in):
    report = make_report()
    make_line(report=report, part="pins", condition="replace", signs=["plank_split"])
    for page in (address(report), report.get_absolute_url()):
        assert (
            "The wrest plank is split. This usually ends a purchase" in signed_in.get(page).content.decode()
        )


def test_an_unknown_station_is_not_found(signed_in):
    assert signed_in.get(address(make_report(), "cellar")).status_code == 404


def test_the_queries_do_not_grow_with_the_lines(signed_in, django_assert_max_num_queries):
    report = make_report()
    for part in PARTS_AT[Station.FRONT]:
        make_line(report=report, part=part, condition="attend")
    with django_assert_max_num_queries(12):
        signed_in.get(address(report))
