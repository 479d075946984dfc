import pytest

from shop.calc.drafting import (
    Fault,
    ListingFacts,
    Sentence,
    Told,
    Work,
    draft,
    when,
)
from shop.calc.tracing import beyond_the_record


def facts(**known) -> ListingFacts:
    return ListingFacts(**({"maker": "Halden & Rook", "kind": "Upright"} | known))


def texts(sentences) -> list[str]:
    return [sentence.text for sentence in sentences]


def test_a_date_with_a_basis_prints_with_it():
    drafted = draft(facts(made="about 1912", made_basis="from the serial number"))
    assert drafted.headline == "Halden & Rook upright, about 1912"
    assert texts(drafted.body) == ["Made about 1912 (from the serial number)."]


def test_a_date_that_was_only_told_never_prints_as_a_fact():
    drafted = draft(facts(made="1912", made_is_told=True))
    assert drafted.headline == "Halden & Rook upright, said to be of 1912"
    assert texts(drafted.body) == ["We were told it was made in 1912; we have seen nothing that shows it."]


def test_an_unknown_maker_is_said_to_be_unknown():
    assert draft(facts(maker="Maker unknown", maker_is_known=False)).headline == "Upright, maker unknown"


def test_the_name_on_the_fall_is_given_only_where_it_differs():
    assert texts(draft(facts(name_on_fall="Halden & Rook")).body) == []
    assert texts(draft(facts(name_on_fall="Pell, Orrinbridge")).body) == [
        "The name on the fall is Pell, Orrinbridge."
    ]


@pytest.mark.parametrize(
    ("grade", "sentence"),
    [
        ("told", "We were told: restrung in the war (1940s). We have seen no paper."),
        ("seen", "We saw: restrung in the war (1940s; bright wire)."),
        ("document", "A document (bright wire) shows: restrung in the war (1940s)."),
        ("mark", "A mark in the instrument (bright wire) suggests: restrung in the war (1940s)."),
        ("inferred", "We infer: restrung in the war (1940s), because bright wire. It is not proven."),
    ],
)
def test_a_statement_reads_no_stronger_than_its_grade(grade, sentence):
    told = Told(text="restrung in the war.", grade=grade, dated="1940s", source_note="bright wire")
    assert texts(draft(facts(statements=(told,))).history) == [sentence]


def test_who_told_us_is_named_by_relation_alone():
    told = Told(text="It was restrung in the war.", grade="told", relation="last_owner")
    assert texts(draft(facts(statements=(told,))).history) == [
        "The last owner told us that it was restrung in the war; we have seen no paper."
    ]


def test_a_contradicted_statement_is_left_out():
    struck = Told(text="restrung in 1988", grade="told", standing="contradicted")
    kept = Told(text="It was Granny's", grade="told", standing="open")
    assert texts(draft(facts(statements=(struck, kept))).history) == [
        "We were told that it was Granny's; what we found leaves it open."
    ]


def test_a_tellers_own_words_are_quoted():
    told = Told(text="It was Granny's", grade="told", in_their_words=True)
    assert texts(draft(facts(statements=(told,))).history) == [
        "We were told: “It was Granny's”. We have seen no paper."
    ]


def test_work_accepted_outside_its_limit_says_so():
    work = Work(
        name="Set the touch weight",
        result="weighed off",
        measured="50 g",
        done_on="2 April 2026",
        limit="key 3 left",
    )
    assert texts(draft(facts(done=(work,))).work_done) == [
        "Set the touch weight: weighed off, 50 g (2 April 2026). Accepted outside its limit: key 3 left."
    ]


def test_what_was_left_and_what_was_not_examined_are_both_said():
    drafted = draft(
        facts(left=(Work(name="Re-cover the hammers", result="sound enough"),), not_examined=("Bridges",))
    )
    assert texts(drafted.not_done) == [
        "Not done: re-cover the hammers: sound enough.",
        "Not examined: bridges.",
    ]


def test_a_fault_is_printed_with_its_note():
    drafted = draft(facts(faults=(Fault("Case and finish", "Attend", "sun-faded lid"),)))
    assert texts(drafted.faults) == ["Case and finish, attend: sun-faded lid."]


def test_every_drafted_sentence_names_its_source():
    drafted = draft(
        facts(
            made="1912",
            made_basis="from a document seen",
            serial="31447",
            compass="85 keys",
            statements=(Told("told", "told"),),
            done=(Work("Tune"),),
            left=(Work("Polish"),),
            faults=(Fault("Lid", "Repair"),),
        )
    )
    parts = (drafted.body, drafted.history, drafted.work_done, drafted.not_done, drafted.faults)
    assert all(sentence.source for part in parts for sentence in part)


@pytest.mark.parametrize(
    ("words", "after_made"),
    [
        ("1912", "in 1912"),
        ("about 1912", "about 1912"),
        ("between 1910 and 1914", "between 1910 and 1914"),
        ("the 1910s", "in the 1910s"),
    ],
)
def test_a_date_follows_the_word_made(words, after_made):
    assert when(words) == after_made


def test_what_was_never_examined_is_said():
    assert texts(draft(facts(is_examined=False)).not_done) == ["Its condition has not been examined."]


DRAFTED = [
    Sentence("Made about 1912 (from the serial number).", ""),
    Sentence("The last owner told us: “One family had it. Always.”; we have seen no paper.", ""),
]


@pytest.mark.parametrize(
    ("text", "beyond"),
    [
        ("", []),
        (" ".join(sentence.text for sentence in DRAFTED), []),
        ("made about 1912 (from the serial number)", []),
        ("Made about 1912 (from the serial number).\nRestrung in 1980.", ["Restrung in 1980."]),
        (
            "Restrung in 1980. Owned by one family since new!",
            ["Restrung in 1980.", "Owned by one family since new!"],
        ),
        ("  – \n . \n", []),
    ],
)
def test_a_sentence_that_no_record_says_is_found(text, beyond):
    assert beyond_the_record(text, DRAFTED) == beyond
