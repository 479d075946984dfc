"""Sentences with places: filled once, never run, and refused where they would say more than is known."""

import pytest

from shop.calc.drafting import NEVER_EXAMINED, Fault, ListingFacts, Sentence, draft, fitted, length_of
from shop.calc.voice import fill, form_faults, house_voice, house_words, places_in


@pytest.mark.parametrize(
    ("text", "values", "said"),
    [
        ("Serial $serial[, read $where].", {"serial": "7", "where": "inside"}, "Serial 7, read inside."),
        ("Serial $serial[, read $where].", {"serial": "31447"}, "Serial 31447."),
        ("Serial $serial[, read $where].", {"where": "on the frame"}, ""),
        ("$work[: $result, $day].", {"work": "tuned", "result": "fine"}, "Tuned."),
        ("$note.", {"note": "It is done."}, "It is done."),
        ("Costs $5 and $price", {"price": "£9"}, "Costs $5 and £9"),
        ("$note", {"note": "line one\n  line two"}, "Line one line two"),
    ],
)  # fmt: skip
def test_places_are_filled_and_brackets_left_out_where_nothing_is_known(text, values, said):
    assert fill(text, values) == said


@pytest.mark.parametrize(
    "value", ["$maker", "[$maker]", "{{ maker }}", "{% load x %}", "{maker.__class__}", "%(maker)s"]
)
def test_what_a_fact_holds_is_never_read_for_places(value):
    assert fill("Note $note.", {"note": value, "maker": "SECRET"}) == f"Note {value}."


@pytest.mark.parametrize(
    "text", ["{{ maker }} $maker", "{% include 'x' %} $maker", "{maker.__class__} $maker"]
)
def test_template_syntax_of_others_is_plain_text(text):
    assert (
        fill(text, {"maker": "Halden"})
        == text.replace("$maker", "Halden")[:1].upper() + text.replace("$maker", "Halden")[1:]
    )


def faults(code: str, text: str) -> list[str]:
    return form_faults(house_voice().forms[code], text)


@pytest.mark.parametrize(
    ("code", "text", "begins"),
    [
        ("serial", "Number $price.", "This sentence cannot fill in $price. It knows: $serial, $where."),
        ("serial", "A fine piano.", "Put in at least one of $serial, $where outside brackets"),
        ("serial", "No. [$serial", "A square bracket has no partner."),
        ("serial", "No. $serial [a [$where] b]", "A square bracket has no partner."),
        ("serial", "One of 300: $serial.", "It would give the same figure for every instrument."),
        ("made_told", "Made $when.", "Keep “told” or “said” in it"),
        ("made", "Made $when.", "Keep “$basis” in it"),
        ("left", "We did $work.", "Keep “not” in it"),
        ("case", "A perfect case: $case.", "“perfect” would be said of every instrument"),
    ],
)  # fmt: skip
def test_a_sentence_that_says_too_much_is_refused(code, text, begins):
    assert faults(code, text)[0].startswith(begins)


@pytest.mark.parametrize("form", house_voice().forms.values(), ids=lambda form: form.code)
def test_the_house_keeps_its_own_rules(form):
    assert form_faults(form, form.text) == []
    assert set(form.places) <= set(house_words()["places"])


def test_a_changed_sentence_is_said_in_its_place():
    voice = house_voice().with_forms({"serial": "The maker's number is $serial."})
    body = draft(ListingFacts("Halden", "Upright", serial="31447"), voice).body
    assert [each.text for each in body] == ["The maker's number is 31447."]


def test_the_order_of_topics_is_the_shops():
    voice = house_voice().with_versions({"long": (("compass", "serial"), None)})
    body = draft(ListingFacts("Halden", "Upright", serial="31447", compass="85 keys"), voice).body
    assert [each.code for each in body] == ["compass", "serial"]


def notice(**known):
    return draft(ListingFacts(**({"maker": "Halden", "kind": "Upright"} | known))).social


def test_a_notice_keeps_to_its_length_and_never_drops_the_faults():
    many = tuple(Fault("Case", "Attend") for _ in range(3))
    said = notice(
        faults=many, size="It is " + "very " * 60 + "tall", price="£1,800", address="https://shop.example/x/"
    )
    assert length_of(said) <= 280
    assert "Faults we know of: three, named on its page." in [each.text for each in said]


def test_a_notice_says_what_was_never_examined():
    assert NEVER_EXAMINED in notice(is_examined=False)


def test_what_is_candid_stays_though_there_is_no_room():
    assert fitted([Sentence("x" * 50, "", code="made_told"), Sentence("y", "")], 20) == [
        Sentence("x" * 50, "", code="made_told")
    ]


def test_places_are_named_once():
    assert places_in("$when and $when [$basis]") == ["when", "basis"]
