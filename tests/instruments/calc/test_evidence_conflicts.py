"""Conflicts in time. Every name and story here is invented."""

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from instruments.calc.evidence import Claim, conflicts

TOPICS = {
    "made": "made",
    "maker": "made",
    "serial": "made",
    "owned": "owned",
    "used": "used",
    "moved": "moved",
}
TEXT = {"restrung": "Restrung", "owned": "Owned", "repaired": "Repaired"}


def claim(key, asserts, edtf="", who="", *, topic="", text="") -> Claim:
    return Claim(
        key,
        topic or TOPICS.get(asserts, "strings"),
        "told",
        text or f"{asserts} {who}".strip(),
        edtf,
        asserts,
        who,
    )


def kinds(*claims) -> list[tuple[str, str]]:
    """ "kind" with the keys it joins, for every conflict."""
    return [(found.kind, "".join(claim.key for claim in found.claims)) for found in conflicts(claims)]


@pytest.mark.parametrize(
    "asserts", ["owned", "used", "moved", "repaired", "restored", "restrung", "replaced"]
)
def test_nothing_befalls_an_instrument_before_it_is_made(asserts):
    assert kinds(claim("a", "made", "1912"), claim("b", asserts, "1905")) == [("before it was made", "ab")]


@pytest.mark.parametrize(
    ("made", "owned"),
    [
        ("1912", "1912"),
        ("1910/1914", "1911"),
        ("191X", "1910"),
        ("1912", "/1930"),
        ("1912", ""),
        ("/1914", "1850"),
    ],
)
def test_where_some_day_fits_nothing_is_reported(made, owned):
    assert kinds(claim("a", "made", made), claim("b", "owned", owned, "the Hollins family")) == []


@pytest.mark.parametrize("mark", "~?%")
def test_a_doubted_date_is_given_ten_years_before_it_contradicts(mark):
    made = claim("a", "made", f"1912{mark}")
    assert kinds(made, claim("b", "owned", "1903", "x")) == []
    assert kinds(made, claim("b", "owned", "1900", "x")) == [("before it was made", "ab")]


def test_owned_since_before_it_was_made_is_told_by_the_start_of_the_time():
    assert kinds(claim("a", "made", "1912"), claim("b", "owned", "1905/1950", "x")) == [
        ("before it was made", "ab")
    ]


def test_a_serial_may_be_out_by_less_than_twenty_years():
    serial = claim("a", "serial", "1910/1914")
    assert kinds(serial, claim("b", "made", "1934-12-30")) == []
    assert kinds(serial, claim("b", "made", "1935")) == [("serial far off", "ab")]


def test_a_serial_bars_what_lies_more_than_twenty_years_before_its_marks():
    assert kinds(claim("a", "serial", "1910/1914"), claim("b", "moved", "1880")) == [
        ("before it was made", "ab")
    ]


def test_two_makers_are_a_conflict_and_one_maker_spelt_twice_is_none():
    one, other = claim("a", "maker", who="Halden & Rook"), claim("b", "maker", who="Thursby & Lund")
    assert kinds(one, other) == [("two makers", "ab")]
    assert kinds(one, claim("b", "maker", who="the  halden & rook")) == []


def test_two_years_of_making_that_do_not_meet_are_a_conflict():
    assert kinds(claim("a", "made", "1905/1909"), claim("b", "made", "1912")) == [("made twice", "ab")]


def test_an_owner_cannot_have_work_done_after_letting_it_go():
    owned = claim("a", "owned", "1921/1960", "the Hollins family")
    late = claim("b", "restrung", "1975", "The Hollins Family")
    assert kinds(owned, late) == [("outside the owner's time", "ab")]


def test_work_by_nobody_in_particular_may_be_done_at_any_time():
    assert kinds(claim("a", "owned", "1921/1960", "the Hollins family"), claim("b", "restrung", "1975")) == []


