"""A clearance, what it opens, and when it ends. Sources: CHECKS section 7; Ivory Act 2018 ss 1, 8, 10, 11."""

from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from instruments.models import Document, Instrument
from instruments.problems import Blocked
from shop.actions.clearances import record_clearance
from shop.actions.promises import place_hold
from shop.actions.sales import sell
from shop.actions.trials import exchange_trial
from shop.models import Clearance, Listing, ShopProfile
from shop.protected import protected_file_of, verdict_of
from shop.protected_problems import protected_material_problems
from tests import make
from tests.reading import Reading
from tests.scans import pdf_upload

pytestmark = pytest.mark.django_db

ON = make.A_DAY
EARLIER, LATER = ON - timedelta(days=30), ON + timedelta(days=30)
REGISTERED = {"paper": "registration", "reference": "QX-1", "in_name_of": "shop", "issued_on": ON}
MEASURES = {
    "pieces": 52,
    "head_length_mm": "50",
    "head_width_mm": "23",
    "tail_length_mm": "95",
    "tail_width_mm": "13",
    "thickness_mm": "0.7",
}


def ivory(**fields) -> Instrument:
    fields = {"natural_covering": "ivory", "sharp_covering": "ebony", "made": "1912"} | fields
    return make.make_instrument(made_basis="document", **fields)


def clear(instrument, **paper):
    return record_clearance(
        instrument=instrument, by=make.somebody(), found="two-piece heads", how="under a lamp", **paper
    )


def buy(instrument, on: date):
    return make.make_purchase(instrument=instrument, bought_on=on)


def level(instrument, act="offering") -> str:
    return verdict_of(Instrument.objects.get(pk=instrument.pk), act).level


# Section 7, test 5: the seller registers; on sale that ceases; the shop registers again before listing it.
def test_registration_by_the_seller_lets_us_buy_and_ends_when_we_have_bought():
    piano = ivory()
    assert level(piano, "buying") == "blocked"
    clear(piano, **REGISTERED | {"in_name_of": "seller", "issued_on": EARLIER})
    assert level(piano, "buying") == "cautioned"
    buy(piano, ON)
    (problem,) = protected_material_problems(piano, act="offering")
    assert "QX-1, was the seller’s and ended when the shop bought the piano" in problem.sentence
    clear(piano, **REGISTERED | {"reference": "QX-2"})
    assert level(piano) == "free"


def test_registration_of_ours_from_before_the_purchase_does_not_stand():
    piano = ivory()
    buy(piano, LATER)
    clear(piano, **REGISTERED)
    assert level(piano) == "blocked"


def test_registration_ends_with_the_sale():
    piano = ivory()
    clear(piano, **REGISTERED)
    assert level(piano, "selling") == "cautioned"
    sell(instrument=piano, person=make.make_person(), price_minor=90_000, by=make.somebody(), on=LATER)
    assert "ended when the piano was sold" in protected_file_of(piano).ended("offering")


def test_every_act_of_dealing_is_refused_without_a_registration():
    piano, other, person = ivory(), make.make_instrument(), make.make_person()
    by = make.somebody()
    with pytest.raises(Blocked, match="kept for sale or even advertised"):
        place_hold(instrument=piano, person=person, until=LATER, by=by, on=ON)
    with pytest.raises(Blocked, match="lent on a paid trial"):
        make.make_running_trial(instrument=piano)
    with pytest.raises(Blocked, match="may not be sold"):
        sell(instrument=piano, person=person, price_minor=90_000, by=by, on=ON)
    trial = make.make_running_trial(instrument=other)
    with pytest.raises(Blocked, match="part exchange"):
        exchange_trial(trial=trial, other=piano, other_price_minor=90_000, by=by, on=ON)


def test_exchange_looks_at_the_instrument_that_comes_back_too():
    piano, other = ivory(), make.make_instrument()
    clear(piano, **REGISTERED)
    trial = make.make_running_trial(instrument=piano)
    clear(piano, note="The reference was another piano's.")
    with pytest.raises(Blocked, match="part exchange"):
        exchange_trial(trial=trial, other=other, other_price_minor=90_000, by=make.somebody(), on=ON)


