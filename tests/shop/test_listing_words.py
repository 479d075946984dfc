"""The editor: each sentence with its record, cautions before the window, shots that are missing, versions."""

import pytest
from django.utils.html import escape

from instruments.actions.history import save_tracked
from instruments.actions.photos import describe_photo
from instruments.states import Shot
from shop.actions.listing import draft_listing, edit_listing, publish_listing, published_words
from shop.drafts import drafted
from shop.fingerprints import fingerprint
from shop.listing_words import changes_between, kept_parts
from shop.missing_shots import missing_shots
from shop.models import Listing, Publication, ShopProfile
from shop.outrunning import judged_words, outrun_cautions
from shop.showing import lines
from tests import make
from tests.hostile import HOSTILE_TEXTS

pytestmark = pytest.mark.django_db


@pytest.fixture
def instrument(db):
    ready = make.make_instrument(serial="31447", made="1912~", made_basis="mark")
    make.make_price(instrument=ready)
    make.make_photo(instrument=ready)
    return ready


@pytest.fixture
def listing(instrument):
    make.make_statement(
        instrument=instrument, text="It stood in a school", teller="last_owner", is_public=True
    )
    return draft_listing(instrument=instrument, by=make.somebody())


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def at(instrument, rest: str = "") -> str:
    return f"/stock/{instrument.stock_number}/listing/{rest}"


def cautions_of(listing) -> list[str]:
    return [each.sentence for each in outrun_cautions(judged_words(listing, drafted(listing.instrument)))]


def own_words(listing, **words):
    return cautions_of(edit_listing(listing=listing, by=make.somebody(), **words))


def test_every_version_is_drafted(listing):
    assert listing.short_text.startswith("Made about 1912 (from a date mark inside).")
    assert "The last owner told us that it stood in a school; we have seen no paper." in listing.print_words
    assert listing.social_text.startswith("Halden & Rook upright, about 1912\n")
    assert "£1,800." in listing.social_text and "told us" not in listing.social_text


def test_a_draft_outruns_nothing(listing):
    assert cautions_of(listing) == []


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ({"headline": "Halden & Rook upright, 1912"}, "Headline: “1912” is firmer"),
        ({"short_text": "Guaranteed for life."}, "Short text: “Guaranteed”"),
        ({"body": "Every key within 2 g."}, "The instrument: “within 2 g”: no weigh-off"),
        ({"history_words": "It stood in a school."}, "leaves out how we know it. The record says: The last"),
        ({"social_text": "Now £900!"}, "is not the asking price, which is £1,800"),
        ({"body": "Ivory keys."}, "the naturals are on file as “celluloid”"),
    ],
)
def test_words_that_outrun_the_evidence_are_cautioned_with_their_field(listing, words, why):
    cautions = own_words(listing, **words)
    assert len(cautions) == 1 and why in cautions[0]


def test_what_is_kept_to_ourselves_is_cautioned(listing):
    make.make_statement(instrument=listing.instrument, text="Bought out of debt", is_public=False)
    assert "keeps to ourselves" in own_words(listing, body="It was bought out of debt.")[0]


def test_a_guarantee_in_the_terms_backs_the_word(listing):
    ShopProfile.objects.update_or_create(pk=1, defaults={"guarantee_words": "One year on pins and action."})
    assert own_words(listing, body="Guaranteed for a year.") == []


def test_each_saved_sentence_stands_with_its_record(desk, listing):
    statement = listing.instrument.statements.get()
    page = desk.get(at(listing.instrument)).content.decode()
    assert "Statement, told" in page
    assert (
        f'href="/stock/{listing.instrument.stock_number}/statements/{statement.pk}/">Open the record' in page
    )


def test_own_words_say_that_no_record_says_them(desk, listing):
    edit_listing(listing=listing, by=make.somebody(), body="A quiet one.")
    assert "In our own words; nothing on file says it." in desk.get(at(listing.instrument)).content.decode()


def words_of(listing, **changed) -> dict:
    names = (
        *("headline", "body", "history_words", "work_done", "not_done", "faults"),
        *("short_text", "print_words", "social_text"),
    )
    return {name: getattr(listing, name) for name in names} | changed


def test_words_that_outrun_the_evidence_are_read_once_before_they_go_public(desk, listing):
    sent = words_of(listing, headline="Halden & Rook upright, 1912")
    page = desk.post(at(listing.instrument, "publish/"), sent, follow=True).content.decode()
    assert "The words are saved, not published." in page and "is firmer than what is on file" in page
    assert (Listing.objects.get().state, Listing.objects.get().headline) == ("draft", sent["headline"])
    desk.post(at(listing.instrument, "publish/"), sent)
    assert Listing.objects.get().state == "published"


def test_words_that_need_no_caution_go_public_at_once(desk, listing):
    desk.post(at(listing.instrument, "publish/"), words_of(listing, faults="One key sticks."))
    assert Listing.objects.get().state == "published"


def test_the_length_of_the_notice_is_told(desk, listing):
    edit_listing(listing=listing, by=make.somebody(), social_text="Twelve words.")
    assert "13 of 280 characters" in desk.get(at(listing.instrument)).content.decode()


def test_a_notice_that_is_too_long_is_refused_with_the_limit(desk, listing):
    page = desk.post(at(listing.instrument), words_of(listing, social_text="x" * 3001))
    assert "3000" in str(page.context["form"].errors["social_text"])
    assert "x" * 3001 in page.content.decode()


def shots_of(instrument) -> list[str]:
    return [each.shot for each in missing_shots(instrument)]


