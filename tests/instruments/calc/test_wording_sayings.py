"""Every name and story here is invented. Patterns of honest wording: common practice, no source."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.evidence import RISING
from instruments.calc.wording import (
    RELATIONS,
    Saying,
    Strength,
    file_sentence,
    reads_as,
    sentence_for,
    strength_of,
)

GRADES = ["seen", "measured", "mark", "document", "told", "inferred"]


def public(text, grade, **fields) -> str | None:
    worded = sentence_for(Saying(text, grade, **fields))
    return worded and worded.text


@pytest.mark.parametrize(
    ("text", "fields", "sentence"),
    [
        (
            "It was restrung in the war.",
            {"grade": "told", "relation": "last_owner"},
            "The last owner told us that it was restrung in the war; we have seen no paper.",
        ),
        (
            "Restrung in the war",
            {"grade": "told", "dated": "the 1940s"},
            "We were told: Restrung in the war (the 1940s). We have seen no paper.",
        ),
        (
            "It was Granny's, bought new.",
            {"grade": "told", "relation": "last_owner_family", "in_their_words": True},
            "The last owner's family told us: “It was Granny's, bought new”. We have seen no paper.",
        ),
        (
            "They were renewed in 1988",
            {"grade": "told", "relation": "tuner", "standing": "supported"},
            "A tuner who knew it told us that they were renewed in 1988; what we found agrees with it.",
        ),
        (
            "They were renewed in 1988",
            {"grade": "told", "relation": "tuner", "standing": "open"},
            "A tuner who knew it told us that they were renewed in 1988; what we found leaves it open.",
        ),
        (
            "One owner before me, a dentist who did not play.",
            {"grade": "told", "relation": "last_owner"},
            "The last owner told us: “One owner before me, a dentist who did not play”. "
            "We have seen no paper.",
        ),
        (
            "It came to us in 1988. My aunt played it.",
            {"grade": "told"},
            "We were told: “It came to us in 1988. My aunt played it”. We have seen no paper.",
        ),
        (
            "J.P. 3/12",
            {"grade": "mark", "source": "a pencilled date inside", "in_their_words": True},
            "A pencilled date inside reads “J.P. 3/12”.",
        ),
        (
            "It was made in March 1912",
            {"grade": "mark", "source": "pencil on key 1"},
            "A mark in the instrument (pencil on key 1) suggests that it was made in March 1912.",
        ),
        (
            "It was sold to a school",
            {"grade": "document", "source": "an invoice of 1921", "dated": "1921"},
            "An invoice of 1921 shows that it was sold to a school (1921).",
        ),
        ("122 cm tall", {"grade": "measured"}, "We measured: 122 cm tall."),
        (
            "The hammers have been refaced",
            {"grade": "seen", "source": "flat sides, short noses"},
            "We saw that the hammers have been refaced (flat sides, short noses).",
        ),
        (
            "The tops are of the 1950s",
            {"grade": "inferred", "source": "their grain is regular"},
            "We infer that the tops are of the 1950s, because their grain is regular; it is not proven.",
        ),
    ],
)
def test_a_statement_is_worded_by_its_grade_and_standing(text, fields, sentence):
    assert public(text, **fields) == sentence


def test_several_sentences_stay_under_the_words_that_say_they_were_told():
    assert public("It stood in a church. It was played daily.", "told") == (
        "We were told the following; we have seen no paper: It stood in a church. It was played daily."
    )


def test_a_teller_cannot_close_our_quotation_marks():
    assert public("We said “play”", "told", in_their_words=True).count("”") == 1


@pytest.mark.parametrize("grade", GRADES)
def test_nothing_contradicted_is_said_in_public(grade):
    assert public("It was restrung", grade, standing="contradicted") is None


@pytest.mark.parametrize("grade", GRADES)
def test_nothing_private_is_said_in_public(grade):
    assert public("It was restrung", grade, is_public=False) is None


def test_the_file_keeps_name_day_and_standing():
    saying = Saying(
        "It was restrung",
        "told",
        "contradicted",
        told_by="Mrs Vale",
        told_on="3 March 2026",
        standing_sentence="Contradicted: against it stands dark wire (strong), and nothing speaks for it.",
    )
    assert file_sentence(saying).text == (
        "Mrs Vale told us on 3 March 2026 that it was restrung. "
        "Contradicted: against it stands dark wire (strong), and nothing speaks for it."
    )


def test_a_name_in_place_of_a_relation_is_refused():
    with pytest.raises(ValueError, match="never by name"):
        Saying("It was hers", "told", relation="Mrs Vale")


def test_the_teller_and_the_day_of_telling_never_reach_the_public():
    worded = sentence_for(Saying("It was hers", "told", told_by="Mrs Vale", told_on="3 March 2026"))
    assert "Vale" not in worded.text and "2026" not in worded.text


TEXTS = [
    "It was restrung in the war.",
    "Restrung in the war",
    "It stood in a church. It was played daily!",
    "The last owner's pride",
    "A document shows more: “this”",
]
SAYINGS = [
    Saying(text, grade, standing, relation, own_words, dated, source)
    for text, grade, standing, relation, own_words, dated, source in product(
        TEXTS,
        GRADES,
        ["", *RISING],
        ["", "last_owner"],
        [True, False],
        ["", "the 1940s"],
        ["", "a label", "label: x"],
    )
]


def test_the_public_sentence_never_reads_stronger_than_the_file():
    pairs = [(sentence_for(saying), file_sentence(saying)) for saying in SAYINGS]
    stronger = [
        (said.text, kept.text) for said, kept in pairs if said and reads_as(said.text) > kept.strength
    ]
    assert stronger == []


def test_a_sentence_reads_as_strong_as_it_is_meant():
    worded = [sentence_for(saying) for saying in SAYINGS]
    assert {(said.text, reads_as(said.text)) for said in worded if said} == {
        (said.text, said.strength) for said in worded if said
    }


@pytest.mark.parametrize("grade", GRADES)
def test_a_better_standing_never_reads_weaker(grade):
    rising = [strength_of(Saying("x", grade, standing)) for standing in RISING]
    assert rising == sorted(rising)


@pytest.mark.parametrize("standing", RISING)
def test_what_was_told_never_reads_as_strong_as_what_was_shown(standing):
    told = strength_of(Saying("x", "told", standing))
    assert told < min(strength_of(Saying("x", grade)) for grade in ("seen", "measured", "mark", "document"))


@pytest.mark.parametrize(
    "sentence", ["It was restrung in 1988.", "Strings replaced 1988", "", "Told or not, it is old."]
)
def test_a_sentence_without_a_source_reads_as_plain_fact(sentence):
    assert reads_as(sentence) == Strength.PLAIN


own_text = st.text(st.characters(categories=["L", "N", "P", "Zs"]), min_size=1, max_size=80).filter(str.strip)


@given(own_text, st.sampled_from(["told", "inferred"]), st.sampled_from(RISING), st.booleans())
def test_whatever_is_typed_a_word_or_guess_keeps_its_lead(text, grade, standing, own_words):
    worded = sentence_for(Saying(text, grade, standing, in_their_words=own_words))
    assert worded is None or worded.text.startswith(("We were told", "We infer"))


@given(own_text)
def test_whatever_is_typed_the_quotation_ends_once(text):
    assert sentence_for(Saying(text, "told", in_their_words=True)).text.count("”") == 1


@pytest.mark.parametrize("relation", RELATIONS)
def test_each_relation_begins_a_sentence(relation):
    assert (
        public("It was hers", "told", relation=relation).split(" told us")[0].lower() == RELATIONS[relation]
    )


@pytest.mark.parametrize("fields", [{"grade": "known"}, {"grade": "told", "standing": "proven"}])
def test_unknown_grades_and_standings_are_refused(fields):
    with pytest.raises(ValueError, match="is not a"):
        Saying(text="x", **fields)
