"""A condition sheet for two signatures, read back from the PDF."""

from decimal import Decimal
from io import BytesIO

import pytest
from django.urls import reverse
from PIL import Image

from instruments.actions.condition_reports import close_report
from instruments.actions.findings import record_finding
from instruments.calc.condition.comparing import Value
from instruments.pictures import reduced_jpeg
from instruments.states import Part
from shop.actions.condition_sheets import condition_pair_of, condition_sheet_of
from shop.actions.sales import sell
from shop.trial_reports import other_side_of, reports_of_trial
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading

pytestmark = pytest.mark.django_db


def torque(figure: str) -> list[Value]:
    return [Value("pin_torque_lowest", "lowest torque", Decimal(figure), unit="N·m")]


@pytest.fixture
def trial():
    return make.make_running_trial(person=make.make_person(name="Maisie Tullow"))


@pytest.fixture
def out(trial):
    report = make.make_report(
        instrument=trial.instrument, occasion="out_on_trial", temperature_c=19, humidity_percent=52
    )
    make.make_line(report=report, part="pins", values=torque("8"))
    make.make_line(report=report, part="key_tops", condition="attend", note="One chip.", keys="C5")
    return report


@pytest.fixture
def back(trial):
    report = make.make_report(instrument=trial.instrument, occasion="back_from_trial")
    make.make_line(report=report, part="pins", condition="attend", values=torque("5.5"))
    return report


def sheet(report, other_side="Maisie Tullow") -> Reading:
    return Reading(condition_sheet_of(report, on=make.A_DAY, other_side=other_side))


def test_every_part_stands_on_the_sheet(out):
    text = sheet(out).text
    assert [part.label for part in Part if part.label not in text] == []


def test_what_was_not_looked_at_is_stated(out):
    in_words = 1
    assert sheet(out).text.count("Not looked at") == 18 + in_words


def test_a_part_ticked_as_not_examined_is_told_from_one_not_looked_at(out):
    in_words = 1
    make.make_line(report=out, part="frame", condition="not_examined")
    text = sheet(out).text
    assert text.count("Not examined") == 1 + in_words
    assert text.count("Not looked at") == 17 + in_words


def test_values_keys_climate_and_who_wrote_it_are_told(out):
    text = sheet(out).text
    for words in ("Lowest torque: 8 N·m", "One chip; keys C5", "19 °C, 52 % RH", "by Ada Prowse"):
        assert words in text


def test_both_sides_are_named_over_their_lines(out):
    text = sheet(out).text
    assert "For the shop" in text
    assert "The customer Maisie Tullow" in text
    assert text.count("Signature") == 2


def test_a_short_report_takes_one_page_and_a_wordy_pair_at_most_two(out, back):
    assert sheet(out).page_count == 1
    for part in Part:
        note = "A dozen words of what was found here. " * 2
        make.make_line(report=back, part=part.value, condition="attend", note=note)
    assert Reading(condition_pair_of(out, back, on=make.A_DAY)).page_count == 2


def test_an_open_report_says_that_it_is_not_closed(out):
    assert "not closed yet" in sheet(out).text
    close_report(report=out, by=make.somebody())
    out.refresh_from_db()
    assert "not closed yet" not in sheet(out).text


def test_a_pair_tells_the_difference_and_puts_it_first(out, back):
    text = Reading(condition_pair_of(out, back, on=make.A_DAY)).text
    assert "Worse; lowest torque −2.5 N·m" in text
    assert text.index("Wrest pins and plank") < text.index("Case and finish")


def test_a_figure_not_taken_again_is_said_and_is_no_difference(out, back):
    make.make_line(report=back, part="pins")
    text = Reading(condition_pair_of(out, back, on=make.A_DAY)).text
    assert "Sound. Lowest torque not measured this time" in text
    assert "Differs" not in text


@pytest.mark.parametrize("notes", [("", "Dry air."), ("Warm hall.", "Dry air.")])
def test_the_note_of_each_report_stands_under_its_own_heading(out, back, notes):
    for report, note in zip((out, back), notes, strict=True):
        report.note = note
    places = Reading(condition_pair_of(out, back, on=make.A_DAY)).places(0)
    left = {text: x for text, x, *_ in reversed(places)}
    headings = [left[report.get_occasion_display()] for report in (out, back)]
    assert headings[0] < headings[1]
    assert all(left[note] == pytest.approx(x) for note, x in zip(notes, headings, strict=True) if note)