def test_every_shot_that_no_public_photo_shows_is_missing(instrument):
    missing = shots_of(instrument)
    assert Shot.FRONT in missing and Shot.DATE_MARK in missing
    assert not {Shot.OTHER, Shot.DAMAGE, Shot.AFTER_WORK} & set(missing)
    describe_photo(photo=instrument.photos.get(), by=make.somebody(), shot=Shot.FRONT)
    assert Shot.FRONT not in shots_of(instrument)


def test_a_fault_asks_for_its_photograph(instrument):
    make.make_line(report=make.make_report(instrument=instrument), condition="repair")
    assert Shot.DAMAGE in shots_of(instrument)


def test_a_missing_shot_leads_to_where_it_is_taken(desk, instrument):
    page = desk.get(at(instrument)).content.decode()
    assert f'href="/stock/{instrument.stock_number}/photos/?shot=serial">Take it' in page


def test_one_that_is_kept_to_ourselves_is_offered(instrument):
    kept = make.make_photo(instrument=instrument, is_public=False, colour="navy")
    describe_photo(photo=kept, by=make.somebody(), shot=Shot.SERIAL)
    (serial,) = [each for each in missing_shots(instrument) if each.shot == Shot.SERIAL]
    assert serial.is_kept and serial.link.endswith(f"#photo-{kept.pk}")


@pytest.fixture
def published(listing):
    publish_listing(listing=listing, by=make.somebody())
    return listing


def test_what_changed_since_it_was_published_is_told_sentence_by_sentence(desk, published):
    assert "The saved words are those in the window." in desk.get(at(published.instrument)).content.decode()
    sent = published.body.replace("Serial number 31447.", "Come and play it.")
    edit_listing(listing=published, by=make.somebody(), body=sent)
    page = desk.get(at(published.instrument)).content.decode()
    assert "<strong>New:</strong> Come and play it." in page
    assert "<strong>Gone:</strong> Serial number 31447." in page


def test_an_old_version_is_read_as_it_was(desk, published):
    first = published.publications.get()
    edit_listing(listing=published, by=make.somebody(), headline="Said otherwise", short_text="Other.")
    publish_listing(listing=published, by=make.somebody())
    page = desk.get(at(published.instrument, f"published/{first.pk}/")).content.decode()
    assert "Halden &amp; Rook upright, about 1912" in page and "Said otherwise" not in page
    assert "These are the words as they were kept." in page


def test_a_version_keeps_what_each_sentence_rested_on(desk, listing):
    edit_listing(listing=listing, by=make.somebody(), body=f"{listing.body} Come and play it.")
    version = publish_listing(listing=listing, by=make.somebody())
    serial = ["body", "Serial number 31447.", "serial number", "identity"]
    assert serial in version.words["sources"]
    assert not [each for each in version.words["sources"] if each[1] == "Come and play it."]
    listing.instrument.serial_number = "99"
    save_tracked(listing.instrument, by=make.somebody(), why="Read again")
    page = desk.get(at(listing.instrument, f"published/{version.pk}/")).content.decode()
    assert "Serial number 31447." in page and "Serial number <a" in page.replace("\n", "")
    assert page.count("In our own words") == 1 and "These are the words as they were kept." in page


def test_a_sentence_of_the_record_that_is_two_keeps_its_source(desk, listing):
    told = "The last owner told us: “It stood by the sea”. We have seen no paper."
    words = {"history_words": told, "sources": [["history_words", told, "statement, told", ""]]}
    ((_, lines),) = kept_parts(words, listing.instrument, user=make.somebody())
    assert [(line.text, line.is_own) for line in lines] == [(told, False)]


def test_a_version_of_before_sources_were_kept_names_none(desk, published):
    old = {name: words for name, words in published.publications.get().words.items() if name != "sources"}
    kept = Publication.objects.create(
        listing=published, words=old, sha256=fingerprint(old), published_by=make.somebody()
    )
    page = desk.get(at(published.instrument, f"published/{kept.pk}/")).content.decode()
    assert "Serial number 31447." in page and "In our own words" not in page


def test_a_version_says_what_it_changed(desk, published):
    edit_listing(listing=published, by=make.somebody(), headline="Said otherwise")
    second = publish_listing(listing=published, by=make.somebody())
    page = desk.get(at(published.instrument, f"published/{second.pk}/")).content.decode()
    assert "Said otherwise" in page and "Before: Halden" not in page and "<strong>Gone:</strong>" in page


def test_a_version_of_before_there_were_several_texts_is_still_read(desk, published):
    old = published.publications.get()
    words = {name: words for name, words in old.words.items() if name not in {"short_text", "social_text"}}
    kept = Publication.objects.create(
        listing=published, words=words, sha256="0" * 64, published_by=make.somebody()
    )
    page = desk.get(at(published.instrument, f"published/{kept.pk}/"))
    assert page.status_code == 200 and "not those that were kept" in page.content.decode()


def test_another_instruments_version_is_not_found(desk, published):
    other = make.make_instrument()
    assert desk.get(at(other, f"published/{published.publications.get().pk}/")).status_code == 404


def test_a_part_that_stayed_is_not_told(published):
    words = published_words(published)
    assert changes_between(words, words) == []
    assert [part.heading for part in changes_between(words, words | {"faults": "A scratch."})] == ["Faults"]


@pytest.mark.parametrize("text", HOSTILE_TEXTS[::7])
def test_an_adversarys_words_are_text_wherever_they_stand(desk, instrument, text):
    listing = draft_listing(instrument=instrument, by=make.somebody())
    told = {"headline": text[:160], "short_text": text, "print_words": text, "social_text": text}
    kept = publish_listing(
        listing=edit_listing(listing=listing, by=make.somebody(), **told), by=make.somebody()
    )
    for address in ("", f"published/{kept.pk}/"):
        page = desk.get(at(instrument, address))
        assert page.status_code == 200
        assert all(escape(line) in page.content.decode() for line in lines(text))
