"""The scale of standing is our own: common practice, no source. Names and stories are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.evidence import RISING, Bearing, Claim, standing

GRADES = ["seen", "measured", "mark", "document", "told", "inferred"]


def claim(grade="told") -> Claim:
    return Claim("1", "strings", grade, "The strings were replaced in 1988.", "1988", "restrung")


def piece(code: str, note: str = "", source: str = "") -> Bearing:
    """ "+strong" speaks for, "-fair" against."""
    return Bearing("for" if code[0] == "+" else "against", code[1:], note or code, source)


def name(grade, *codes) -> str:
    return standing(claim(grade), [piece(code) for code in codes]).name


@pytest.mark.parametrize(
    ("grade", "expected"),
    [
        ("seen", "supported"),
        ("measured", "supported"),
        ("document", "supported"),
        ("mark", "supported"),
        ("told", "as told"),
        ("inferred", "open"),
    ],
)
def test_without_evidence_a_claim_stands_where_its_grade_puts_it(grade, expected):
    assert name(grade) == expected


@pytest.mark.parametrize(
    ("grade", "codes", "expected"),
    [
        ("told", ["+strong"], "supported"),
        ("told", ["+fair"], "supported"),
        ("told", ["+weak"], "as told"),
        ("told", ["-weak"], "open"),
        ("told", ["-fair"], "open"),
        ("told", ["-strong"], "contradicted"),
        ("told", ["-fair", "-fair"], "contradicted"),
        ("told", ["+weak", "-strong"], "contradicted"),
        ("told", ["+fair", "-strong"], "contradicted"),
        ("told", ["+strong", "-strong"], "open"),
        ("told", ["+strong", "-fair"], "supported"),
        ("inferred", ["+fair"], "supported"),
        ("document", ["-fair"], "supported"),
        ("document", ["-strong"], "open"),
        ("document", ["-strong", "-strong"], "contradicted"),
        ("mark", ["-fair"], "open"),
        ("mark", ["-strong"], "contradicted"),
        ("seen", ["-strong"], "open"),
    ],
)
def test_a_side_decides_when_it_has_twice_the_other(grade, codes, expected):
    assert name(grade, *codes) == expected


@pytest.mark.parametrize("side", "+-")
def test_any_number_of_weak_pieces_never_decides(side):
    assert name("told", *[f"{side}weak"] * 9) == name("told", f"{side}weak")


def test_a_word_does_not_become_a_fact_by_being_said_again():
    words = [Bearing("for", "strong", f"said again, {n}", f"call {n}", is_hearsay=True) for n in range(5)]
    assert standing(claim(), words).name == "as told"


def test_one_source_counts_once_on_a_side():
    twice = [
        piece("-fair", "frayed strand", "tell-tale 7"),
        piece("-fair", "frayed, once more", "tell-tale 7"),
    ]
    assert standing(claim(), twice).name == "open"


def test_of_one_source_the_strongest_reading_counts():
    pieces = [piece("-weak", source="tell-tale 7"), piece("-strong", source="tell-tale 7")]
    assert standing(claim(), pieces).name == "contradicted"


@pytest.mark.parametrize(
    ("grade", "pieces", "sentence"),
    [
        ("told", [], "As told: nothing on file speaks for or against it."),
        ("inferred", [], "Open: we infer it, and nothing on file speaks for or against it."),
        ("seen", [], "Supported: we saw it ourselves, and nothing speaks against it."),
        (
            "told",
            [piece("-strong", "dark wire under the felts."), piece("-fair", "coils dark at the top")],
            "Contradicted: against it stand dark wire under the felts (strong) "
            "and coils dark at the top (fair), and nothing speaks for it.",
        ),
        (
            "told",
            [piece("-strong", "dark wire"), piece("+fair", "invoice for wire")],
            "Contradicted: against it stands dark wire (strong), "
            "and that outweighs what speaks for it (invoice for wire (fair)).",
        ),
        (
            "told",
            [piece("+strong", "larger pins"), piece("-weak", "dull bass")],
            "Supported: larger pins (strong), and what speaks against it (dull bass (weak)) weighs far less.",
        ),
        (
            "told",
            [piece("+weak", "bright wire")],
            "As told: bright wire (weak) leans its way, which does not decide it.",
        ),
        (
            "told",
            [piece("-fair", "rub marks")],
            "Open: rub marks (fair) leans against it, which does not decide it.",
        ),
        (
            "document",
            [piece("-strong", "dark wire")],
            "Open: for it a document says so; against it dark wire (strong); neither outweighs.",
        ),
    ],
)
def test_one_sentence_names_what_decides(grade, pieces, sentence):
    assert standing(claim(grade), pieces).sentence == sentence


def test_the_reason_is_the_sentence_without_the_name():
    assert standing(claim(), []).reason == "Nothing on file speaks for or against it."


def test_the_deciding_pieces_are_given_strongest_first():
    weak, strong = piece("-weak", "a"), piece("-strong", "b")
    assert standing(claim(), [weak, strong]).deciding == (strong, weak)


@pytest.mark.parametrize("name", RISING)
def test_only_the_contradicted_may_not_be_printed(name):
    found = {"contradicted": ["-strong"], "open": ["-weak"], "as told": [], "supported": ["+fair"]}[name]
    judged = standing(claim(), [piece(code) for code in found])
    assert (judged.name, judged.may_be_printed) == (name, name != "contradicted")


@pytest.mark.parametrize(("side", "strength"), [("beside", "strong"), ("for", "certain")])
def test_evidence_of_an_unknown_kind_is_refused(side, strength):
    with pytest.raises(ValueError, match=r"for or against|strong, fair or weak"):
        Bearing(side, strength)


@pytest.mark.parametrize("fields", [{"grade": "known"}, {"asserts": "flew"}, {"edtf": "199u"}])
def test_a_claim_in_unknown_words_is_refused(fields):
    with pytest.raises(ValueError):
        Claim(**({"key": "1", "topic": "made", "grade": "told", "text": "…"} | fields))


sources = st.sampled_from(["", "a", "b", "c"])
notes = st.sampled_from(["", "n", "m"])
pieces_of = {
    side: st.builds(
        Bearing, st.just(side), st.sampled_from(["strong", "fair", "weak"]), notes, sources, st.booleans()
    )
    for side in ("for", "against")
}
some_pieces = st.lists(st.one_of(*pieces_of.values()), max_size=8)
claims = st.sampled_from(GRADES).map(claim)


@given(claims, some_pieces, st.lists(pieces_of["against"], min_size=1, max_size=3))
def test_standing_never_rises_by_evidence_against(claim, pieces, more):
    assert standing(claim, pieces + more).rank <= standing(claim, pieces).rank


@given(claims, some_pieces, st.lists(pieces_of["for"], min_size=1, max_size=3))
def test_standing_never_falls_by_evidence_for(claim, pieces, more):
    assert standing(claim, pieces + more).rank >= standing(claim, pieces).rank


@given(claims, some_pieces, st.randoms(use_true_random=False))
def test_standing_and_its_sentence_do_not_depend_on_order(claim, pieces, random):
    shuffled = random.sample(pieces, len(pieces))
    assert standing(claim, shuffled) == standing(claim, pieces)


def test_two_words_of_one_weight_keep_their_place_whatever_strength_each_was_given():
    words = [Bearing("against", strength, "n", "", True) for strength in ("strong", "fair")]
    assert standing(claim("told"), words) == standing(claim("told"), words[::-1])


@given(claims, some_pieces)
def test_the_sentence_begins_with_the_name_and_ends_once(claim, pieces):
    judged = standing(claim, pieces)
    assert judged.sentence.casefold().startswith(f"{judged.name}:") and judged.sentence.endswith(".")
