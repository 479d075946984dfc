"""What is said of an instrument reaches its advert only as it stands."""

from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.models import TellTale
from shop.actions.listing import draft_listing, edit_listing, publish_listing
from shop.calc.drafting import draft
from shop.facts import listing_facts
from shop.problems import listing_problems, statement_cautions
from shop.wording_problems import wording_cautions
from tests import make

pytestmark = pytest.mark.django_db


def told_story(instrument, **said):
    said = {
        "text": "New strings in 1988",
        "topic": "strings",
        "asserts": "restrung",
        "dated": "1988",
        "told_by": "Canary Seller",
        "teller": "last_owner",
        "is_public": True,
    } | said
    return make.make_statement(instrument=instrument, **said)


def history_of(instrument) -> str:
    return " ".join(sentence.text for sentence in draft(listing_facts(instrument)).history)


def test_a_story_is_drafted_by_the_tellers_relation():
    instrument = make.make_instrument()
    told_story(instrument)
    assert history_of(instrument).startswith("The last owner told us")
    assert "Canary Seller" not in history_of(instrument)


def test_a_teller_who_says_i_is_quoted_wherever_it_is_told(client, seller):
    instrument = make.make_instrument()
    told_story(instrument, text="I had new strings put on", asserts="", dated="")
    client.force_login(seller)
    page = client.get(instrument.get_absolute_url()).content.decode()
    assert history_of(instrument) == (
        "The last owner told us: “I had new strings put on”. We have seen no paper."
    )
    assert "“I had new strings put on”</span>" in page


def test_a_contradicted_story_is_drafted_nowhere():
    instrument = make.make_instrument()
    make.make_evidence(statement=told_story(instrument), side="against", strength="strong")
    assert history_of(instrument) == ""


def test_a_private_statement_is_drafted_nowhere():
    instrument = make.make_instrument()
    told_story(instrument, is_public=False)
    assert history_of(instrument) == ""


def test_a_contradicted_public_story_is_a_caution_and_no_blocker():
    instrument = make.make_instrument()
    make.make_evidence(statement=told_story(instrument), side="against", strength="strong")
    (caution,) = statement_cautions(instrument)
    assert caution in listing_problems(instrument)
    assert "is contradicted" in caution.sentence and not caution.is_blocker


def test_a_conflict_is_a_caution():
    instrument = make.make_instrument(made="1995", made_basis="document")
    told_story(instrument)
    assert "comes before it was made" in statement_cautions(instrument)[0].sentence


def worded(**words):
    listing = draft_listing(instrument=make.make_instrument(), by=make.somebody())
    return edit_listing(listing=listing, by=make.somebody(), **words)


def cautions_of(listing):
    return wording_cautions(listing, today=make.A_DAY)


def test_loaded_words_are_named_with_the_field_they_stand_in():
    cautions = cautions_of(worded(headline="Fully restored", faults="None: perfect"))
    assert [(each.link, each.is_blocker) for each in cautions] == [
        ("#id_headline", False),
        ("#id_faults", False),
    ]


def test_a_public_story_that_names_its_teller_is_drafted_nowhere_and_said_to_be():
    instrument = make.make_instrument()
    told_story(instrument, text="Canary Seller had new strings put on")
    assert history_of(instrument) == ""
    assert "names somebody who sold it or told of it" in statement_cautions(instrument)[0].sentence


def test_saved_words_that_name_the_seller_are_named_with_their_field():
    listing = worded(headline="From Canary Hand")
    make.make_purchase(instrument=listing.instrument, seller=make.make_person(name="Canary Hand"))
    (caution,) = cautions_of(listing)
    assert caution.link == "#id_headline" and "“Canary Hand” sold it" in caution.sentence


def test_saved_words_that_were_contradicted_since_are_named():
    statement = told_story(make.make_instrument())
    listing = draft_listing(instrument=statement.instrument, by=make.somebody())
    assert not any("still say" in each.sentence for each in cautions_of(listing))
    make.make_evidence(statement=statement, side="against", strength="strong")
    assert "still say “New strings in 1988”" in cautions_of(listing)[0].sentence


def test_what_is_kept_of_the_window_is_what_it_shows():
    statement = told_story(make.make_instrument())
    instrument = statement.instrument
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    listing = draft_listing(instrument=instrument, by=make.somebody())
    make.make_evidence(statement=statement, side="against", strength="strong")
    kept = publish_listing(listing=listing, by=make.somebody()).words
    assert kept["history_words"] == ""
    assert kept["headline"] == listing.headline


def test_a_sellers_story_falls_to_tell_tales_and_the_draft_changes_by_itself(client, owner):
    client.force_login(owner)
    instrument = make.make_instrument()
    number = instrument.stock_number
    make.make_tell_tale()
    story = {
        "text": "New strings in 1988",
        "topic": "strings",
        "dated": "1988",
        "asserts": "restrung",
        "grade": "told",
        "told_by": "Canary Seller",
        "teller": "last_owner",
        "is_public": "on",
    }
    client.post(reverse("instruments:statement_add", args=[number]), story | {"form_token": uuid4().hex})
    advert = reverse("shop:listing_edit", args=[number])
    assert "The last owner told us" in client.get(advert).content.decode()

    rows = TellTale.objects.filter(question="strings")
    seen = {f"tell-tale-{row.pk}-is_seen": "on" for row in rows if "replaced" in row.speaks_against}
    page = client.post(
        reverse("instruments:tell_tales", args=[number]), seen | {"form_token": uuid4().hex}, follow=True
    )
    assert "as told → contradicted" in page.content.decode()

    page = client.get(advert).content.decode()
    assert "The last owner told us" not in page and "is contradicted" in page
    assert "Contradicted" in client.get(instrument.get_absolute_url()).content.decode()
