import pytest

from shop.calc.drafting import Sentence
from shop.calc.tracing import traced

TOLD = Sentence(
    "We were told: “restrung in the war”. We have seen no paper.", "statement, told", "statement 1"
)
SERIAL = Sentence("Serial number 31447.", "serial number", "identity")


@pytest.mark.parametrize(
    ("text", "rests_on"),
    [
        (f"{SERIAL.text} {TOLD.text}", [SERIAL, TOLD]),
        (f"{TOLD.text}\n{SERIAL.text}", [TOLD, SERIAL]),
        ("serial  number 31447", [SERIAL]),
        ('We were told: "restrung in the war". We have seen no paper', [TOLD]),
        ("Serial number 314478.", [None]),
        ("Serial number 31447 of many.", [None]),
        (f"A fine tone! {SERIAL.text} Come and play.", [None, SERIAL, None]),
    ],
)
def test_each_sentence_finds_its_record(text, rests_on):
    assert [each.rests_on for each in traced(text, [SERIAL, TOLD])] == rests_on


def test_a_told_sentence_without_its_telling_rests_on_nothing():
    assert traced("Restrung in the war.", [TOLD])[0].rests_on is None
    assert traced("We were told: “restrung in the war”.", [TOLD])[0].rests_on is None


def test_nothing_is_lost_or_made_up():
    text = f"One. {SERIAL.text} “Two!” three\nfour."
    assert " ".join(each.text for each in traced(text, [SERIAL])) == " ".join(text.split())
