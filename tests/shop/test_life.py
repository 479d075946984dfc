"""What stands on the life line. Every story here is invented."""

from datetime import date

import pytest

from instruments.actions.evidence import add_evidence
from shop.actions.listing import draft_listing
from shop.life import life_of, public_life_of
from tests import make
from workorders.actions.items import close_item

pytestmark = pytest.mark.django_db

TODAY = date(2026, 4, 12)


def labels(life) -> list[str]:
    return [row.entry.label for row in life.rows]


def contradict(statement) -> None:
    piece = {"side": "against", "strength": "strong", "note": "bright to the top, round rubs on the plank"}
    add_evidence(statement=statement, by=make.somebody(), **piece)


def test_a_life_runs_from_its_making_to_its_sale_in_the_order_of_time(owner):
    instrument = make.make_instrument(made="1912~", made_basis="mark")
    make.make_statement(instrument=instrument, text="It was moved here", dated="1950", grade="document")
    make.make_purchase(instrument=instrument, bought_on=date(2026, 1, 5))
    make.make_statement(instrument=instrument, text="One family", dated="1921/1950")
    assert labels(life_of(instrument, today=TODAY, with_names=True)) == [
        "Made",
        "One family",
        "It was moved here",
        "Came to us",
    ]


def test_work_done_stands_there_from_first_to_last_day(owner):
    item = make.make_item()
    close_item(item=item, result="All notes return", by=owner, on=make.A_DAY)
    (row,) = life_of(item.order.instrument, today=TODAY, with_names=True).rows
    assert row.entry.kind == "work"
    assert row.sentence == "Prepare for sale: 1 item done."


def test_a_home_trial_stands_there_without_its_customer(owner):
    trial = make.make_running_trial(person=make.make_person(name="Canary Customer"))
    life = life_of(trial.instrument, today=TODAY, with_names=True)
    assert labels(life) == ["Home trial"]
    assert "Canary" not in repr(life)


def test_what_is_told_is_drawn_as_told_and_worded_as_told():
    statement = make.make_statement(dated="1921", is_public=True)
    (row,) = public_life_of(statement.instrument, today=TODAY).rows
    assert row.entry.mark == "told"
    assert row.entry.detail == "1921, as told"
    assert row.sentence.startswith("We were told")


def test_what_did_not_bear_testing_is_struck_through_for_us_and_kept_from_the_public():
    statement = make.make_statement(text="New strings", dated="1988", is_public=True)
    contradict(statement)
    assert life_of(statement.instrument, today=TODAY, with_names=True).rows[0].entry.mark == "contradicted"
    assert public_life_of(statement.instrument, today=TODAY).rows == ()


def test_a_private_statement_a_name_a_price_and_a_trial_are_not_in_the_public_life():
    instrument = make.make_running_trial(person=make.make_person(name="Canary Customer")).instrument
    make.make_statement(instrument=instrument, text="Canary secret", dated="1930")
    make.make_statement(instrument=instrument, text="A school had it", dated="1940", is_public=True)
    make.make_purchase(
        instrument=instrument, price_minor=123_456, bought_on=TODAY, seller=make.make_person(name="Canary")
    )
    life = public_life_of(instrument, today=TODAY)
    assert labels(life) == ["A school had it", "Came to us"]
    assert "Canary" not in repr(life)
    assert "1,234" not in repr(life)


def test_a_date_only_told_is_told_so():
    (row,) = public_life_of(make.make_instrument(made="1912", made_basis="told"), today=TODAY).rows
    assert row.entry.mark == "told"
    assert row.sentence.startswith("We were told it was made then")


def test_an_open_ended_date_finds_its_place():
    statement = make.make_statement(dated="1950/..", text="It stood in the hall")
    make.make_statement(instrument=statement.instrument, dated="../1900", text="Before that a chapel")
    make.make_statement(instrument=statement.instrument, dated="", text="Nobody knows when")
    life = life_of(statement.instrument, today=TODAY, with_names=True)
    assert labels(life) == ["Before that a chapel", "It stood in the hall", "Nobody knows when"]


def test_the_page_draws_it_twice_and_tells_it_in_a_table(client, owner):
    statement = make.make_statement(dated="1921", text="It stood in a <school>")
    client.force_login(owner)
    page = client.get(statement.instrument.get_absolute_url()).content.decode()
    assert page.count('href="#life-0"') == 2
    assert page.count('id="life-0"') == 1
    assert "<school>" not in page


def test_the_public_page_has_the_public_life_alone(client, owner):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    make.make_statement(instrument=instrument, dated="1921", is_public=True)
    make.make_statement(instrument=instrument, dated="1930", text="Canary secret")
    listing = make.put_in_window(draft_listing(instrument=instrument, by=owner))
    page = client.get(listing.get_absolute_url()).content.decode()
    assert "One family from new" in page
    assert "We were told" in page
    assert "Canary" not in page


def test_a_long_life_asks_the_database_no_more(django_assert_num_queries):
    statement = make.make_statement(dated="1921")
    with django_assert_num_queries(2):
        life_of(statement.instrument, today=TODAY, with_names=True)
    for year in range(1930, 1940):
        make.make_statement(instrument=statement.instrument, dated=str(year), text=f"In {year}")
    with django_assert_num_queries(2):
        life_of(statement.instrument, today=TODAY, with_names=True)


def test_who_told_us_is_named_only_to_those_who_see_people(client, seller, technician):
    statement = make.make_statement(told_by="Canary Seller")
    address = statement.instrument.get_absolute_url()
    for user, is_named in ((seller, True), (technician, False)):
        client.force_login(user)
        page = client.get(address).content.decode()
        assert ("Canary Seller" in page) == is_named and statement.text in page
