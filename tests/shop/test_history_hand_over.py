"""A history from the record to the paper and the public page. Every story here is invented."""

import json
import re
from datetime import date
from io import StringIO

import pytest
from django.core.files.base import ContentFile
from django.core.management import CommandError, call_command
from django.urls import reverse

from instruments.actions.evidence import add_evidence, record_sightings
from instruments.actions.findings import record_finding
from instruments.actions.tell_tales import load_tell_tales
from instruments.models import TellTale
from shop.actions.histories import issue_history
from shop.actions.listing import draft_listing, edit_listing
from shop.db.append_only import remove_guards
from shop.models import HistoryIssue, Paper
from tests import make
from tests.reading import Reading, printed

pytestmark = pytest.mark.django_db

CANARIES = ("Canary", "1,234.56", "123456")


@pytest.fixture
def instrument(owner):
    """A piano with a told claim that is public, a private one, and a seller with a name and a price."""
    instrument = make.make_instrument(made="1912~", made_basis="told", serial="31447")
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    make.make_purchase(
        instrument=instrument,
        price_minor=123_456,
        seller=make.make_person(name="Canary Seller"),
        bought_on=date(2026, 1, 5),
    )
    make.make_statement(instrument=instrument, text="It always stood in the parlour", is_public=True)
    make.make_statement(instrument=instrument, text="Canary secret of the house", dated="1930")
    make.make_statement(
        instrument=instrument, text="One family", asserts="owned", who="Canary Family", is_public=True
    )
    return instrument


@pytest.fixture
def restrung(instrument, owner):
    """A seller's claim of new strings, with the tell-tales at the bench against it."""
    statement = make.make_statement(
        instrument=instrument, text="All strings are new", topic="strings", asserts="restrung", is_public=True
    )
    load_tell_tales()
    looked_for = list(TellTale.objects.filter(question="strings"))
    seen = [each for each in looked_for if "replaced" in each.speaks_against]
    record_sightings(
        instrument=instrument, seen=seen, looked_for=looked_for, by=make.somebody(), on=make.A_DAY
    )
    return statement


def issued(instrument, owner) -> HistoryIssue:
    return issue_history(instrument=instrument, by=owner, on=make.A_DAY)


def paper(client, user, issue, form) -> str:
    client.force_login(user)
    return Reading(printed(client, reverse("shop:history_print", args=[issue.number, form])).content).text


def outputs(client, owner, instrument, listing=None) -> dict[str, str]:
    """Everything the public can get to see of it, in words."""
    listing = make.put_in_window(listing or draft_listing(instrument=instrument, by=owner), by=owner)
    issue = issued(instrument, owner)
    papers = {form: paper(client, owner, issue, form) for form in ("history", "short")}
    sheet = reverse("shop:listing_sheet", args=[instrument.stock_number])
    papers["sheet"] = Reading(client.get(sheet).content).text
    client.logout()
    pages = {
        "listing": client.get(listing.get_absolute_url()).content.decode(),
        "history page": client.get(issue.get_absolute_url()).content.decode(),
    }
    data = {f"data of the {name}": " ".join(words_in(data_of(page))) for name, page in pages.items()}
    return papers | pages | data