def test_an_owner_who_had_it_twice_may_have_work_done_in_either_time():
    times = [claim("a", "owned", "1921/1960", "w"), claim("b", "owned", "1970/1980", "w")]
    assert kinds(*times, claim("c", "restrung", "1975", "w")) == []
    assert kinds(*times, claim("c", "restrung", "1965", "w")) == [("outside the owner's time", "abc")]


def test_two_owners_at_once_exclude_each_other():
    assert kinds(claim("a", "owned", "1921/1960", "v"), claim("b", "owned", "1950/1990", "w")) == [
        ("two owners at once", "ab")
    ]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1921/1960", "1960/1990"),
        ("1921/", "1950/1990"),
        ("1921", "1921"),
        ("../1950", "1940/.."),
        ("", "1921/1960"),
    ],
)
def test_owners_who_may_have_followed_each_other_are_no_conflict(one, other):
    assert kinds(claim("a", "owned", one, "v"), claim("b", "owned", other, "w")) == []


def test_owners_that_open_ends_force_to_overlap_are_a_conflict():
    assert kinds(claim("a", "owned", "1900/1950", "v"), claim("b", "owned", "1940/", "w")) == [
        ("two owners at once", "ab")
    ]


def test_work_by_an_owner_whose_successor_already_had_it_joins_three_claims():
    family = claim("a", "owned", "1921/", "the Hollins family")
    school = claim("b", "owned", "1950", "Orrinbridge School")
    assert kinds(family, school, claim("c", "restrung", "1975", "the Hollins family")) == [
        ("two owners at once", "abc")
    ]


def test_a_part_called_the_first_one_had_not_been_renewed_before():
    renewed = claim("a", "restrung", "1930", topic="restored")
    first = claim("b", "original", "1960", topic="strings")
    assert kinds(renewed, first) == [("called original", "ab")]
    assert kinds(renewed, claim("b", "original", "1960", topic="hammers")) == []
    assert kinds(claim("a", "restrung", "1988"), first) == []


@pytest.mark.parametrize("asserts", ["made", "owned", "used", "moved", "restrung", "original"])
def test_nothing_comes_before_a_patent_that_is_seen_in_it(asserts):
    assert kinds(claim("a", "patent", "1900"), claim("b", asserts, "1895")) == [("before its patent", "ab")]


@pytest.mark.parametrize(
    ("patent", "made"),
    [("1900", "1900"), ("1900~", "1895"), ("1890/1900", "1895"), ("1900", "1895/.."), ("../1900", "1850")],
)
def test_a_making_that_may_have_followed_the_patent_is_no_conflict(patent, made):
    assert kinds(claim("a", "patent", patent), claim("b", "made", made)) == []


def test_a_patent_long_before_the_making_is_no_conflict():
    assert kinds(claim("a", "patent", "1850"), claim("b", "made", "1912")) == []


def test_a_serial_is_given_its_twenty_years_before_a_patent_bars_it():
    serial = claim("a", "serial", "../1890")
    assert kinds(serial, claim("b", "patent", "1909")) == []
    assert kinds(serial, claim("b", "patent", "1911")) == [("before its patent", "ab")]


def test_the_sentence_on_a_patent_asks_whether_it_was_fitted_later():
    made, patent = claim("a", "made", "1895"), claim("b", "patent", "1900", text="“Patent 1900” on the rail.")
    (found,) = conflicts([made, patent])
    assert found.sentence == (
        "A making in 1895 comes before ““Patent 1900” on the rail” (1900), "
        "and nobody built that earlier. Was it fitted later?"
    )


def test_a_sentence_quotes_the_claims_with_their_dates():
    (found,) = conflicts(
        [
            claim("a", "made", "1910/1914"),
            claim("b", "owned", "1905", "x", text="Bought new by my grandfather."),
        ]
    )
    assert found.sentence == (
        "“Bought new by my grandfather” (1905) comes before it was made between 1910 and 1914."
    )


