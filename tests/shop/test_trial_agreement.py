import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta

import pytest

from instruments.documents import fonts
from instruments.documents.content import Clause, ConditionLine, Fact, Party, Photo
from instruments.documents.text import printable
from shop.calc.credit_terms import CreditRule
from shop.calc.trial_figures import TrialFigures
from shop.documents import trial_layout
from shop.documents.clauses import AT_A_DISTANCE, PART_EXCHANGE, REGISTERED, standard_clauses
from shop.documents.trial_agreement import TrialAgreement, TrialInstrument, build_trial_agreement
from shop.documents.trial_words import length_in_words
from tests.drawn import jpeg
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading, squeeze

PICTURES = [jpeg(400, 300, shade=60 + 20 * number) for number in range(5)]
PHOTOS = tuple(Photo(each, f"View {n}", f"The piano, view {n}") for n, each in enumerate(PICTURES))
INSTRUMENT = TrialInstrument(
    maker="Halden & Rook",
    stock_number="26-014",
    serial="31 447",
    serial_read_at="on the frame, photographed",
    made="about 1912",
    made_basis="date pencilled on key 1",
    compass="85 keys, A0 to A7",
    further_facts=(Fact("Height", "122 cm", "measured"),),
    goes_with_it="adjustable stool",
    photos=PHOTOS[:3],
    condition=(
        ConditionLine("Case and finish", "Sound", "sun-faded on the left end"),
        ConditionLine("Lid and hinges", "Attend", "two chips"),
    ),
    faults=("Hairline in the soundboard; it does not buzz.",),
)
AGREEMENT = TrialAgreement(
    number="T26-003",
    agreed_on=date(2026, 3, 13),
    shop=Party("Castlemere Pianos", "4 Tannery Yard\nCastlemere", ("01632 960 114",)),
    customer=Party("Wilf Arden", "19 Saltmarsh Row\nCastlemere"),
    instrument=INSTRUMENT,
    figures=TrialFigures(price_minor=295_000, paid_minor=60_000, delivery_minor=9_000),
    starts_on=date(2026, 3, 14),
    ends_on=date(2026, 4, 25),
    place="19 Saltmarsh Row\nfront room",
    clauses=standard_clauses().for_agreement(),
    terms_version="2026-1",
    delivery_note="both ways, ground floor",
    special_terms="One tuning in the third week is included.",
    cautions=standard_clauses().cautions,
)


def printed(**changes) -> Reading:
    return Reading(build_trial_agreement(replace(AGREEMENT, **changes)))


def test_a_place_of_two_lines_stands_in_its_clause_as_one_sentence():
    read = printed(place="4 Salt Lane,\r\nThe Old Chapel\r\n")
    assert "It stands at 4 Salt Lane, The Old Chapel. Only we" in read.text


@pytest.fixture(scope="module")
def paper() -> Reading:
    return printed()


