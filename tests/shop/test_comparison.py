"""Two to four instruments beside one another: who may see which, what stands in each row, and on paper."""

import re
from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from instruments.actions.findings import record_finding
from instruments.documents import fonts
from instruments.documents.content import Party
from instruments.documents.text import printable
from instruments.drawings.side_by_side import Compass, compasses, to_one_scale
from instruments.models import ClimateReading
from instruments.templatetags.drawings import subject_of
from shop.actions.listing import draft_listing, edit_listing, withdraw_listing
from shop.documents.comparison import ComparisonPaper, Line, Said, build_comparison
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.make_recording import make_recording
from tests.reading import Reading, squeeze

pytestmark = pytest.mark.django_db


def listed(maker: str, **fields):
    piano = make.make_instrument(maker=maker, **fields)
    make.make_price(instrument=piano)
    make.make_photo(instrument=piano)
    make.make_purchase(instrument=piano, seller=make.make_person(name="Canary Seller"))
    make.put_in_window(draft_listing(instrument=piano, by=make.somebody()), by=make.somebody())
    return piano


@pytest.fixture
def two(db):
    return listed("Halden & Rook", height_cm=Decimal("122.0")), listed("Dornstrand", key_count=88)


def words_of(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def ask(client, *pianos, **more):
    return client.get("/compare/", {"of": [getattr(each, "stock_number", each) for each in pianos]} | more)


def cells(answer, title: str) -> list[tuple[str, ...]]:
    row = next(row for row in answer.context["comparison"].rows if row.title == title)
    return [cell.lines or (cell.missing,) for _, cell in row.pairs]


def test_a_stranger_compares_what_stands_in_the_window(stranger, two):
    answer = ask(stranger, *two)
    assert cells(answer, "Price") == [("£1,800",), ("£1,800",)]
    assert cells(answer, "Height") == [("122 cm",), ("Not measured",)]
    assert cells(answer, "Compass") == [("85 keys",), ("88 keys",)]
    assert cells(answer, "Made") == [("Date not known",), ("Date not known",)]


def test_no_cell_of_any_row_is_empty(stranger, two):
    for row in ask(stranger, *two).context["comparison"].rows:
        assert all(cell.lines or cell.missing for _, cell in row.pairs), row.title
        assert not {"0", "", "None"} & {line for _, cell in row.pairs for line in cell.lines}


def test_what_was_not_measured_says_so(stranger, two):
    answer = ask(stranger, *two)
    for title in ("Width", "Depth", "Touch", "Wrest pins", "Pitch", "Air beside it"):
        assert cells(answer, title) == [("Not measured",)] * 2, title
    assert cells(answer, "Faults") == [("Its condition has not been examined",)] * 2


def test_an_uprights_length_is_not_called_unmeasured(stranger, two):
    grand = listed("Orrin Vale", kind="grand", length_cm=Decimal("168.0"), height_cm=Decimal("98.0"))
    answer = ask(stranger, two[0], grand)
    assert cells(answer, "Length") == [("An upright: see its depth",), ("168 cm",)]
    assert cells(answer, "Height") == [("122 cm",), ("98 cm",)]
    assert "Length" not in [row.title for row in ask(stranger, *two).context["comparison"].rows]


def test_touch_is_told_with_its_day(stranger, two, technician):
    make.make_weighing(instrument=two[0], by=technician)
    answer = ask(stranger, *two)
    assert cells(answer, "Touch")[1] == ("Not measured",)
    if answer.context["comparison"].pianos[0].weighing:
        assert "2026" in words_of(answer)


def test_only_the_air_of_our_own_rooms_is_told(stranger, two, technician):
    for piano, whose in zip(two, ("ours", "theirs"), strict=True):
        ClimateReading.objects.create(
            instrument=piano, whose=whose, room="Canary room", temperature_c=20, humidity_percent=48,
            read_on=make.A_DAY, read_by=technician,
        )  # fmt: skip
    answer = ask(stranger, *two)
    assert cells(answer, "Air beside it") == [("20 °C, 48 % RH",), ("Not measured",)]
    assert "Canary" not in words_of(answer)


def test_the_shops_own_words_on_faults_are_told(stranger, two):
    edit_listing(listing=two[0].listing, by=make.somebody(), faults="A lid hinge is bent.")
    record_finding(instrument=two[0], part="case", condition="sound", by=make.somebody(), on=make.A_DAY)
    assert cells(ask(stranger, *two), "Faults")[0] == ("A lid hinge is bent.",)


def test_a_stranger_reads_no_cost_no_seller_and_nothing_of_ours(stranger, two):
    page = words_of(ask(stranger, *two))
    assert "Canary" not in page and "£200" not in page
    assert "Here in the shop" not in page and "In the workshop" not in page


def test_those_who_work_here_compare_what_is_not_in_the_window_too(client, technician, two):
    third = make.make_instrument(maker="Lavergnolle")
    client.force_login(technician)
    answer = ask(client, two[0], third)
    assert "Here in the shop" in words_of(answer) and "Not in the window" in words_of(answer)
    assert cells(answer, "Price")[1] == ("No price yet",)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (("26-001",), "Choose one more, or up to three."),
        (("26-001", "99-999"), "One of those you chose is not in the window any more. Choose at least two."),
        (("a", "b"), "Some of those you chose are not in the window any more. Choose at least two."),
        (("26-001", "26-002", "99-999"), "One of those you chose is not in the window any more."),
        (("\x00", "9" * 400, "26-001"), "Choose at least two."),
    ],
)
def test_a_choice_that_cannot_be_compared_gets_a_sentence(stranger, two, asked, sentence):
    answer = ask(stranger, *asked)
    assert answer.status_code == 200 and sentence in words_of(answer)


