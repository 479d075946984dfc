"""The history handed to a buyer and its card, printed and read back. Every story here is invented."""

from dataclasses import replace
from datetime import date

import pytest

from instruments.documents import fonts
from instruments.documents.content import Fact, Party, Photo
from instruments.documents.text import printable
from shop.documents.instrument_history import (
    Done,
    Examined,
    History,
    HistoryPaper,
    Lived,
    Said,
    build_history,
    build_short_history,
)
from tests.drawn import jpeg
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading, squeeze

PHOTO = Photo(jpeg(400, 300, shade=90), "From the front", "The piano from the front")
TOLD = "The last owner told us that it stood in one family; we have seen no paper."
HISTORY = History(
    stock_number="26-014",
    maker="Halden & Rook",
    kind="Upright",
    sentence="An overstrung underdamper of about 1912, with 85 keys.",
    facts=(
        Fact("Made", "about 1912", "date pencilled on key 1"),
        Fact("Serial", "31 447", "read on the frame"),
    ),
    compass="85 keys, A0 to A7; the top three notes were not made",
    first_key=1,
    key_count=85,
    life=(
        Lived("Made", "about 1912", "1912~", "firm", "statement", False, "about 1912", "Made.", "mark"),
        Lived("One family", "1921, as told", "1921", "told", "statement", False, "1921", TOLD, "Told"),
    ),
    said=(Said("Owned", TOLD, "Told"),),
    tested=("Something was said of its strings that did not bear testing.",),
    owners="possibly private owner, 1921",
    owner_notes=("the end of it is not known",),
    examined=(Examined("Hammers", "Sound", "Refaced", "4.5 mm", "24 October 2025"),),
    not_examined=("Bridges", "Frame"),
    done=(Done("Set the touch", "No lead was needed", "52 g to 48 g", "", "3 January 2026"),),
    not_done=("Re-cover the naturals: kept",),
    touch=("After work, 3 January 2026: All 85 keys are inside the curve.",),
    not_known=("Who owned it before us.",),
)
PAPER = HistoryPaper(
    history=HISTORY,
    shop=Party("Castlemere Pianos", "4 Tannery Yard", ("01632 960 114",)),
    number="H26-001",
    issued_on=date(2026, 4, 14),
    sha256="3f2a9c4177b0e2d1" * 4,
    photos=(PHOTO,),
    public_address="https://castlemere.example/history/" + "0f" * 16 + "/",
)


@pytest.fixture(scope="module")
def printed() -> Reading:
    return Reading(build_history(PAPER))


@pytest.fixture(scope="module")
def card() -> Reading:
    return Reading(build_short_history(PAPER))


@pytest.mark.parametrize(
    "words",
    [
        "History H26-001",
        "14 April 2026",
        "Halden & Rook",
        "Made about 1912 date pencilled on key 1",
        "The last owner told us that it stood in one family; we have seen no paper.",
        "One family 1921, as told",
        "What did not bear testing – Something was said of its strings",
        "possibly private owner, 1921",
        "Hammers Sound Refaced · 4.5 mm · 24 October 2025",
        "Not examined Bridges, frame.",
        "Set the touch: No lead was needed 3 January 2026 · 52 g to 48 g",
        "Re-cover the naturals: kept",
        "All 85 keys are inside the curve.",
        "From the front",
        "What is not known – Who owned it before us.",
        "https://castlemere.example/history/0f0f",
        "content 3f2a 9c41 77b0 e2d1",
    ],
)
def test_the_history_says(printed, words):
    assert words in printed.text


@pytest.mark.parametrize(
    "words",
    ["Halden & Rook", "Made: about 1912 (date pencilled on key 1)", TOLD, "History H26-001", "14 April 2026",
     "content 3f2a 9c41 77b0 e2d1", "Castlemere Pianos", "Set the touch, 3 January 2026, 52 g to 48 g"],
)  # fmt: skip
def test_the_card_says(card, words):
    assert words in card.text


def test_both_carry_a_code_that_leads_to_the_public_page(printed, card):
    alt = f"QR code for {PAPER.public_address}"
    assert ("Figure", alt) in printed.elements
    assert ("Figure", alt) in card.elements


def test_the_life_line_is_drawn_and_told_to_those_who_hear_it(printed):
    assert any(kind == "Figure" and alt.startswith("Life line. Made") for kind, alt in printed.elements)


def test_the_card_is_one_page_however_much_there_is_to_tell():
    much = replace(HISTORY, said=HISTORY.said * 40, done=HISTORY.done * 60, maker="Thursby & Lund " * 20)
    assert Reading(build_short_history(replace(PAPER, history=much))).page_count == 1


def test_a_full_card_still_says_what_did_not_bear_testing():
    short = "Something was said of its strings that did not bear testing."
    long = replace(
        HISTORY, said=HISTORY.said * 40, tested=(f"{short} What we found instead: {'rust; ' * 60}.",)
    )
    reading = Reading(build_short_history(replace(PAPER, history=long)))
    assert short in reading.text
    assert "rust" not in reading.text


def test_a_bare_history_prints():
    bare = History("26-001", "Maker unknown", "Upright", "", (), "88 keys", 1, 88)
    paper = HistoryPaper(bare, Party("Castlemere"), "H26-002", date(2026, 4, 14), "0" * 64)
    assert "ask us" in Reading(build_history(paper)).text.lower()
    assert Reading(build_short_history(paper)).page_count == 1


def test_the_same_history_prints_the_same_file():
    assert build_history(PAPER) == build_history(PAPER)
    assert build_short_history(PAPER) == build_short_history(PAPER)


def test_a_history_comes_back_from_the_record_as_it_went_in():
    assert History.from_plain(HISTORY.plain()) == HISTORY


def everywhere(text: str) -> tuple[HistoryPaper, int]:
    """A paper with the text, numbered, in every place that takes words; and how many places that is."""
    places = iter(range(1_000))

    def place() -> str:
        return f"({next(places)} {text} )"

    history = History(
        stock_number=place(),
        maker=place(),
        kind="Upright",
        sentence=place(),
        facts=(Fact(place(), place(), place()),),
        compass=place(),
        first_key=1,
        key_count=85,
        said=(Said(place(), place(), place()),),
        tested=(place(),),
        owners=place(),
        owner_notes=(place(),),
        examined=(Examined(place(), place(), place(), place(), place()),),
        done=(Done(place(), place(), place(), place(), place()),),
        not_done=(place(),),
        touch=(place(),),
        not_known=(place(),),
    )
    shop = Party(place(), place(), (place(),))
    address = place()
    paper = HistoryPaper(history, shop, place(), date(2026, 4, 14), "0" * 64, (), address)
    return paper, next(places)


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_the_history_prints_hostile_words_as_they_are(text):
    paper, places = everywhere(text)
    reading = Reading(build_history(paper))
    found = reading.squeezed.replace(",", "")
    for number in range(places):
        for line in f"({number} {text} )".splitlines():
            faces = {squeeze(printable(line, font)).replace(",", "") for font in fonts.FILES}
            assert any(words in found for words in faces), (number, line)
    assert reading.annotation_count == 0
    assert all(reading.fonts.values())


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_the_card_takes_hostile_words_on_one_page(text):
    paper, _ = everywhere(text)
    life = (Lived(text, text, "1912", "told", "statement", False, text, text, text),)
    paper = replace(paper, history=replace(paper.history, life=life))
    assert "Life line" in str(Reading(build_history(paper)).elements)
    reading = Reading(build_short_history(paper))
    assert (reading.page_count, reading.annotation_count) == (1, 0)
