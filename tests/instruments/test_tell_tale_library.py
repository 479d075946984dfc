"""The file as shipped: fixtures/tell_tales.json."""

import pytest

from instruments.calc.evidence import Claim, standing
from instruments.calc.evidence.tell_tales import bearings_from, tell_tale_faults
from instruments.checks import tell_tales_are_sound
from instruments.library import questions, tell_tale_table
from instruments.states import Topic

BY_CODE = {question.code: question for question in questions()}
EVERY = [(question, tell_tale) for question in BY_CODE.values() for tell_tale in question.tell_tales]


def test_the_library_has_no_faults():
    assert tell_tale_faults(tell_tale_table()) == []
    assert tell_tales_are_sound(None) == []


def test_a_fault_in_the_library_stops_the_check(monkeypatch):
    monkeypatch.setattr("instruments.checks.tell_tale_table", lambda: tell_tale_table() * 2)
    assert {error.id for error in tell_tales_are_sound(None)} == {"instruments.E001"}


def test_every_question_of_the_trade_is_asked():
    assert set(BY_CODE) == {
        "strings", "hammers", "case", "key-tops", "key-top-material", "plank-and-pins", "moth", "damp",
    }  # fmt: skip


@pytest.mark.parametrize("question", BY_CODE.values(), ids=BY_CODE)
def test_each_answer_can_be_spoken_for_and_against(question):
    against = {answer for tell_tale in question.tell_tales for answer in tell_tale.speaks_against}
    assert {answer.code for answer in question.answers} == against


@pytest.mark.parametrize("question", BY_CODE.values(), ids=BY_CODE)
def test_a_question_belongs_to_a_topic_of_statements(question):
    assert question.topic in Topic.values


def test_every_text_is_a_sentence():
    assert [tell_tale.code for _, tell_tale in EVERY if not tell_tale.text.endswith((".", "?"))] == []


def test_ticking_everything_that_speaks_for_an_answer_supports_it_alone():
    for question in BY_CODE.values():
        for answer in question.answers:
            told = Claim("1", question.topic, "told", answer.words)
            seen = [each.code for each in question.tell_tales if answer.code in each.speaks_for]
            assert standing(told, bearings_from(question, [answer.code], seen)).name == "supported"


@pytest.mark.parametrize(
    ("seen", "name"),
    [
        (["coils-bright-not-to-the-top", "frayed-strand-at-the-top"], "contradicted"),
        (["rub-marks-beside-the-pins"], "contradicted"),
        (["dark-wire-under-felt"], "contradicted"),
        (["coils-bright-not-to-the-top"], "open"),
        (["even-new-wire", "larger-clean-pins", "new-coils-clear-of-plank"], "supported"),
        (["even-new-wire", "rub-marks-beside-the-pins"], "open"),
    ],
)
def test_a_tale_of_new_strings_is_moved_by_what_the_bench_sees(seen, name):
    told = Claim("1", "strings", "told", "The strings were replaced in 1988.", "1988", "restrung")
    question = BY_CODE["strings"]
    assert standing(told, bearings_from(question, question.answers_to(told), seen)).name == name


@pytest.mark.parametrize(
    ("question", "code", "words"),
    [
        ("key-top-material", "camphor-smell", "Never a hot needle"),
        ("damp", "growth-that-smears", "FFP2 or FFP3 mask"),
        ("damp", "dry-crusty-growth", "live or old alike"),
        ("moth", "moving-larvae", "No mothballs"),
        ("moth", "old-deterrent", "poisonous"),
        ("key-top-material", "glow-under-ultraviolet", "Never look into the lamp"),
    ],
)
def test_a_risky_test_carries_its_caution(question, code, words):
    (found,) = [each for each in BY_CODE[question].tell_tales if each.code == code]
    assert words in found.caution


def test_no_tell_tale_asks_for_heat():
    asked = " ".join(f"{each.text} {each.look}" for _, each in EVERY).casefold()
    assert not [word for word in ("hot ", "flame", "burn", "sand ") if word in asked]