def test_what_left_the_window_is_compared_no_more(stranger, two):
    withdraw_listing(listing=two[1].listing, by=make.somebody())
    assert ask(stranger, *two).context["comparison"] is None


def test_of_five_the_first_four_are_compared(stranger, two):
    five = [*two, *(listed(f"Maker {letter}") for letter in "ABC")]
    answer = ask(stranger, *five)
    assert [each.instrument for each in answer.context["comparison"].pianos] == five[:4]
    assert "Four at most can be compared; the first 4 are below." in words_of(answer)


def test_the_queries_of_a_comparison_are_bounded(stranger, two):
    """So many for each instrument, of which there are four at most, however long the stock is."""
    counts = []
    pianos = [*two, *(listed(f"Maker {letter}") for letter in "AB")]
    for some in (pianos[:2], pianos[:3], pianos):
        with CaptureQueriesContext(connection) as asked:
            ask(stranger, *some)
        counts.append(len(asked))
    assert counts[2] - counts[1] == counts[1] - counts[0] <= 32
    assert counts[2] <= 150


def test_a_recording_is_played_and_heard_beside_the_others(stranger, two):
    recording = make_recording(instrument=two[0], is_public=True)
    make_recording(instrument=two[1], is_public=False)
    page = ask(stranger, *two).content.decode()
    assert f'src="/window/{two[0].listing.slug}/sound/{recording.pk}/"' in page
    assert page.count("<audio") == 1 and "Not recorded" in page
    assert f"/listen/?of={two[0].stock_number}&amp;of={two[1].stock_number}" in page


def test_the_paper_says_the_same_in_public_words_whoever_prints_it(client, seller, two):
    client.force_login(seller)
    answer = client.get("/compare/sheet.pdf", {"of": [each.stock_number for each in two]})
    reading = Reading(answer.content)
    for words in ("Halden & Rook", "Dornstrand", "Not measured", "122 cm", "£1,800", "What is not"):
        assert words in reading.text
    assert "In the workshop" not in reading.text and "Canary" not in reading.text
    assert reading.fonts and all(reading.fonts.values())
    assert reading.reader.metadata.author == "Our shop" and reading.kinds.count("H1") == 1


def test_without_two_the_paper_leads_to_the_page_that_says_why(stranger, two):
    answer = stranger.get("/compare/sheet.pdf", {"of": two[0].stock_number}, follow=True)
    assert "Choose one more, or up to three." in words_of(answer)


def test_the_drawings_of_all_are_to_one_scale(two):
    grand = make.make_instrument(kind="grand", length_cm=Decimal(240))
    drawn = to_one_scale([subject_of(each) for each in (*two, grand)])
    assert len({(each.width, each.height, each.left, each.top) for each in drawn}) == 1
    assert drawn[0].width > 240


def test_the_compasses_stand_over_one_another_key_by_key():
    drawing = compasses([Compass("One", 1, 85), Compass("Two", -8, 97)])
    first, second = (
        shape for shape in drawing.shapes if getattr(shape, "fill", "") and hasattr(shape, "radius")
    )
    assert (first.x - second.x) == 9 * 10 and second.width == 970
    assert "One: 85 keys, A0 to A7." in drawing.description


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_the_paper_prints_hostile_words_as_they_are(text):
    said = Said((f"(0{text})",), f"(1{text})")
    paper = ComparisonPaper(
        shop=Party(f"(2{text})"),
        printed_on=date(2026, 4, 14),
        names=(f"(3{text})", "b"),
        headlines=(f"(4{text})", ""),
        lines=(Line("Price", (said, said)),),
    )
    reading = Reading(build_comparison(paper))
    assert (reading.picture_count, reading.annotation_count) == (0, 0)
    for number in range(5):
        for line in f"({number}{text})".splitlines():
            faces = {squeeze(printable(line, font)) for font in fonts.FILES}
            assert any(words in reading.squeezed for words in faces), (number, line)
    assert build_comparison(paper) == reading.pdf