@pytest.mark.parametrize(
    ("edtf", "said"),
    [
        ("1895", "in 1895"),
        ("1895-05", "in May 1895"),
        ("1895-05-03", "on 3 May 1895"),
        ("189X", "in the 1890s"),
        ("1895-21", "in spring 1895"),
        ("[1895,1896]", "in 1895 or 1896"),
        ("../1895", "before 1896"),
    ],
)
def test_a_date_follows_made_as_people_say_it(edtf, said):
    (found,) = conflicts([claim("a", "made", edtf), claim("b", "made", "1931")])
    assert found.sentence == f"It cannot have been made both {said} and in 1931."


def test_the_sentence_on_two_owners_asks_whether_they_were_one_household():
    (found,) = conflicts(
        [
            claim("a", "owned", "1921/1960", "Mrs Vale", text="Hers from 1921"),
            claim("b", "owned", "1950/1990", "Orrin Vale", text="His"),
        ]
    )
    assert found.sentence == (
        "Mrs Vale and Orrin Vale cannot each have owned it alone at these times: “Hers from 1921” "
        "(between 1921 and 1960); “His” (between 1950 and 1990). Were they one household?"
    )


# One oracle for all of it: try every choice of days. A claim is drawn together with what its EDTF means, so
# that the oracle shares neither the reading of dates nor the reasoning by pairs.

DAYS = range(4)
PEOPLE = ["v", "w", "x"]


def written(day: int) -> str:
    return f"2000-01-{day + 1:02}"


def _pair(low, high):
    return (min(low, high), max(low, high))


two_days = st.builds(_pair, st.sampled_from(DAYS), st.sampled_from(DAYS))
one_day_within = st.one_of(
    two_days.map(lambda ends: (f"[{written(ends[0])}..{written(ends[1])}]", ends)),
    st.sampled_from(DAYS).map(lambda day: (written(day), (day, day))),
    st.just(("", (0, DAYS[-1]))),
)
from_to = st.one_of(
    two_days.map(lambda ends: (f"{written(ends[0])}/{written(ends[1])}", ends)),
    st.sampled_from(DAYS).map(lambda day: (f"{written(day)}/", (day, None))),
    st.sampled_from(DAYS).map(lambda day: (f"../{written(day)}", (None, day))),
)


@st.composite
def drawn_claim(draw):
    """A claim and the choices of days it allows by itself, as (first, last)."""
    asserts = draw(
        st.sampled_from(
            ["made", "patent", "owned", "owned", "owned", "used", "restrung", "repaired", "original"]
        )
    )
    who = draw(st.sampled_from(PEOPLE)) if asserts in {"owned", "restrung", "repaired"} else ""
    spans = [(first, last) for first, last in product(DAYS, DAYS) if first <= last]
    if asserts in {"owned", "used"} and draw(st.booleans()):
        text, (first, last) = draw(from_to)
        choices = [span for span in spans if (first in (None, span[0])) and (last in (None, span[1]))]
    else:
        text, (low, high) = draw(one_day_within)
        inside = [day for day in DAYS if low <= day <= high]
        if asserts in {"owned", "used"}:
            choices = [span for span in spans if any(span[0] <= day <= span[1] for day in inside)]
        else:
            choices = [(day, day) for day in inside]
    return claim("?", asserts, text, who), choices


def some_days_fit(drawn) -> bool:
    return any(_fits([claim for claim, _ in drawn], days) for days in product(*(days for _, days in drawn)))