@pytest.mark.parametrize(
    "words",
    [
        "Agreement T26-003, terms 2026-1 13 March 2026",
        "Home trial agreement Halden & Rook, stock 26-014, at home with Wilf Arden until 25 April 2026.",
        "The shop Castlemere Pianos 4 Tannery Yard Castlemere 01632 960 114",
        "The customer Wilf Arden 19 Saltmarsh Row Castlemere",
        "Serial 31 447 on the frame, photographed",
        "Made about 1912 date pencilled on key 1",
        "Stock number 26-014",
        "Compass 85 keys, A0 to A7",
        "Height 122 cm measured",
        "Goes with it adjustable stool",
        "Case and finish Sound sun-faded on the left end",
        "Lid and hinges Attend two chips",
        "Faults we both know of – Hairline in the soundboard",
        "Price if you keep it £2,950.00",
        "Paid now toward the price £600.00",
        "Delivery does not count toward the price; both ways, ground floor £90.00",
        "Due at the start £690.00",
        "Still to pay if you keep it £2,350.00",
        "First day Saturday 14 March 2026",
        "Last day, fixed Saturday 25 April 2026 42 days, which is 6 weeks",
        "Where it stands 19 Saltmarsh Row front room",
        "Keep it Tell us in writing that you keep it, and pay the £2,350.00 that is still to pay.",
        "All that you have paid toward this one, £600.00, comes off its price.",
        "We give back the £600.00 paid toward the price",
        "For example, you exchange and bring £600.00 across. If the other instrument is marked £3,400.00,"
        " £2,800.00 is still to pay. If the other instrument is marked £2,500.00, £1,900.00 is still to pay.",
        "The trial ends on Saturday 25 April 2026.",
        "It stands at 19 Saltmarsh Row, front room.",
        "Keep the room at 45 to 60 % relative humidity",
        "Agreed besides One tuning in the third week is included.",
        "Check the law in force where you live.",
        "This paper is not legal or credit advice.",
        "For Castlemere Pianos Signature Name in capitals Date Wilf Arden Signature Name in capitals Date",
        "Castlemere Pianos · T26-003 · 13 March 2026 · content",
        "2 of 2",
    ],
)
def test_agreement_says(paper, words):
    assert words in paper.text


def test_agreement_has_the_deal_in_front_and_terms_and_signatures_behind(paper):
    front, back = paper.page_texts
    assert "How the trial ends" in front
    assert "Signature" not in front
    assert back.count("Signature") == 2
    assert "Draft" not in paper.text


def test_agreement_shows_each_photograph_with_its_words(paper):
    figures = [alt for kind, alt in paper.elements if kind == "Figure"]
    assert figures == ["The piano, view 0", "The piano, view 1", "The piano, view 2"]
    assert paper.picture_count == 3


def test_agreement_can_be_read_aloud_in_order(paper):
    assert paper.kinds.count("H1") == 1
    assert paper.kinds.count("H2") == 7
    assert paper.kinds.count("Lbl") >= len(AGREEMENT.clauses)
    assert paper.reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert paper.reader.metadata.title == "Home trial agreement T26-003"


def test_agreement_holds_only_our_fonts(paper):
    assert all(paper.fonts.values())
    assert not [name for name in paper.fonts if "Helvetica" in name or "Times" in name]


def test_agreement_that_is_a_draft_says_so_on_every_page():
    reading = printed(draft=True)
    assert all("Draft, not signed" in text for text in reading.page_texts)
    assert reading.page_texts[0].count("Draft, not signed") == 2


def test_agreement_paid_in_full_leaves_credit_in_the_example():
    text = printed(figures=TrialFigures(295_000, 295_000)).text
    assert "there is nothing more to pay" in text
    assert "marked £3,400.00, £450.00 is still to pay" in text
    assert "marked £2,500.00, it is paid for and £450.00 stays in credit for you" in text
    assert "Delivery none charged" not in text
    assert "Delivery both ways, ground floor none charged" in text


def test_agreement_that_counts_a_share_says_which():
    text = printed(figures=TrialFigures(295_000, 60_000, credit=CreditRule(scale=((0, 80),)))).text
    assert "Of the £600.00 paid toward this one, 80 %, which is £480.00, comes off its price." in text
    assert "bring £480.00 across" in text


def test_agreement_with_a_delivery_charge_that_counts_says_so():
    counts = CreditRule(fees_that_count=("delivery",))
    text = printed(figures=TrialFigures(295_000, 60_000, 9_000, counts)).text
    assert "Delivery counts toward the price" in text
    assert "Still to pay if you keep it £2,260.00" in text


def test_agreement_without_payment_promises_no_credit():
    text = printed(figures=TrialFigures(295_000, 0)).text
    assert "Nothing has been paid, so nothing comes off its price." in text
    assert "For example" not in text