def test_unsettled_covering_counts_as_ivory_and_walrus_is_free_to_offer_with_care():
    assert level(ivory(natural_covering="unknown")) == "blocked"
    walrus = ivory()
    clear(walrus, key_ivory="walrus_ivory")
    assert level(walrus) == "cautioned"


def test_case_of_unsettled_rosewood_is_stopped_at_the_border_alone():
    piano = make.make_instrument(case_wood="rosewood")
    assert (level(piano), level(piano, "exporting")) == ("free", "blocked")
    clear(piano, rosewood="dalbergia_other")
    assert level(piano, "exporting") == "free"


PAPERS = {
    "nothing": None,
    "none in it": {"no_protected_material": True},
    "of unknown kind": {"reference": "Q"},
    "of unknown kind, dated": {"reference": "Q", "issued_on": ON},
    "registered": REGISTERED,
    "the seller's": REGISTERED | {"in_name_of": "seller"},
    "no day": REGISTERED | {"issued_on": None},
    "certificate": REGISTERED | {"paper": "certificate"},
    "exemption": REGISTERED | {"paper": "exemption"},
    "made too late": REGISTERED | {"made": "1980"},
    "1950s": REGISTERED | {"made": "195X"},
    "1950s, certified": REGISTERED | {"made": "195X", "certificate": "A10"},
    "added too late": REGISTERED | {"added_taken": "1980"},
    "walrus": {"key_ivory": "walrus_ivory"},
    "inlaid": {"inlay_ivory": "listed_ivory"},
    "walrus, inlaid": {"key_ivory": "walrus_ivory", "inlay_ivory": "elephant_ivory"},
    "inlaid, registered": REGISTERED | {"inlay_ivory": "listed_ivory"},
}
OWNED = {
    "not recorded": lambda piano: None,
    "bought before": lambda piano: buy(piano, EARLIER),
    "bought after": lambda piano: buy(piano, LATER),
    "bought, no day": lambda piano: make.make_purchase(instrument=piano),
}


@pytest.mark.parametrize("law", ["uk", "eu", "us", "other"])
def test_the_window_and_the_rule_agree(law):
    ShopProfile(pk=1, jurisdiction=law).save()
    for covering in ("celluloid", "unknown", "ivory"):
        for paper in PAPERS.values():
            for own in OWNED.values() if paper and covering == "ivory" else [OWNED["not recorded"]]:
                piano = ivory(natural_covering=covering, made="1979" if paper is REGISTERED else "1912")
                own(piano)
                if paper is not None:
                    clear(piano, **paper)
                Listing.objects.create(instrument=piano, slug=uuid4().hex, state="published")
    shown = {listing.instrument_id for listing in Listing.objects.in_window()}
    assert shown == {piano.pk for piano in Instrument.objects.all() if level(piano) != "blocked"}
    left = {listing.instrument_id for listing in Listing.objects.left_for_want_of_a_paper()}
    assert left == {piano.pk for piano in Instrument.objects.all() if level(piano) == "blocked"}
    assert shown


def test_black_keys_of_ivory_alone_take_a_listing_out_of_the_window():
    piano = ivory(natural_covering="celluloid", sharp_covering="ivory")
    listing = Listing.objects.create(instrument=piano, slug="a", state="published")
    assert [*Listing.objects.left_for_want_of_a_paper()] == [listing]


def test_window_lets_a_listing_go_when_the_piano_was_bought_after_its_registration(client, seller):
    piano = ivory()
    clear(piano, **REGISTERED)
    make.make_price(instrument=piano)
    make.make_photo(instrument=piano)
    Listing.objects.create(
        instrument=piano,
        slug="a",
        state="published",
        headline="An upright",
        first_published_at=timezone.now(),
    )
    assert client.get("/window/a/").status_code == 200
    buy(piano, LATER)
    assert client.get("/window/a/").status_code == 404
    client.force_login(seller)
    assert "its clearance does not stand" in client.get("/").content.decode()
    assert "ended with it" in client.get(piano.get_absolute_url()).content.decode()


def send(client, piano, **fields):
    fields = {"form_token": uuid4().hex, "found": "two-piece heads", "how": "under a lamp"} | fields
    return client.post(f"/stock/{piano.stock_number}/clearance/", fields)


