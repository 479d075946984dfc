"""Erasing on request: what may go goes at once, the books stay, and the rest goes on its day."""

from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, models, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.models import Document
from instruments.problems import Blocked, Refused
from shop.actions.erasing import erase_person, remove_kept
from shop.actions.people import correct_person
from shop.calc.margin import years_later
from shop.db.append_only import install_guards, remove_guards
from shop.erasing_problems import erasing_problems
from shop.models import BookLine, Erasure, Paper, Payment, Person, Removal, ShopProfile, Trial, Wanted
from shop.person_papers import papers_of
from shop.person_rows import NOW, ROWS
from shop.retention import kept_until, still_kept
from shop.verification import Verification
from tests import make
from tests.make_care import posted
from tests.make_sale import make_sale
from tests.shop.erased_person import (
    MAIL,
    NAME,
    ON,
    WORDS,
    columns_of,
    figures,
    files_kept,
    make_somebody_known,
    tables_with,
)
from tests.shop.money_oracle import every_printed_figure_is_the_ledgers, every_sum_is_what_it_must_be
from workorders.actions.orders import open_order

pytestmark = [pytest.mark.django_db, pytest.mark.both]
LATER = date(2040, 1, 1)


@pytest.fixture
def known(owner):
    return make_somebody_known(owner)


def erase(person, by):
    return erase_person(person=person, asked_how="letter", asked_on=ON, by=by, on=ON)


def may_still_say() -> set[str]:
    """Tables of what is kept until its day, and of the versions of their rows."""
    kept = {rows.model for rows in ROWS if rows.goes != NOW}
    return {model._meta.db_table for model in kept} | {
        model.history.model._meta.db_table for model in kept if hasattr(model, "history")
    }


def books() -> str:
    out = StringIO()
    call_command("export_books", "--from", "2020-01-01", "--to", "2039-12-31", "--format", "csv", stdout=out)
    return out.getvalue()


def test_they_were_everywhere_before(known):
    said = tables_with()
    assert {"shop_person", "shop_lead", "shop_wanted", "shop_bookline", "shop_reminderattempt"} <= set(said)
    assert {"shop_paper", "shop_trial", "shop_historicalperson", "instruments_statement"} <= set(said)


def test_after_erasing_only_what_is_kept_until_its_day_says_a_word_of_theirs(known, owner):
    erase(known, owner)
    assert {table: names for table, names in tables_with().items() if table not in may_still_say()} == {}


def test_after_its_day_nothing_does(known, owner):
    papers = [paper.file.name for paper in papers_of(known)]
    assert papers and set(papers) <= files_kept()
    erase(known, owner)
    with transaction.atomic():
        remove_kept(person=known, on=LATER)
    assert tables_with() == {}


def test_every_column_that_may_hold_words_of_theirs_is_cleared(known, owner):
    """Planted in each column of each row, so that a column without a fitting act above is tried as well."""
    remove_guards(using="default")
    for rows in ROWS:
        plant = {}
        for name in rows.words:
            column = rows.model._meta.get_field(name)
            is_json = isinstance(column, models.JSONField)
            plant[name] = {"says": "canary"} if is_json else "canary"[: column.max_length or 6]
        if plant and "recipient" not in plant and rows.model.__name__ not in ("Document", "Paper"):
            keys = list(rows.of(known).values_list("pk", flat=True))
            rows.model._default_manager.filter(pk__in=keys).update(
                **{name: words for name, words in plant.items() if name not in ("telephone", "told_by")}
            )
    install_guards(using="default")
    erase(known, owner)
    assert {table: names for table, names in tables_with().items() if table not in may_still_say()} == {}
    remove_kept(person=known, on=LATER)
    assert tables_with() == {}


def test_no_figure_moves_by_erasing_nor_when_the_day_has_come(known, owner):
    before, lines = figures(), books()
    every_sum_is_what_it_must_be()
    erase(known, owner)
    assert figures() == before
    assert books() == lines
    remove_kept(person=known, on=LATER)
    assert figures() == before
    every_sum_is_what_it_must_be()
    every_printed_figure_is_the_ledgers([Person.objects.get(pk=known.pk)])
    assert BookLine.objects.filter(party="[erased]").exists()


def test_the_kept_papers_stay_byte_for_byte_until_their_day(known, owner, django_capture_on_commit_callbacks):
    kept = {paper.pk: paper.file.read() for paper in papers_of(known)}
    with django_capture_on_commit_callbacks(execute=True):
        erase(known, owner)
    assert {paper.pk: paper.file.read() for paper in Paper.objects.filter(pk__in=kept)} == kept
    assert list(Verification().faults()) == []
    with django_capture_on_commit_callbacks(execute=True):
        remove_kept(person=known, on=LATER)
    names = set(Paper.objects.filter(pk__in=kept).values_list("file", flat=True))
    assert not names & files_kept()
    assert list(Verification().faults()) == []


