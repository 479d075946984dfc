"""What must stand on file before a loaded word goes without a caution. Every story here is invented."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from instruments.actions.evidence import record_sightings
from instruments.actions.findings import record_finding
from instruments.actions.tell_tales import load_tell_tales
from instruments.calc.condition.comparing import Value
from instruments.models import TellTale
from instruments.states import Part
from shop.actions.listing import draft_listing, edit_listing
from shop.wording_problems import wording_cautions
from tests import make
from workorders.actions.items import close_item

pytestmark = pytest.mark.django_db


@pytest.fixture
def piano(db):
    return make.make_instrument(made="1912", made_basis="serial")


def cautioned(instrument, headline: str, **words) -> list[str]:
    """The cautions about a headline, each from the word on, after a fresh draft."""
    listing = draft_listing(instrument=instrument, by=make.somebody())
    listing = edit_listing(listing=listing, by=make.somebody(), headline=headline, **words)
    found = wording_cautions(listing, today=make.A_DAY)
    return [each.sentence.removeprefix("Headline, ") for each in found if each.link == "#id_headline"]


def examine(instrument, parts=Part.values, *, condition="sound", **found) -> None:
    for part in parts:
        record_finding(
            instrument=instrument, part=part, condition=condition, by=make.somebody(), on=make.A_DAY, **found
        )


def pitch_measured(instrument, *, on: date, cents: str = "0", result: str = "Tuned to A4 = 440 Hz.") -> None:
    item = make.make_item(
        order=make.make_order(instrument=instrument),
        acceptance="figure",
        figure_name="A4 against the pitch agreed",
        figure_unit="cents",
        figure_low=Decimal(-2),
        figure_high=Decimal(2),
    )
    close_item(item=item, result=result, figure=Decimal(cents), by=make.somebody(), on=on)


@pytest.mark.parametrize(
    ("headline", "missing"),
    [
        ("Restored", "No work is closed on file, and no paper lists any."),
        ("In excellent condition", "Not examined yet: case and finish, fall and name"),
        ("Original strings", "Nothing on file shows that the strings are the first."),
        ("A rare model", "No document on file says how many are known."),
        ("At concert pitch", "No pitch measured at A4 = 440 Hz is on file."),
        ("Holds its tune", "No pitch is on file."),
        ("Just needs tuning", "Not measured: turning force of the pins and pitch."),
        ("One owner", "No paper on file shows who owned it."),
        ("Always tuned", "No tuner's card, mark or bill is on file."),
        ("Hardly used", "No finding says that these are sound: hammers, key tops, centres."),
        ("A beginner's piano", "Not examined yet:"),
        ("Real ivory", "The naturals are on file as “celluloid”."),
        ("Appraised", "No dated valuation is on file."),
        ("Half price", "The record keeps no prices of others: leave it out."),
    ],
)
def test_a_caution_says_what_is_missing(piano, headline, missing):
    (caution,) = cautioned(piano, headline)
    assert missing in caution


def test_a_list_of_work_backs_restored_where_the_listing_prints_it(piano):
    item = make.make_item(order=make.make_order(instrument=piano))
    close_item(item=item, by=make.somebody(), on=make.A_DAY, result="Every centre eased.")
    assert cautioned(piano, "Restored") == []
    assert "not listed under what was done" in cautioned(piano, "Restored", work_done="")[0]


def test_nothing_backs_perfect(piano):
    examine(piano)
    assert "Nothing can stand behind it" in cautioned(piano, "Perfect")[0]


def test_a_whole_report_without_a_fault_backs_a_condition(piano):
    examine(piano)
    assert cautioned(piano, "Excellent condition, hardly played") == []


def test_a_fault_on_file_is_named_against_a_condition(piano):
    examine(piano, set(Part.values) - {"hammers"})
    examine(piano, ["hammers"], condition="repair")
    assert "The condition report finds hammers: repair." in cautioned(piano, "In excellent condition")[0]


def test_tell_tales_alone_back_the_part_they_speak_for_and_no_other(piano):
    load_tell_tales()
    rows = list(TellTale.objects.filter(question="strings"))
    seen = [row for row in rows if row.code == "rust-hidden-in-coils"]
    record_sightings(instrument=piano, seen=seen, looked_for=rows, by=make.somebody(), on=make.A_DAY)
    assert cautioned(piano, "Original strings") == []
    assert "that the hammers are the first" in cautioned(piano, "Original strings and hammers")[0]


def test_a_supported_statement_backs_the_part_it_calls_the_first(piano):
    said = {"text": "The case was never touched", "topic": "case", "asserts": "original"}
    make.make_statement(instrument=piano, **said)
    assert "the finish of the case is the first" in cautioned(piano, "Original case")[0]
    make.make_statement(instrument=piano, grade="seen", **said)
    assert cautioned(piano, "Original case") == []


def test_a_document_that_counts_them_backs_rare(piano):
    make.make_statement(
        instrument=piano, grade="document", text="Seven of this model are known", source_note="A list of 1998"
    )
    assert cautioned(piano, "Very rare") == []


@pytest.mark.parametrize(
    ("made", "basis", "backed"),
    [
        ("1912", "serial", True),
        ("1912~", "serial", False),
        ("1912", "told", False),
        ("1910/1929", "serial", False),
        ("192X", "mark", False),
    ],
)
def test_antique_needs_a_date_that_proves_its_hundred_years(made, basis, backed):
    instrument = make.make_instrument(made=made, made_basis=basis)
    assert (cautioned(instrument, "An antique") == []) is backed


def test_a_pitch_of_440_hertz_backs_concert_pitch_and_a_second_one_that_it_holds(piano):
    assert "No pitch is on file." in cautioned(piano, "In tune")[0]
    pitch_measured(piano, on=make.A_DAY, result="Left at a semitone flat, as agreed.")
    assert cautioned(piano, "In tune") == []
    assert cautioned(piano, "Concert pitch") != []
    pitch_measured(piano, on=make.A_DAY)
    assert cautioned(piano, "Concert pitch") == []
    assert "No two pitches some weeks apart" in cautioned(piano, "Holds its tune")[0]
    pitch_measured(piano, on=make.A_DAY + timedelta(days=21))
    assert cautioned(piano, "Holds its tune") == []


def test_pins_and_pitch_together_back_that_it_needs_a_tuning(piano):
    lowest = Value("pin_torque_lowest", "lowest torque", Decimal("5.8"), unit="N·m")
    examine(piano, ["pins"], values=[lowest])
    assert "Not measured: pitch." in cautioned(piano, "Just needs tuning")[0]
    pitch_measured(piano, on=make.A_DAY)
    assert cautioned(piano, "Just needs tuning") == []


def test_one_owner_needs_papers_from_the_making_to_the_sale(piano):
    make.make_purchase(instrument=piano, bought_on=date(2026, 1, 5))
    said = {"topic": "owned", "asserts": "owned", "who": "the Hollins family", "grade": "document"}
    make.make_statement(instrument=piano, dated="1912/1950", **said)
    assert "do not reach from its making" in cautioned(piano, "One owner from new")[0]
    make.make_statement(instrument=piano, dated="1912/2026", **said)
    assert cautioned(piano, "One owner from new") == []


def test_papers_on_file_back_what_they_are_titled_for(piano):
    make.make_document(instrument=piano, title="Tuner's card, valuation", dated="1988")
    assert cautioned(piano, "Always tuned; valued at a sum") == []


def test_faults_must_be_told_to_a_beginner(piano):
    examine(piano)
    examine(piano, ["pedals"], condition="attend")
    assert cautioned(piano, "A starter piano") == []
    assert "not in the listing" in cautioned(piano, "A starter piano", faults="")[0]


def test_a_listing_without_such_words_asks_the_record_nothing_more(piano, django_assert_num_queries):
    listing = draft_listing(instrument=piano, by=make.somebody())
    with django_assert_num_queries(2):
        wording_cautions(listing, today=make.A_DAY)