def test_clearance_form_keeps_paper_scan_and_measures(client, owner):
    client.force_login(owner)
    piano = ivory()
    given = REGISTERED | {"made": "about 1912", "is_documented": "on", "dating_evidence": "bill"} | MEASURES
    answer = send(client, piano, new_scan=pdf_upload(), scan_is_private="on", **given)
    assert answer.url == f"/stock/{piano.stock_number}/protected/"
    kept = Clearance.objects.get()
    assert (kept.made, kept.paper, kept.thickness_mm) == ("1912~", "registration", Decimal("0.7"))
    assert (kept.scan.title, kept.scan.seen_by) == ("Registration as exempt QX-1", "owner")


def test_clearance_by_somebody_who_may_not_see_the_scan_keeps_it_on_file(client, owner, seller):
    piano = ivory()
    client.force_login(owner)
    send(client, piano, new_scan=pdf_upload(), scan_is_private="on", **REGISTERED)
    client.force_login(seller)
    page = client.get(f"/stock/{piano.stock_number}/protected/").content.decode()
    assert "The scan" not in page
    send(client, piano, **REGISTERED | {"reference": "QX-2"})
    assert Clearance.objects.first().scan == Document.objects.get()


@pytest.mark.parametrize(
    ("fields", "field", "words"),
    [
        ({"reference": "QX-1"}, "paper", "kind of paper"),
        ({"paper": "registration"}, "reference", "its reference"),
        ({"reference": "Q", "paper": "registration"}, "in_name_of", "whose name"),
        ({"reference": "Q", "paper": "registration"}, "issued_on", "the day on it"),
        ({"pieces": "50"}, "head_length_mm", "all the measures"),
        (MEASURES | {"thickness_mm": "80"}, "thickness_mm", "less than or equal to 10"),
        ({"is_documented": "on"}, "dating_evidence", "which document"),
        ({"made": "long ago"}, "made", "long ago"),
        ({"found": "x" * 201}, "found", "at most 200"),
    ],
)
def test_clearance_form_says_what_is_missing_and_writes_nothing(client, owner, fields, field, words):
    client.force_login(owner)
    page = send(client, ivory(), **fields)
    assert words in " ".join(page.context["form"].errors[field])
    assert not Clearance.objects.exists()


def test_ivory_of_a_kind_wants_keys_of_ivory(client, owner):
    client.force_login(owner)
    page = send(client, make.make_instrument(), key_ivory="walrus_ivory")
    assert "Correct the identity first" in page.context["form"].errors["key_ivory"][0]


# Section 7, test 10 (derived): 86.8 cm3 and 160.6 g; about 0.07 % of some 124 litres.
def test_amount_of_ivory_is_shown_with_its_formula(client, owner):
    client.force_login(owner)
    piano = ivory(weight_kg=248)
    clear(piano, **REGISTERED | {name: Decimal(value) for name, value in MEASURES.items()})
    page = client.get(f"/stock/{piano.stock_number}/protected/").content.decode()
    for words in ("about 86.8 cm³", "about 160.6 g", "about 0.07 %", "roughly 124 litres"):
        assert words in page
    assert "52 × (50 × 23 + 95 × 13) × 0.7 mm³" in page


def test_paper_for_the_file_tells_findings_shares_papers_and_every_act(client, owner):
    client.force_login(owner)
    piano = ivory(weight_kg=248, serial="31447")
    clear(piano, **REGISTERED | {name: Decimal(value) for name, value in MEASURES.items()}, seam="seen")
    answer = client.get(f"/stock/{piano.stock_number}/protected/file.pdf")
    told = Reading(answer.content).text
    for words in (
        "Serial 31447",
        "A seam between head and tail",
        "about 86.8 cm³",
        "QX-1",
        "21 March 2026",
        "Offer or advertise it",
        "Give it away",
        "Ivory Act 2018",
        "this is not legal advice",
    ):
        assert words in told


def test_page_of_an_instrument_without_any_says_so(client, technician):
    client.force_login(technician)
    page = client.get(f"/stock/{make.make_instrument().stock_number}/protected/").content.decode()
    assert "No ivory and no protected wood is recorded in it." in page
    assert "Nobody has written an examination down yet." in page