def test_the_pictures_they_sent_go_at_once(known, owner, django_capture_on_commit_callbacks):
    before = files_kept()
    with django_capture_on_commit_callbacks(execute=True):
        erase(known, owner)
    gone = before - files_kept()
    assert len(gone) == 2 * 5  # of two leads a picture each, as it came and in four sizes
    assert not Wanted.objects.exists()


def test_the_card_says_only_that_it_was_erased(known, owner):
    erase(known, owner)
    cards = [(card.name, card.address + card.email + card.telephone + card.note) for card in known.rows()]
    assert sorted(cards) == sorted(
        (f"Person erased on {ON:%-d %B %Y}, no. {card.pk}", "") for card in known.rows()
    )
    assert not Person.objects.search("quillfeather").exists()
    with pytest.raises(Refused, match="was erased"):
        correct_person(person=known, by=owner, name=NAME)


@pytest.mark.parametrize(
    ("open_something", "sentence"),
    [
        (lambda person, by: make.make_running_trial(person=person), "is on trial with them"),
        (lambda person, by: make.make_trial(person=person), "is drafted"),
        (lambda person, by: make_sale(person=person, by=by, on=ON), "They owe £900.00"),
        (lambda person, by: make.make_lead(person=person, by=by), "is not decided"),
        (lambda person, by: make.make_taken_in(person=person, by=by), "is with us"),
        (lambda person, by: make.make_sale_or_return(owner=person, by=by), "to be sold for them"),
    ],
)
def test_refused_while_something_is_open(owner, open_something, sentence):
    person = make.make_person()
    open_something(person, owner)
    said = [problem.sentence for problem in erasing_problems(person, on=ON) if problem.is_blocker]
    assert any(sentence in each for each in said)
    with pytest.raises(Blocked):
        erase(person, owner)
    assert Person.objects.get(pk=person.pk).name == "Wilf Arden"


def test_only_the_owner_erases(known, seller):
    with pytest.raises(Refused, match="Only the owner"):
        erase(known, seller)


def test_somebody_without_dealings_goes_whole(owner):
    person = make.make_person()
    erasure = erase(person, owner)
    assert (erasure.kind, erasure.kept_until, still_kept()) == ("whole", None, [])


def test_kept_for_the_years_of_the_terms_after_the_last_dealing(known, owner):
    shop = ShopProfile.current()
    shop.keep_years = 10
    shop.save()
    assert erase(known, owner).kept_until == kept_until(known) == years_later(ON, 10)


def test_of_somebody_who_sold_us_nothing_their_own_last_day_counts(owner):
    person = make.make_person()
    make_sale(person=person, paid=90_000, by=owner, on=ON)
    assert kept_until(person) == years_later(ON, 6)


def test_no_day_can_be_told_while_what_they_sold_us_is_here(owner):
    person = make.make_person()
    make.make_purchase(instrument=make.make_instrument(by=owner), seller=person, bought_on=ON, by=owner)
    assert erase(person, owner).kept_until is None
    with pytest.raises(Refused, match="has not come"):
        remove_kept(person=person, on=LATER)


def test_retention_says_what_it_would_do_does_it_and_does_it_once(known, owner, monkeypatch):
    erase(known, owner)
    until = kept_until(known)
    monkeypatch.setattr("shop.management.commands.retention.timezone.localdate", lambda: until)

    def run(*options) -> str:
        out = StringIO()
        call_command("retention", *options, stdout=out)
        return out.getvalue()

    assert "papers would be erased now" in run("--dry-run")
    assert not Removal.objects.filter(erasure__kind="due").exists()
    assert f"Person no. {known.pk}: what was kept until" in run()
    assert "Nothing has passed its day." in run()
    assert Erasure.objects.filter(kind="due").count() == 1


def test_the_day_before_nothing_goes(known, owner):
    erase(known, owner)
    day_before = date.fromordinal(kept_until(known).toordinal() - 1)
    with pytest.raises(Refused, match="has not come"):
        remove_kept(person=known, on=day_before)


def refused(act):
    with pytest.raises(IntegrityError, match="only ever added to"), transaction.atomic():
        act()


