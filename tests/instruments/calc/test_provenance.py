"""Sources: AAM Guide to Provenance Research (2001), as quoted in published conventions; Art Institute of
Chicago, "How to read provenance texts"; CIDOC CRM, scope note of E10. All owners are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.evidence import RISING
from instruments.calc.provenance import Event, Owner, owner_and_holder, provenance_text


def owner(name, **fields) -> Owner:
    return Owner(name, **({"standing": "supported"} | fields))


def text(*owners, public=False) -> str:
    return provenance_text(owners, public=public).text


def test_a_direct_transfer_takes_a_semicolon():
    assert text(owner("A"), owner("B", transfer="sold to", directly=True)) == "A; sold to B"


def test_an_unknown_link_takes_a_full_stop():
    assert text(owner("A"), owner("C")) == "A. C"


@pytest.mark.parametrize("standing", ["as told", "open"])
def test_an_owner_without_evidence_never_prints_as_a_fact(standing):
    following = owner("E", transfer="sold to", directly=True)
    assert text(owner("D", standing=standing), following) == "possibly D; sold to E"


def test_probably_is_said_where_it_was_chosen():
    assert text(owner("D", standing="as told", certainty="probably")) == "probably D"


def test_a_dealer_stands_in_parentheses():
    dealer = owner("E", transfer="sold to", directly=True, is_dealer=True, place="Castlemere")
    assert text(owner("A"), dealer, owner("B", transfer="sold to", directly=True)) == (
        "A; sold to (E, Castlemere); sold to B"
    )


def test_life_dates_place_and_date_have_their_places():
    known = owner("Orrin Vale", life="1860–1931", place="Castlemere", dated="by 1912")
    assert text(known) == "Orrin Vale [1860–1931], Castlemere, by 1912"


def test_notes_are_numbered_in_order():
    given_text = provenance_text(
        [owner("A", note="Receipt of 1912."), owner("B"), owner("C", note="As told by\nthe last owner.")]
    )
    assert given_text.text == "A [1]. B. C [2]"
    assert given_text.notes == ("Receipt of 1912.", "As told by the last owner.")


def test_a_contradicted_owner_is_left_out_and_breaks_the_line():
    struck = owner("B", standing="contradicted", transfer="sold to", directly=True)
    assert text(owner("A"), struck, owner("C", transfer="given to", directly=True)) == "A. given to C"


def test_an_owner_nobody_knows_is_kept():
    assert text(owner("A"), owner("", transfer="sold to", directly=True), owner("C")) == (
        "A; sold to owner not known. C"
    )


def test_stops_and_signs_in_a_name_cannot_be_taken_for_gaps():
    assert text(owner("St. Orrin's School; (upper house)"), owner("J. Vale.")) == (
        "St Orrin's School, upper house. J Vale"
    )


def test_in_public_nobody_is_named_without_a_public_name():
    family = owner(
        "Mrs Vale", standing="as told", life="1860–1931", place="3 Mill Lane", note="Her niece told us."
    )
    school = owner(
        "Orrinbridge School", public_name="a school in Orrinbridge", transfer="sold to", directly=True
    )
    printed = provenance_text([family, school], public=True)
    assert printed.text == "possibly private owner; sold to a school in Orrinbridge"
    assert printed.notes == ()


owners = st.lists(
    st.builds(
        Owner,
        st.sampled_from(["Vale", "Rook", "", "Lund & Co."]),
        st.sampled_from(RISING),
        directly=st.booleans(),
        is_dealer=st.booleans(),
        note=st.sampled_from(["", "n"]),
        public_name=st.sampled_from(["", "a school"]),
    ),
    max_size=6,
)


@given(owners)
def test_no_private_name_is_ever_printed_in_public(given_owners):
    printed = text(*given_owners, public=True)
    assert not [name for name in ("Vale", "Rook", "Lund") if name in printed]


@given(owners)
def test_no_event_is_dropped_but_what_was_contradicted(given_owners):
    printed = text(*given_owners)
    kept = [each for each in given_owners if each.standing != "contradicted"]
    assert (printed.count("; ") + printed.count(". ") + 1 if printed else 0) == len(kept)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"standing": "sure"}, "standing"),
        ({"transfer": "stolen by"}, "transfer"),
        ({"certainty": "surely"}, "possibly"),
    ],
)
def test_unknown_words_are_refused(fields, reason):
    with pytest.raises(ValueError, match=reason):
        owner("A", **fields)


def test_a_loan_moves_the_holder_and_not_the_owner():
    assert owner_and_holder([Event("sale", "Vale"), Event("loan", "Rook", "Vale")]) == ("Vale", "Rook")


def test_a_sale_moves_both():
    assert owner_and_holder(
        [Event("sale", "Vale"), Event("loan", "Rook"), Event("sale", "Rook", "Vale")]
    ) == (
        "Rook",
        "Rook",
    )


def test_an_event_from_nobody_known_still_counts():
    assert owner_and_holder([Event("gift", "Vale", giver="")]) == ("Vale", "Vale")


def test_a_loss_leaves_the_holder_unknown():
    assert owner_and_holder([Event("sale", "Vale"), Event("theft")]) == ("Vale", "")


def test_an_event_of_another_kind_is_refused():
    with pytest.raises(ValueError, match="neither owner nor holder"):
        Event("admiration")
