"""How a table of tell-tales is read. The table here is a small one of its own."""

import copy

import pytest

from instruments.calc.evidence import Claim, standing
from instruments.calc.evidence.tell_tales import bearings_from, questions_from, tell_tale_faults


def row(code, speaks_for, speaks_against, strength="fair") -> dict:
    return {
        "code": code,
        "text": f"Seen: {code}.",
        "look": "Lamp.",
        "speaks_for": speaks_for,
        "speaks_against": speaks_against,
        "strength": strength,
        "source": "common practice, no source",
        "caution": "",
    }


TABLE = [
    {
        "code": "strings",
        "question": "Replaced, or only cleaned?",
        "topic": "strings",
        "answers": [
            {"code": "replaced", "words": "replaced", "asserts": ["restrung"]},
            {"code": "cleaned", "words": "cleaned", "asserts": ["original"]},
            {"code": "untouched", "words": "left alone", "asserts": ["original"]},
        ],
        "tell_tales": [
            row("new-wire", ["replaced"], ["cleaned", "untouched"], "strong"),
            row("brush-marks", ["cleaned"], ["replaced", "untouched"], "strong"),
            row("hidden-rust", ["cleaned", "untouched"], ["replaced"]),
            row("dull-wire", ["untouched"], ["replaced"], "weak"),
            row("scratches", ["cleaned"], ["untouched"], "weak"),
        ],
    }
]
(QUESTION,) = questions_from(TABLE)
RESTRUNG = Claim("1", "repaired", "told", "It was restrung in 1988.", "1988", "restrung")
FIRST = Claim("2", "strings", "told", "The strings are the first ones.", "", "original")


def told(claim, *seen) -> list[tuple[str, str]]:
    pieces = bearings_from(QUESTION, QUESTION.answers_to(claim), seen)
    return [(piece.side, piece.strength) for piece in pieces]


def test_a_question_knows_under_which_answers_a_claim_is_true():
    assert QUESTION.answers_to(RESTRUNG) == ("replaced",)
    assert QUESTION.answers_to(FIRST) == ("cleaned", "untouched")


@pytest.mark.parametrize(
    ("topic", "asserts"), [("hammers", "original"), ("strings", ""), ("strings", "moved")]
)
def test_a_question_does_not_test_other_claims(topic, asserts):
    assert QUESTION.answers_to(Claim("3", topic, "told", "x", "", asserts)) == ()


def test_only_what_was_seen_speaks():
    assert told(RESTRUNG) == []
    assert told(RESTRUNG, "new-wire") == [("for", "strong")]


def test_a_tell_tale_against_the_answer_speaks_against_the_claim():
    assert told(RESTRUNG, "brush-marks", "hidden-rust") == [("against", "strong"), ("against", "fair")]


def test_one_of_several_answers_is_enough_to_speak_for():
    assert told(FIRST, "brush-marks") == [("for", "strong")]


def test_only_all_answers_together_speak_against():
    assert told(FIRST, "new-wire") == [("against", "strong")]
    assert told(FIRST, "scratches") == [("for", "weak")]


def test_without_answers_nothing_speaks():
    assert bearings_from(QUESTION, (), ["new-wire"]) == []


def test_what_is_seen_at_the_bench_moves_the_standing():
    answers = QUESTION.answers_to(RESTRUNG)
    assert standing(RESTRUNG, bearings_from(QUESTION, answers, [])).name == "as told"
    assert standing(RESTRUNG, bearings_from(QUESTION, answers, ["brush-marks"])).name == "contradicted"


def test_the_same_tell_tale_ticked_twice_counts_once():
    answers = QUESTION.answers_to(RESTRUNG)
    twice = bearings_from(QUESTION, answers, ["hidden-rust"]) * 2
    assert standing(RESTRUNG, twice).name == "open"


def test_a_sound_table_has_no_faults():
    assert tell_tale_faults(TABLE) == []


def spoilt(change) -> list[str]:
    table = copy.deepcopy(TABLE)
    change(table[0])
    return tell_tale_faults(table)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda q: q["tell_tales"][0].update(speaks_for=["gone"]), "“gone” is no answer"),
        (lambda q: q["tell_tales"][0].update(strength="sure"), "not strong, fair or weak"),
        (lambda q: q["tell_tales"][0].update(source=" "), "“source” is empty"),
        (lambda q: q["tell_tales"][4].update(speaks_for=[]), "speaks for nothing"),
        (lambda q: q["tell_tales"][0].update(speaks_against=["replaced"]), "for and against “replaced”"),
        (lambda q: q["tell_tales"][0].update(code="scratches"), "scratches stands there twice"),
        (lambda q: q["tell_tales"].pop(), "fewer than 5"),
        (lambda q: q["answers"][0].update(asserts=["flew"]), "“flew” is nothing"),
        (
            lambda q: q["answers"].append({"code": "eaten", "words": "", "asserts": []}),
            "nothing speaks for “eaten”",
        ),
    ],
)
def test_a_fault_in_the_table_is_named(change, fault):
    assert any(fault in sentence for sentence in spoilt(change))


def test_two_questions_of_one_code_are_a_fault():
    assert tell_tale_faults(TABLE * 2) == ["question strings stands there twice."]