def test_the_database_lets_words_become_the_mark_and_nothing_else_pass(known):
    line = BookLine.objects.exclude(party="").first()
    whole = BookLine.objects.filter(pk=line.pk)
    refused(lambda: whole.update(party="Somebody else"))
    refused(lambda: whole.update(party=""))
    refused(lambda: whole.update(party="[erased]", gross_minor=1))
    refused(lambda: whole.update(gross_minor=1))
    refused(lambda: whole.update(description="[erased]"))
    refused(lambda: Payment.objects.update(amount_minor=1))
    refused(lambda: Paper.objects.update(sha256="0" * 64))
    refused(lambda: Paper.objects.update(facts={"number": "another"}))
    refused(lambda: Document.objects.update(sha256="0" * 64))
    whole.update(party="[erased]")
    assert whole.get().party == "[erased]"


def test_verify_names_what_was_erased_outside_the_program(known):
    line = BookLine.objects.exclude(party="").first()
    BookLine.objects.filter(pk=line.pk).update(party="[erased]")
    said = f"shop.bookline {line.pk}: words of it were erased outside the program."
    assert list(Verification().faults()) == [said]


def test_verify_names_what_was_changed_after_it_was_erased(known, owner):
    erase(known, owner)
    remove_kept(person=known, on=LATER)
    stone = (
        Removal.objects.filter(kind="shop.payment").first()
        or Removal.objects.filter(kind="shop.bookline").first()
    )
    remove_guards(using="default")
    model = BookLine if stone.kind == "shop.bookline" else Payment
    model.objects.filter(pk=stone.row).update(recorded_at="2020-01-01T00:00:00Z")
    faults = [each for each in Verification().faults() if each.startswith(f"{stone.kind} {stone.row}:")]
    assert len(faults) == 1


def test_pages_of_the_erased_open_before_and_after_the_day(client, owner, known):
    client.force_login(owner)
    number = Trial.objects.filter(person=known).first().number
    addresses = [
        known.get_absolute_url(),
        reverse("shop:person_statement", args=[known.pk]),
        reverse("shop:people_kept"),
        reverse("shop:trial_page", args=[number]),
        reverse("shop:sale_page", args=[known.purchases_from_us.first().number]),
        reverse("shop:leads"),
        *(sale.instrument.get_absolute_url() for sale in known.purchases_from_us.all()),
    ]
    erase(known, owner)
    paper = papers_of(known).first()
    for _ in range(2):
        for address in addresses:
            assert client.get(address).status_code == 200, address
        remove_kept(person=known, on=LATER)
    answer = client.get(reverse("shop:person_paper", args=[known.pk, paper.pk]))
    assert answer.status_code == 404


def test_the_page_says_what_goes_and_stays_then_erases_by_name(client, owner, known):
    client.force_login(owner)
    address = reverse("shop:person_erase", args=[known.pk])
    page = client.get(address)
    said = page.content.decode()
    for words in (
        "What goes at once",
        "Wanted (2)",
        "What stays until",
        "The books",
        "this is not legal advice",
    ):
        assert words in said
    sent = posted(page, asked_how="email", asked_on=str(ON), confirm="Somebody else")
    assert "That is not the name" in client.post(address, sent).content.decode()
    assert Person.objects.get(pk=known.pk).name == NAME
    sent = posted(page, asked_how="email", asked_on=str(ON), confirm=NAME)
    assert client.post(address, sent).url == reverse("shop:people_kept")
    assert tables_with([MAIL]).keys() <= may_still_say()


def test_columns_are_wide_enough_for_the_mark():
    for rows in ROWS:
        for name in rows.words:
            column = rows.model._meta.get_field(name)
            assert (column.max_length or 99) >= len("[erased]"), (rows.model, name)
    assert columns_of(Person, models.EmailField) and WORDS and connection.vendor


def test_the_owner_is_shown_where_free_words_name_them_before_the_name_is_gone(client, owner, known):
    instrument = make.make_instrument(by=owner)
    order = open_order(instrument=instrument, title="Regulate", note=f"Ring {NAME} first", by=owner, on=ON)
    client.force_login(owner)
    page = client.get(reverse("shop:person_erase", args=[known.pk])).content.decode()
    assert f"“Ring {NAME} first”" in page and order.get_absolute_url() in page


def test_who_had_no_dealings_is_erased_in_one_sentence_and_their_card_says_so(client, owner):
    person = make.make_person(name="Wilf Nodeal")
    client.force_login(owner)
    address = reverse("shop:person_erase", args=[person.pk])
    sent = posted(
        client.get(address), asked_how="email", asked_on=str(timezone.localdate()), confirm=person.name
    )
    page = client.post(address, sent, follow=True).content.decode()
    assert "so nothing is kept" in page and "must keep" not in page
    page = client.get(reverse("shop:person_edit", args=[person.pk]), follow=True).content.decode()
    assert "nothing to correct" in page and "There were no dealings, so nothing is kept." in page
