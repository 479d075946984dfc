import subprocess
import sys
from dataclasses import replace
from datetime import date

import pytest

from instruments.documents import fonts
from instruments.documents.content import DoneItem, Fact, Party, Photo
from instruments.documents.text import printable
from instruments.drawings.keyboard import keyboard_drawing
from instruments.drawings.shapes import Drawing
from shop.documents.listing_sheet import ListingSheet, build_listing_sheet
from tests.drawn import jpeg
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading, squeeze

PHOTOS = tuple(
    Photo(jpeg(400, 300, shade=60 + 20 * n), f"View {n}", f"The piano, view {n}") for n in range(8)
)
SHEET = ListingSheet(
    shop=Party("Castlemere Pianos", "4 Tannery Yard\nCastlemere", ("01632 960 114",)),
    maker="Halden & Rook",
    sentence="An overstrung underdamper of about 1912, 122 cm tall, in walnut, with 85 keys.",
    price="£2,950",
    price_note="delivered within 20 miles",
    stock_number="26-014",
    printed_on=date(2026, 4, 14),
    facts=(
        Fact("Made", "about 1912", "date pencilled on key 1"),
        Fact("Serial", "31 447", "on the frame, photographed"),
        Fact("Key tops", "celluloid", "seen"),
    ),
    paragraphs=("The last owner says that it stood in one family from 1921; we have seen no paper.",),
    done=(DoneItem("Touch weight set key by key", date(2026, 4, 8), "52 g to 48 g, within 2 g"),),
    not_done=("Strings cleaned, not replaced.",),
    faults=("Hairline in the soundboard; it does not buzz.",),
    not_examined=("The pins of the lowest octave.",),
    compass="85 keys, A0 to A7: the top three notes were not made.",
    photos=PHOTOS[:3],
    trial="Take it home for up to six weeks.",
    guarantee="One year on pins, action and our own work.",
    delivery="Ground floor within 20 miles included.",
    cautions=("Dates rest on what is named under them.",),
    public_address="https://castlemere.example/window/26-014",
)


def printed(**changes) -> Reading:
    return Reading(build_listing_sheet(replace(SHEET, **changes)))


def keyboard() -> Drawing:
    return keyboard_drawing(1, 85)


@pytest.fixture(scope="module")
def sheet() -> Reading:
    return printed(keyboard=keyboard())


@pytest.mark.parametrize(
    "words",
    [
        "Castlemere Pianos",
        "4 Tannery Yard, Castlemere · 01632 960 114",
        "Stock number 26-014",
        "Halden & Rook",
        "£2,950",
        "An overstrung underdamper of about 1912",
        "Made about 1912 date pencilled on key 1",
        "85 keys, A0 to A7: the top three notes were not made.",
        "we have seen no paper",
        "What we did – Touch weight set key by key 8 April 2026 · 52 g to 48 g, within 2 g",
        "What we did not do – Strings cleaned, not replaced.",
        "Faults you should know of – Hairline in the soundboard",
        "Not examined – The pins of the lowest octave.",
        "At home, on trial Take it home for up to six weeks.",
        "Guarantee One year on pins",
        "Delivery Ground floor",
        "Dates rest on what is named under them.",
        "https://castlemere.example/window/26-014",
        "14 April 2026",
        "1 of 1",
    ],
)
def test_listing_sheet_says(sheet, words):
    assert words in sheet.text


def test_listing_sheet_of_ordinary_length_is_one_page(sheet):
    assert sheet.page_count == 1


def test_listing_sheet_holds_only_our_fonts(sheet):
    assert all(sheet.fonts.values())
    assert not [name for name in sheet.fonts if "Helvetica" in name or "Times" in name]


def test_listing_sheet_shows_the_photographs_and_draws_the_rest(sheet):
    figures = [alt for kind, alt in sheet.elements if kind == "Figure"]
    assert sheet.picture_count == 3
    assert figures == [
        "The piano, view 0",
        "The piano, view 1",
        "The piano, view 2",
        "Drawing of the keyboard. 85 keys, A0 to A7: the top three notes were not made.",
        "QR code for https://castlemere.example/window/26-014",
    ]


def test_listing_sheet_begins_with_the_name_as_its_title(sheet):
    assert sheet.kinds.count("H1") == 1
    assert sheet.reader.metadata.title == "Halden & Rook, stock 26-014"
    assert sheet.reader.metadata.author == "Castlemere Pianos"


@pytest.mark.parametrize("count", range(9))
def test_listing_sheet_takes_any_number_of_photographs_on_two_pages(count):
    reading = printed(photos=PHOTOS[:count])
    assert reading.picture_count == count
    assert reading.page_count <= 2
    assert all(f"View {n}" in reading.text for n in range(count))