def test_agreement_at_a_distance_ends_with_a_form_to_cancel():
    reading = printed(clauses=standard_clauses().for_agreement(AT_A_DISTANCE), cancellation_form=True)
    assert "you may use the form on the last page" in reading.text
    last = " ".join(reading.page_texts[-1].split())
    assert "To Castlemere Pianos, 4 Tannery Yard, Castlemere, 01632 960 114" in last
    assert "I cancel agreement T26-003 of 13 March 2026 for Halden & Rook, stock number 26-014." in last


def test_agreement_of_a_registered_instrument_names_the_registration():
    clauses = standard_clauses().for_agreement(REGISTERED)
    text = printed(clauses=clauses, registration="X7K2-9QFM").text
    assert "Registration of protected material X7K2-9QFM" in text
    assert "ivory registered under X7K2-9QFM" in text


def test_agreement_without_findings_says_that_there_are_none():
    text = printed(instrument=replace(INSTRUMENT, condition=(), faults=())).text
    assert "As it goes out Nothing has been written down of its condition." in text


@pytest.mark.parametrize("count", range(6))
def test_agreement_prints_at_most_four_photographs(count):
    reading = printed(instrument=replace(INSTRUMENT, photos=PHOTOS[:count]))
    assert (reading.picture_count, reading.page_count) == (min(count, 4), 2)


def test_agreement_with_every_clause_and_a_long_name_keeps_to_two_pages_and_the_form():
    clauses = standard_clauses().for_agreement(AT_A_DISTANCE, REGISTERED, PART_EXCHANGE)
    condition = tuple(ConditionLine(f"Part {number}", "Sound", "as found") for number in range(9))
    instrument = replace(
        INSTRUMENT, maker="Thursby & Lund and Successors to the Late Orrin Vale", condition=condition
    )
    reading = printed(clauses=clauses, instrument=instrument, cancellation_form=True)
    assert reading.page_count == 3
    assert reading.page_texts[1].count("Signature") == 2


def test_agreement_after_a_whole_walk_round_keeps_to_two_pages():
    condition = (
        *(ConditionLine(f"Part number {number}", "Sound") for number in range(18)),
        ConditionLine("Hammers", "Sound", "refaced"),
        ConditionLine("Fall and name", "Sound", "clean; the name is whole"),
    )
    faults = ("Key tops: one head chipped at the front.", "Dampers: two bass dampers ring on.")
    reading = printed(instrument=replace(INSTRUMENT, condition=condition, faults=faults))
    assert reading.page_count == 2
    assert "Sound: part number 0, part number 1," in reading.text and "refaced" in reading.text


def test_what_is_not_looked_at_any_more_is_not_set(monkeypatch):
    set_up = []
    for name in ("_front", "_terms"):
        original = getattr(trial_layout, name)
        monkeypatch.setattr(
            trial_layout,
            name,
            lambda *given, name=name, original=original: set_up.append(name) or original(*given),
        )
    assert printed().page_count == 2
    assert set_up == ["_front", "_terms"]  # both fit at their largest, the first way that was tried


SCALE = CreditRule(scale=((0, 100), (2, 90), (6, 75), (12, 60)), expires_after_months=24)
WALKED = (
    *(ConditionLine(f"Part number {number}", "Sound") for number in range(18)),
    ConditionLine("Hammers", "Sound", "refaced"),
    ConditionLine("Fall and name", "Sound", "clean; the name is whole"),
)


@pytest.mark.parametrize("condition", [INSTRUMENT.condition, WALKED], ids=["two parts", "walk round"])
@pytest.mark.parametrize("credit", [CreditRule(), SCALE], ids=["all counts", "four steps"])
@pytest.mark.parametrize("photos", [0, 3])
def test_agreement_with_a_part_exchange_and_a_scale_keeps_to_two_pages(credit, condition, photos):
    reading = printed(
        clauses=standard_clauses().for_agreement(PART_EXCHANGE),
        instrument=replace(INSTRUMENT, condition=condition, photos=PHOTOS[:photos]),
        figures=TrialFigures(295_000, 60_000, 9_000, credit),
    )
    assert reading.page_count == 2
    assert reading.page_texts[1].count("Signature") == 2
    assert "For example, you exchange" in reading.text
    if credit is SCALE:
        assert "90 % from 14 May 2026 on, 75 % from 14 September 2026 on, 60 % from 14 March 2027 on" in (
            reading.text
        )


