import pytest
from django.db import connection

from instruments.actions.evidence import add_evidence, record_sightings, retract_evidence
from instruments.actions.statements import correct_statement
from instruments.actions.tell_tales import load_tell_tales
from instruments.models import ChainLink, Sighting, TellTale
from instruments.problems import Blocked
from instruments.standings import conflicts_of, standing_of, weighed_statements
from shop.db.append_only import remove_guards
from tests import make
from tests.instruments.chains import breaks_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def restrung(db):
    """A seller's word that the strings are new."""
    return make.make_statement(
        text="New strings in 1988", topic="strings", asserts="restrung", dated="1988", told_by="The seller"
    )


def add(statement, side, strength, **piece):
    piece = {"note": "wire looked at under a lamp"} | piece
    return add_evidence(statement=statement, side=side, strength=strength, by=make.somebody(), **piece)


def see(instrument, *codes):
    load_tell_tales()
    looked_for = list(TellTale.objects.filter(question="strings"))
    seen = [each for each in looked_for if each.code in codes]
    return record_sightings(
        instrument=instrument, seen=seen, looked_for=looked_for, by=make.somebody(), on=make.A_DAY
    )


def test_a_claim_without_evidence_stands_as_told(restrung):
    assert standing_of(restrung).name == "as told"


def test_evidence_for_a_claim_supports_it(restrung):
    add(restrung, "for", "strong")
    assert standing_of(restrung).name == "supported"


def test_evidence_against_a_claim_contradicts_it(restrung):
    add(restrung, "against", "strong")
    assert standing_of(restrung).name == "contradicted"


def test_a_retracted_piece_counts_no_more_and_stays_on_file(restrung):
    piece = add(restrung, "against", "strong")
    retract_evidence(evidence=piece, reason="the wrong piano", by=make.somebody())
    assert standing_of(restrung).name == "as told"
    assert restrung.evidence.count() == 2


def test_a_piece_is_taken_back_once(restrung):
    piece = add(restrung, "against", "strong")
    retract_evidence(evidence=piece, reason="the wrong piano", by=make.somebody())
    with pytest.raises(Blocked, match="taken back already"):
        retract_evidence(evidence=piece, reason="again", by=make.somebody())


def test_one_photo_put_on_file_twice_counts_once(restrung):
    photo = make.make_photo(instrument=restrung.instrument)
    add(restrung, "for", "weak", photo=photo)
    add(restrung, "for", "weak", photo=photo)
    assert len(weighed_statements(restrung.instrument)[0].standing.deciding) <= 1


def test_tell_tales_seen_at_the_bench_move_a_sellers_claim(restrung):
    see(restrung.instrument, *TellTale.objects.values_list("code", flat=True))
    load_tell_tales()
    against = [
        each.code for each in TellTale.objects.filter(question="strings") if "replaced" in each.speaks_against
    ]
    see(restrung.instrument, *against)
    assert standing_of(restrung).name == "contradicted"


def test_a_tell_tale_no_longer_seen_gets_a_row_that_says_so(restrung):
    load_tell_tales()
    code = TellTale.objects.filter(question="strings").first().code
    see(restrung.instrument, code)
    see(restrung.instrument)
    assert [row.is_seen for row in Sighting.objects.all()] == [True, False]
    assert not restrung.instrument.sightings.seen().exists()


def test_looking_again_and_seeing_the_same_writes_nothing(restrung):
    load_tell_tales()
    code = TellTale.objects.filter(question="strings").first().code
    see(restrung.instrument, code)
    assert see(restrung.instrument, code) == []


def test_owned_before_it_was_made_is_found_as_a_conflict(db):
    instrument = make.make_instrument(made="1912", made_basis="document")
    make.make_statement(instrument=instrument, asserts="owned", who="the Ardens", dated="1898/1905")
    assert len(conflicts_of(instrument, weighed_statements(instrument))) == 1


def test_a_conflict_that_reads_the_same_is_said_once(db):
    instrument = make.make_instrument(made="1912", made_basis="document")
    make.make_statement(instrument=instrument, asserts="made", dated="1912", topic="made", grade="document")
    make.make_statement(instrument=instrument, asserts="owned", who="the Ardens", dated="1898/1905")
    assert len(conflicts_of(instrument, weighed_statements(instrument))) == 1


def test_an_uncertain_date_that_may_fit_raises_no_alarm(db):
    instrument = make.make_instrument(made="191X", made_basis="document")
    make.make_statement(instrument=instrument, asserts="owned", who="the Ardens", dated="1915/1930")
    assert conflicts_of(instrument, weighed_statements(instrument)) == []


def test_every_record_is_linked_in_the_order_it_was_written(restrung):
    add(restrung, "for", "weak")
    correct_statement(
        statement=restrung, reason="misheard", by=make.somebody(), text="In 1998", grade="told", told_by="She"
    )
    assert [link.kind for link in ChainLink.objects.all()] == ["statement", "evidence", "statement"]
    assert breaks_of(restrung.instrument) == []


def rewrite(sql: str) -> None:
    """What somebody with the database file and no scruple could do."""
    remove_guards(using="default")
    with connection.cursor() as cursor:
        cursor.execute(sql)


def test_a_statement_changed_outside_the_program_is_found(restrung):
    rewrite("UPDATE instruments_statement SET text = 'New strings in 2008'")
    assert breaks_of(restrung.instrument) == [
        f"{restrung.instrument.stock_number}: statement {restrung.pk} was changed outside the program."
    ]


def test_a_removed_link_is_found(restrung):
    add(restrung, "for", "weak")
    rewrite("DELETE FROM instruments_chainlink WHERE position = 1")
    assert any("a link is missing" in each for each in breaks_of(restrung.instrument))


def test_the_standings_of_many_statements_take_a_fixed_number_of_queries(
    restrung, django_assert_max_num_queries
):
    for number in range(5):
        another = make.make_statement(instrument=restrung.instrument, text=f"Story {number}")
        add(another, "for", "weak")
    with django_assert_max_num_queries(4):
        weighed_statements(restrung.instrument)


@pytest.mark.parametrize(
    ("serial", "made", "clashes"),
    [
        ("25 000", "1940", True),
        ("25 000", "1925", False),
        ("35 000", "1880", True),
        ("35 000", "1990", False),
    ],
)
def test_a_serial_beyond_the_only_mark_still_bars_what_lies_far_on_its_closed_side(serial, made, clashes):
    make.make_serial_mark(serial=30_000, year=1908)
    instrument = make.make_instrument(serial=serial)
    make.make_statement(instrument=instrument, topic="made", asserts="made", dated=made)
    found = conflicts_of(instrument, weighed_statements(instrument))
    assert [each.kind for each in found] == ["serial far off"] * clashes