def test_listing_sheet_with_much_to_tell_has_the_work_on_its_back():
    front, back = printed(
        facts=SHEET.facts * 3,
        paragraphs=SHEET.paragraphs * 5,
        done=SHEET.done * 14,
        faults=SHEET.faults * 5,
    ).page_texts
    assert "The last owner says" in front
    assert "What we did" not in front
    assert "What we did" in back
    assert "Halden & Rook, stock 26-014, continued" in back


def test_listing_sheet_with_more_photographs_than_its_front_takes_keeps_to_two_pages():
    """The last of them gets smaller before it gets a page to itself."""
    long = tuple(
        DoneItem(f"Work number {n}: as a line of ordinary length", date(2026, 4, 8)) for n in range(34)
    )
    reading = printed(photos=PHOTOS[:4], paragraphs=SHEET.paragraphs * 4, done=long)
    assert (reading.page_count, reading.picture_count) == (2, 4)


def test_listing_sheet_leaves_no_fact_alone_in_a_row():
    fact = Fact("Made", "about 1912", "pencilled on key 1")
    heights = [height for words, _, height, _ in printed(facts=(fact,) * 9).places(0) if words == "Made"]
    assert sorted(heights.count(each) for each in set(heights)) == [4, 5]


def test_listing_sheet_with_only_the_needful_prints():
    bare = ListingSheet(
        shop=Party("Castlemere Pianos"),
        maker="Maker unknown",
        sentence="",
        price="",
        stock_number="26-001",
        printed_on=date(2026, 4, 14),
    )
    reading = Reading(build_listing_sheet(bare))
    assert reading.page_count == 1
    assert "Maker unknown" in reading.text
    assert "What we did" not in reading.text
    assert reading.kinds.count("Figure") == 0


def test_listing_sheet_with_a_very_long_name_prints_it_whole():
    name = "Thursby & Lund and the Successors of the Late Orrin Vale of Castlemere and Vale Regis, Limited"
    assert squeeze(name) in printed(maker=name).squeezed


def test_listing_sheet_prints_an_address_no_code_can_hold_in_words_alone():
    reading = printed(public_address="https://castlemere.example/" + "x" * 4_000)
    assert "x" * 4_000 in reading.squeezed
    assert "QR code" not in str(reading.elements)


def test_listing_sheet_is_the_same_file_when_printed_again():
    first = build_listing_sheet(replace(SHEET, keyboard=keyboard()))
    assert first == build_listing_sheet(replace(SHEET, keyboard=keyboard()))


def test_listing_sheet_with_other_words_bears_another_hash():
    def digest(reading):
        return reading.text.partition("content ")[2][:19]

    assert digest(printed()) != digest(printed(price="£2,900"))


NOT_PRINTED = 20  # the words for those who cannot see the photograph


def everywhere(text: str) -> tuple[ListingSheet, int]:
    """A sheet with the text, numbered, in every place that takes words; and how many places that is."""
    places = iter(range(1_000))

    def place() -> str:
        return f"({next(places)} {text} )"

    sheet = ListingSheet(
        shop=Party(place(), place(), (place(),)),
        maker=place(),
        sentence=place(),
        price=place(),
        price_note=place(),
        stock_number=place(),
        printed_on=date(2026, 4, 14),
        facts=(Fact(place(), place(), place()),) * 2,
        paragraphs=(place(), place()),
        done=(DoneItem(place(), None, place()),),
        not_done=(place(),),
        faults=(place(),),
        not_examined=(place(),),
        compass=place(),
        photos=(Photo(PHOTOS[0].jpeg, place(), place()),),
        trial=place(),
        guarantee=place(),
        delivery=place(),
        cautions=(place(),),
        public_address=place(),
    )
    return sheet, next(places)


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_listing_sheet_prints_hostile_words_as_they_are(text):
    sheet, places = everywhere(text)
    reading = Reading(build_listing_sheet(sheet))
    found = reading.squeezed.replace(",", "")  # the lines of an address are joined by commas
    for number in set(range(places)) - {NOT_PRINTED}:
        for line in f"({number} {text} )".splitlines():
            faces = {squeeze(printable(line, font)).replace(",", "") for font in fonts.FILES}
            assert any(words in found for words in faces), (number, line)
    assert (reading.picture_count, reading.annotation_count) == (1, 0)
    assert "\u25a0" not in reading.text
    assert all(reading.fonts.values())


def test_listing_sheet_prints_twenty_thousand_characters_on_further_pages():
    words = " ".join(f"word{number:04d}" for number in range(2_200))
    reading = printed(paragraphs=(words,), trial=words, faults=(words,))
    assert reading.page_count > 5
    for number in range(2_200):
        assert reading.squeezed.count(f"word{number:04d}") == 3


def test_listing_sheet_data_needs_no_printer():
    code = "import sys, shop.documents.listing_sheet; sys.exit('reportlab' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