@pytest.fixture
def photographed(out):
    photo = make.make_photo(instrument=out.instrument)
    fall = {"part": "fall", "condition": "attend", "photo": photo}
    record_finding(instrument=out.instrument, report=out, by=make.somebody(), on=make.A_DAY, **fall)
    return photo


def test_photographs_are_on_the_paper_with_part_and_day(out, photographed):
    assert "Fall and name, 21 March 2026" in sheet(out).text
    assert "could not be printed" not in sheet(out).text


def test_a_photograph_gone_from_the_disk_keeps_no_sheet_from_being_printed(out, photographed):
    photographed.print.storage.delete(photographed.print.name)
    assert "Photograph 1 could not be printed: Fall and name, 21 March 2026" in sheet(out).text


def test_a_large_photograph_makes_no_large_file():
    picture = Image.effect_noise((2400, 1800), 90).convert("RGB")
    stream = BytesIO()
    picture.save(stream, "JPEG", quality=95)
    small = Image.open(BytesIO(reduced_jpeg(stream.getvalue(), side=800)))
    assert small.size == (800, 600)
    assert len(reduced_jpeg(stream.getvalue(), side=800)) < len(stream.getvalue()) / 6


def test_what_ends_a_purchase_is_no_matter_of_the_customers_sheet(out):
    make.make_line(report=out, part="frame", condition="repair", signs=["frame_cracked"])
    assert "ends a purchase" not in sheet(out).text


def test_the_reports_of_a_trial_are_found_and_its_customer_signs(trial, out, back):
    assert reports_of_trial(trial) == (out, back)
    assert other_side_of(out) == "Maisie Tullow"


def test_a_report_long_before_the_trial_is_not_its_own(trial):
    make.make_report(
        instrument=trial.instrument, occasion="out_on_trial", on=make.A_DAY.replace(year=make.A_DAY.year - 1)
    )
    assert reports_of_trial(trial) == (None, None)


def test_a_seller_prints_the_name_and_a_technician_a_line(client, seller, technician, out):
    address = reverse("condition_sheet", args=[out.instrument.stock_number, out.pk])
    client.force_login(seller)
    assert "Maisie Tullow" in Reading(client.get(address).content).text
    client.force_login(technician)
    assert "Maisie Tullow" not in Reading(client.get(address).content).text


def test_the_trial_offers_the_sheets_and_the_comparison(client, seller, trial, out, back):
    client.force_login(seller)
    for name in ("trial_page", "trial_return"):
        page = client.get(reverse(f"shop:{name}", args=[trial.number])).content.decode()
        assert reverse("condition_sheet", args=[trial.instrument.stock_number, out.pk]) in page
        assert f"compare/?one={out.pk}&amp;two={back.pk}" in page


def test_a_trial_without_a_report_offers_to_write_one(client, seller):
    trial = make.make_trial()
    client.force_login(seller)
    page = client.get(reverse("shop:trial_start", args=[trial.number])).content.decode()
    assert "condition/new/?occasion=out_on_trial" in page


def test_whatever_was_typed_is_printed_and_nothing_of_it_is_read_as_markup(out):
    for part, text in zip(Part, HOSTILE_TEXTS, strict=False):
        make.make_line(report=out, part=part.value, condition="attend", note=text[:500])
    text = sheet(out, other_side="<b>Maisie</b>").squeezed
    assert "<b>Maisie</b>" in text
    assert "<b><i>x</b></i>" in text


def test_a_sale_offers_the_report_as_sold_and_then_its_sheet(client, seller):
    instrument = make.make_instrument()
    sale = sell(
        instrument=instrument,
        person=make.make_person(),
        price_minor=90_000,
        by=make.somebody(),
        on=make.A_DAY,
    )
    client.force_login(seller)
    assert "condition/new/?occasion=as_sold" in client.get(sale.get_absolute_url()).content.decode()
    report = make.make_report(instrument=instrument, occasion="as_sold")
    address = reverse("condition_sheet", args=[instrument.stock_number, report.pk])
    assert address in client.get(sale.get_absolute_url()).content.decode()
    assert other_side_of(report) == "Wilf Arden"
