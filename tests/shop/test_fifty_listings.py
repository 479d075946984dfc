"""Every sentence of fifty drafted listings rests on a row of its instrument; what is hidden is nowhere."""

import json
import re

import pytest

from instruments.calc.wording import RELATIONS
from instruments.models import Finding, Statement, Weighing
from shop.actions.listing import draft_listing, drafted_words, published_words
from shop.calc.drafting import Sentence
from shop.calc.voice import house_words
from shop.drafts import drafted
from shop.facts import touch_after_work
from shop.models import ShopProfile
from tests import make
from tests.make_listing import make_varied
from workorders.currency import price_in_words
from workorders.models import WorkItem
from workorders.summary import work_done_on

pytestmark = pytest.mark.django_db

FIFTY = 50
# The words of the writer itself: whatever else stands in a sentence has to stand in its record.
HOUSE = " ".join(
    [
        *(each["text"] for each in house_words()["sentences"]),
        *RELATIONS.values(),
        "Its condition has not been examined. Upright, maker unknown. between and the of about in probably",
        "we have seen no paper; what we found leaves it open; agrees with it; it is not proven",
        "We were told that the following. told us. A mark in the instrument reads suggests. We saw.",
        "A document shows says. We infer because. one two three four five more days",
        "It is cm tall long wide deep; it weighs about kg. Case: Key coverings: naturals sharps",
        "keys notes pedals pedal not made were top",
    ]
)


def words_of(text: str) -> set[str]:
    return set(re.findall(r"[^\W_]+", text.casefold()))


def words_of_the_record(instrument, record: str) -> str:
    """What the row itself holds, read without the writer's help. KeyError for a record of no known kind."""
    kind, _, key = record.partition(" ")
    ask = {
        "identity": lambda: _identity(instrument),
        "clearance": lambda: str(instrument.clearances.get().reference) + " Ivory registration",
        "condition": lambda: " ".join(
            f"{each.get_part_display()} {each.get_condition_display()}"
            for each in instrument.findings.current()
        ),
        "work": lambda: " ".join(each.name for each in work_done_on(instrument)),
        "price": lambda: price_in_words(instrument.asking_prices.first().amount_minor),
        "terms": lambda: str(ShopProfile.current().trial_days),
        "statement": lambda: _row(Statement, instrument, key, "text", "source_note", "dated_words"),
        "finding": lambda: _finding(instrument, key),
        "item": lambda: _item(instrument, key),
        "weighing": lambda: (
            f"{Weighing.objects.get(pk=key, instrument=instrument)} {touch_after_work(instrument)}"
        ),
    }
    return ask[kind]()


IDENTITY = (
    *("maker_name", "kind", "serial", "serial_read_at", "name_on_fall", "made_words", "made_basis_words"),
    *("compass_words", "height_cm", "length_cm", "width_cm", "weight_kg", "pedals", "case_finish"),
)
CHOICES = ("stringing", "damping", "frame", "case_wood", "natural_covering", "sharp_covering")


def _identity(instrument) -> str:
    shown = [getattr(instrument, f"get_{name}_display")() for name in CHOICES]
    return " ".join(str(each) for each in [*(getattr(instrument, name) for name in IDENTITY), *shown])


def _row(model, instrument, key: str, *names) -> str:
    row = model.objects.get(pk=key, instrument=instrument)
    return " ".join(str(getattr(row, name)) for name in names)


def _finding(instrument, key: str) -> str:
    row = Finding.objects.get(pk=key, instrument=instrument)
    return f"{row.get_part_display()} {row.get_condition_display()} {row.note}"


def _item(instrument, key: str) -> str:
    row = WorkItem.objects.get(pk=key, order__instrument=instrument)
    return (
        f"{row.name} {row.result} {row.measured} {row.closed_at:%-d %B %Y}"
        if row.closed_at
        else f"{row.name} {row.result}"
    )


def untraced(instrument, sentences: list[Sentence]) -> list[tuple[str, set[str]]]:
    """Sentences with the words in them that neither the writer nor the record they name has."""
    allowed = words_of(HOUSE)
    found = []
    for sentence in sentences:
        beyond = (
            words_of(sentence.text) - allowed - words_of(words_of_the_record(instrument, sentence.record))
        )
        if beyond:
            found.append((sentence.text, beyond))
    return found


def test_every_sentence_of_fifty_listings_traces_to_its_record_and_tells_nothing_hidden(owner):
    sentences = hidden = standing = 0
    for seed in range(FIFTY):
        instrument, planted = make_varied(seed, owner)
        written = drafted(instrument)
        told = json.dumps(drafted_words(instrument)).casefold()
        assert untraced(instrument, written.every) == [], seed
        assert [canary for canary in planted.hidden if canary.casefold() in told] == [], seed
        assert [canary for canary in planted.standing if canary.casefold() not in told] == [], seed
        sentences += len(written.every)
        hidden += len(planted.hidden)
        standing += len(planted.standing)
    assert sentences > 1_000 and hidden > 100 and standing > 75


def test_control_what_stands_is_told_in_the_listing_and_as_published(owner):
    instrument, _ = make_varied(7, owner)
    make.make_statement(instrument=instrument, by=owner, text="canaryplanted", grade="seen", is_public=True)
    listing = draft_listing(instrument=instrument, by=owner)
    assert "canaryplanted" in listing.history_words
    assert "canaryplanted" in listing.print_words
    assert "canaryplanted" in json.dumps(published_words(listing))


def test_control_a_sentence_with_one_word_too_many_is_not_traced(owner):
    instrument, _ = make_varied(7, owner)
    first = drafted(instrument).headline_from
    more = Sentence(f"{first.text}, restored", first.source, first.record)
    assert untraced(instrument, [more]) == [(more.text, {"restored"})]


def test_a_hidden_word_published_by_hand_is_found_by_the_same_search(owner):
    """The search for canaries would see one: contradicted afterwards, it leaves what is published."""
    instrument, _ = make_varied(7, owner)
    story = make.make_statement(instrument=instrument, by=owner, text="canaryfalls", is_public=True)
    listing = draft_listing(instrument=instrument, by=owner)
    assert "canaryfalls" in json.dumps(published_words(listing))
    make.make_evidence(statement=story, side="against", strength="strong", by=owner)
    assert "canaryfalls" not in json.dumps(published_words(listing))