def data_of(page: str) -> dict:
    """The structured data of a page, read as a machine reads it."""
    (block,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', page, re.DOTALL)
    return json.loads(block)


def words_in(value) -> list[str]:
    if isinstance(value, dict | list):
        return [
            word for each in (value.values() if isinstance(value, dict) else value) for word in words_in(each)
        ]
    return [value]


def test_every_public_output_words_what_is_told_as_told(client, owner, instrument):
    for name, words in outputs(client, owner, instrument).items():
        assert re.search(r"[Ww]e were told that it always stood in the parlour", words), name
        assert "we have seen no paper" in words, name


def test_no_public_output_carries_a_private_statement_a_name_or_a_price_paid(client, owner, instrument):
    read = outputs(client, owner, instrument) | {"window": client.get(reverse("window")).content.decode()}
    for name, words in read.items():
        assert [canary for canary in CANARIES if canary in words] == [], name


def test_every_public_output_is_among_those_read_back(client, owner, instrument):
    assert set(outputs(client, owner, instrument)) == {
        *("sheet", "history", "short"),
        *("listing", "history page"),
        *("data of the listing", "data of the history page"),
    }


def test_a_date_only_told_is_no_production_date_for_machines(client, owner, instrument):
    listing = make.put_in_window(draft_listing(instrument=instrument, by=owner), by=owner)
    found = data_of(client.get(listing.get_absolute_url()).content.decode())
    assert "productionDate" not in found
    (made,) = [each for each in found["additionalProperty"] if each["name"].startswith("Made")]
    assert made["description"].startswith("as told to us")
    assert found["offers"]["price"] == "1800.00"


def test_no_public_output_dates_it_more_firmly_than_its_source(client, owner, instrument):
    """Everywhere but in the facts, where the basis stands beside the date, it is said to be of about 1912."""
    read = outputs(client, owner, instrument) | {"window": client.get(reverse("window")).content.decode()}
    for name, words in read.items():
        assert "said to be of about 1912" in " ".join(words.split()), name
        assert not re.search(r"(?<!said to be) of about 1912", " ".join(words.split())), name


def test_words_that_name_a_seller_or_a_teller_reach_no_public_output(client, owner, instrument):
    make.make_statement(instrument=instrument, text="Mr Canary Seller sold it", is_public=True)
    words = {"headline": "From Canary Seller himself", "faults": "As Canary Seller says"}
    edit_listing(listing=draft_listing(instrument=instrument, by=owner), by=owner, **words)
    for name, read in outputs(client, owner, instrument, listing=instrument.listing).items():
        assert "Canary" not in read, name


def test_what_did_not_bear_testing_is_said_without_the_claim(client, owner, restrung):
    issue = issued(restrung.instrument, owner)
    page = client.get(issue.get_absolute_url()).content.decode()
    for words in (paper(client, owner, issue, "history"), page):
        assert "Something was said of its strings that did not bear testing. What we found instead:" in words
        assert "All strings are new" not in words


def test_a_private_claim_that_did_not_bear_testing_is_not_mentioned(owner, instrument):
    private = make.make_statement(instrument=instrument, text="New hammers", topic="hammers")
    add_evidence(statement=private, side="against", strength="strong", note="Canary", by=owner)
    assert "did not bear testing" not in str(issued(instrument, owner).content)


def test_notes_on_evidence_stay_with_us(owner, instrument):
    said = make.make_statement(instrument=instrument, text="New hammers", topic="hammers", is_public=True)
    add_evidence(statement=said, side="against", strength="strong", note="Canary wrote to us", by=owner)
    (tested,) = issued(instrument, owner).content["tested"]
    assert "Canary" not in tested
    assert "our file" in tested


def test_owners_stand_in_their_order_without_a_name(owner, instrument):
    said = {"asserts": "owned", "who": "Canary Widow", "is_public": True}
    make.make_statement(instrument=instrument, text="A widow had it", dated="1950/1960", **said)
    assert "Canary" not in issued(instrument, owner).content["owners"]
    assert "Possibly private owner, between 1950 and 1960" in issued(instrument, owner).content["owners"]


def test_what_was_not_examined_is_named(owner, instrument):
    record_finding(instrument=instrument, part="hammers", condition="sound", by=owner, on=make.A_DAY)
    content = issued(instrument, owner).content
    assert content["examined"][0]["part"] == "Hammers"
    assert "Hammers" not in content["not_examined"]
    assert "Bridges" in content["not_examined"]


def test_the_page_says_that_the_record_stands(client, owner, instrument):
    issue = issued(instrument, owner)
    answer = client.get(issue.get_absolute_url())
    assert "The record stands as printed." in answer.content.decode()
    assert issue.sha256 in answer.content.decode()
    assert answer["Referrer-Policy"] == "no-referrer"


def test_the_page_says_when_the_record_changed_and_in_what(client, owner, instrument):
    issue = issued(instrument, owner)
    make.make_statement(instrument=instrument, text="A tuner's card was found", grade="seen", is_public=True)
    page = client.get(issue.get_absolute_url()).content.decode()
    assert "The record has changed since this was printed, last on" in page
    assert "what is said of it" in page
    assert "Ask the shop for a newer one." in page
    assert "tuner" not in page


def test_the_page_says_that_a_newer_history_exists(client, owner, instrument):
    issue = issued(instrument, owner)
    make.make_statement(instrument=instrument, text="A tuner's card was found", grade="seen", is_public=True)
    newer = issued(instrument, owner)
    page = client.get(issue.get_absolute_url()).content.decode()
    assert f"A newer history, {newer.number}, was issued on" in page
    assert newer.token not in page


def test_a_private_statement_leaves_an_issued_history_standing(client, owner, instrument):
    issue = issued(instrument, owner)
    make.make_statement(instrument=instrument, text="Between ourselves")
    assert "The record stands as printed." in client.get(issue.get_absolute_url()).content.decode()


def test_an_unknown_token_is_a_404(client, db):
    assert client.get(reverse("history_public", args=["0" * 32])).status_code == 404


def test_its_photographs_are_shown_by_its_token_alone(client, owner, instrument):
    issue = issued(instrument, owner)
    mine, other = instrument.photos.get(), make.make_photo(colour="navy")
    assert client.get(reverse("history_photo", args=[issue.token, mine.pk, "page"])).status_code == 200
    assert client.get(reverse("history_photo", args=[issue.token, other.pk, "page"])).status_code == 404
    assert client.get(reverse("history_photo", args=[issue.token, mine.pk, "original"])).status_code == 404


def test_issuing_from_the_page_happens_once(client, seller, instrument):
    client.force_login(seller)
    address = reverse("shop:history_hand_over", args=[instrument.stock_number])
    token = re.search(r'name="(\w*token)" value="(\w{32})"', client.get(address).content.decode())
    for _ in range(2):
        client.post(address, {token[1]: token[2]})
    assert HistoryIssue.objects.count() == 1


def test_a_paper_is_printed_once_and_handed_out_again_byte_for_byte(client, seller, instrument):
    issue = issued(instrument, seller)
    client.force_login(seller)
    address = reverse("shop:history_print", args=[issue.number, "history"])
    first = printed(client, address).content
    make.make_statement(instrument=instrument, text="Something new", is_public=True)
    assert printed(client, address).content == client.get(address).content == first
    assert Paper.objects.get().facts["content_sha256"] == issue.sha256


def test_a_form_of_paper_that_there_is_not_is_a_404(client, seller, instrument):
    client.force_login(seller)
    issue = issued(instrument, seller)
    assert client.get(reverse("shop:history_print", args=[issue.number, "poster"])).status_code == 404


def test_a_history_changed_outside_the_program_is_found_and_said(client, owner, instrument):
    issue = issued(instrument, owner)
    remove_guards(using="default")
    HistoryIssue.objects.update(content=issue.content | {"maker": "Thursby & Lund"})
    told = StringIO()
    with pytest.raises(CommandError):
        call_command("verify", stdout=told)
    assert f"shop.historyissue {issue.pk}: its words are not those it was issued with." in told.getvalue()
    assert "This page is not what was issued." in client.get(issue.get_absolute_url()).content.decode()


def test_a_flipped_byte_in_a_printed_history_is_found(client, seller, instrument):
    issue = issued(instrument, seller)
    paper(client, seller, issue, "short")
    kept = Paper.objects.get()
    with kept.file.open("rb") as opened:
        content = bytearray(opened.read())
    content[200] ^= 1
    kept.file.storage.delete(kept.file.name)
    kept.file.storage.save(kept.file.name, ContentFile(bytes(content)))
    told = StringIO()
    with pytest.raises(CommandError):
        call_command("verify", stdout=told)
    assert (
        f"shop.paper {kept.pk}, {kept.file.name}: the file is not the one that was kept." in told.getvalue()
    )