def _fits(claims, days) -> bool:
    told = list(zip(claims, days, strict=True))
    made = {span[0] for claim, span in told if claim.asserts == "made"}
    patents = [span[0] for claim, span in told if claim.asserts == "patent"]
    after = [span[0] for claim, span in told if claim.asserts != "patent"]
    if len(made) > 1 or any(day < max([*made, *patents], default=0) for day in after):
        return False
    owned = [(claim.who, span) for claim, span in told if claim.asserts == "owned"]
    acts = [(claim.who, span[0]) for claim, span in told if claim.asserts in {"restrung", "repaired"}]
    for (one, span), (other, other_span) in combinations(
        [*owned, *((who, (day, day)) for who, day in acts)], 2
    ):
        if one != other and not (span[1] <= other_span[0] or other_span[1] <= span[0]):
            return False
    for who, day in acts:
        own = [span for owner, span in owned if owner == who]
        if own and not any(first <= day <= last for first, last in own):
            return False
    renewed = [span[0] for claim, span in told if claim.asserts == "restrung"]
    first_parts = [span[0] for claim, span in told if claim.asserts == "original"]
    return not any(renewal < first for renewal in renewed for first in first_parts)


def keyed(drawn):
    return [
        Claim(str(place), told.topic, told.grade, told.text, told.edtf, told.asserts, told.who)
        for place, (told, _) in enumerate(drawn)
    ]


@settings(max_examples=150, deadline=None)
@given(st.lists(drawn_claim(), min_size=1, max_size=4))
def test_no_conflict_is_reported_where_some_choice_of_days_fits(drawn):
    if some_days_fit(drawn):
        assert conflicts(keyed(drawn)) == []


@settings(max_examples=150, deadline=None)
@given(st.lists(drawn_claim(), min_size=2, max_size=4))
def test_each_conflict_is_real_for_the_claims_it_joins(drawn):
    """Together with the other times of the same owners, which may excuse an act."""
    claims = keyed(drawn)
    for found in conflicts(claims):
        joined = [
            (claim, days) for claim, (_, days) in zip(claims, drawn, strict=True) if claim in found.claims
        ]
        assert not some_days_fit(joined)


def _one_time_each(drawn) -> bool:
    owners = [claim.who for claim, _ in drawn if claim.asserts == "owned"]
    return len(owners) == len(set(owners))


@settings(max_examples=150, deadline=None)
@given(st.lists(drawn_claim(), min_size=2, max_size=4).filter(_one_time_each))
def test_where_no_choice_fits_a_conflict_is_found(drawn):
    assert some_days_fit(drawn) or conflicts(keyed(drawn))


def test_an_undated_renewal_by_an_owner_was_done_while_owning_it():
    claims = [
        Claim("1", "owned", "told", "The Vales had it.", "/1950", "owned", "Vale"),
        Claim("2", "strings", "told", "The Vales had it restrung.", "", "restrung", "Vale"),
        Claim("3", "strings", "seen", "The first strings.", "1975", "original"),
    ]
    (found,) = conflicts(claims)
    assert {claim.key for claim in found.claims} == {"1", "2", "3"}
    assert "by Vale, who is said to have owned it" in found.sentence
    assert conflicts(claims[1:]) == []


@settings(max_examples=60, deadline=None)
@given(st.lists(drawn_claim(), max_size=5), st.randoms(use_true_random=False))
def test_conflicts_do_not_depend_on_order(drawn, random):
    claims = keyed(drawn)
    assert conflicts(random.sample(claims, len(claims))) == conflicts(claims)


def test_sixty_claims_are_compared_in_little_work():
    claims = [claim(str(n), "owned", f"{1900 + n}/{1905 + n}", f"owner {n % 20}") for n in range(60)]
    assert all(len(found.claims) <= 6 for found in conflicts(claims))


def test_each_of_many_acts_between_two_owners_is_named_without_trying_every_four():
    """Forty acts on either side could be combined in two and a half million ways."""
    times = [claim("v", "owned", "1900/", "v"), claim("w", "owned", "1905/", "w")]
    acts = [claim(f"v{n}", "repaired", f"{1910 + n}", "v") for n in range(40)]
    acts += [claim(f"w{n}", "repaired", f"{1910 + n}", "w") for n in range(40)]
    found = conflicts([*times, *acts])
    assert {told.key for each in found for told in each.claims} == {told.key for told in (*times, *acts)}
    assert len(found) <= 2 * len(acts)