def test_agreement_takes_a_dollar_sign_in_a_clause_as_it_is():
    text = printed(clauses=(Clause("Fee $5", "It costs $5, $$ and $unknown; it ends on $last_day."),)).text
    assert "1 Fee $5 It costs $5, $ and $unknown; it ends on Saturday 25 April 2026." in text


def test_agreement_does_not_fill_in_what_a_person_typed():
    text = printed(place="$number Street", special_terms="$last_day").text
    assert "It stands at $number Street." in text
    assert "Agreed besides $last_day" in text


def test_agreement_is_the_same_file_when_printed_again():
    assert build_trial_agreement(AGREEMENT) == build_trial_agreement(replace(AGREEMENT))


def test_agreement_with_other_terms_bears_another_hash(paper):
    def digest(reading):
        return reading.text.partition("content ")[2][:19]

    assert digest(printed(ends_on=date(2026, 4, 26))) != digest(paper)


def everywhere(text: str) -> tuple[TrialAgreement, int]:
    """An agreement with the text, numbered, in every place that takes words; and how many places that is."""
    places = iter(range(1_000))

    def place() -> str:
        return f"({next(places)} {text} )"

    agreement = replace(
        AGREEMENT,
        number=place(),
        shop=Party(place(), place(), (place(),)),
        customer=Party(place(), place(), (place(),)),
        instrument=TrialInstrument(
            maker=place(),
            stock_number=place(),
            serial=place(),
            serial_read_at=place(),
            made=place(),
            made_basis=place(),
            compass=place(),
            further_facts=(Fact(place(), place(), place()),),
            goes_with_it=place(),
            photos=(Photo(PICTURES[0], place()),),
            condition=(ConditionLine(place(), place(), place()),) * 6,
            faults=(place(),),
        ),
        place=place(),
        clauses=(Clause(place(), place()),),
        terms_version=place(),
        delivery_note=place(),
        special_terms=place(),
        cautions=(place(),),
        registration=place(),
        humidity=place(),
        cancellation_form=True,
    )
    return agreement, next(places)


HUMIDITY = 31  # printed only where a clause asks for it


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_agreement_prints_hostile_words_as_they_are(text):
    agreement, places = everywhere(text)
    reading = Reading(build_trial_agreement(agreement))
    found = reading.squeezed.replace(",", "")  # the lines of an address are joined by commas
    for number in set(range(places)) - {HUMIDITY}:
        for line in f"({number} {text} )".splitlines():
            faces = {squeeze(printable(line, font)).replace(",", "") for font in fonts.FILES}
            assert any(words in found for words in faces), (number, line)
    assert (reading.picture_count, reading.annotation_count) == (1, 0)
    assert "\u25a0" not in reading.text
    assert all(reading.fonts.values())


def test_agreement_prints_twenty_thousand_characters_on_further_pages():
    words = " ".join(f"word{number:04d}" for number in range(2_200))
    reading = printed(special_terms=words, clauses=(Clause("Long", words),))
    assert reading.page_count > 4
    for number in range(2_200):
        assert reading.squeezed.count(f"word{number:04d}") == 2


def test_agreement_data_needs_no_printer():
    code = "import sys, shop.documents.trial_agreement; sys.exit('reportlab' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(("days", "words"), [(1, "1 day"), (8, "8 days"), (42, "42 days, which is 6 weeks")])
def test_agreement_says_its_length_in_words(days, words):
    assert length_in_words(replace(AGREEMENT, ends_on=AGREEMENT.starts_on + timedelta(days=days))) == words
