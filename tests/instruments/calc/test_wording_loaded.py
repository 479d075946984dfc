"""The words come from the trade's own complaints: common practice, no source."""

import pytest

from instruments.calc.wording import PART_NAMES, TERMS, loaded_words, names_in, part_backing


def words(text, backed=()) -> list[str]:
    return [found.word for found in loaded_words(text, backed)]


@pytest.mark.parametrize(
    "phrase",
    [
        "restored", "rebuilt", "reconditioned", "perfect", "like new", "original", "rare", "antique",
        "concert pitch", "one owner", "always tuned", "never used", "just needs tuning", "steel frame",
        "golden age", "top brand", "real ivory", "appraised", "half price", "great for beginners",
    ],
)  # fmt: skip
def test_a_loaded_word_is_found_wherever_it_stands(phrase):
    assert words(f"{phrase.title()} here, and again: {phrase.upper()}.") == [phrase.title(), phrase.upper()]


@pytest.mark.parametrize("text", ["orıginal", "RESTORATİON", "reſtored", "As\u00a0-  New", "Steel-Framed"])
def test_letters_that_fold_otherwise_are_found_as_well(text):
    assert words(text) == [text]


@pytest.mark.parametrize(
    "text", ["unrestored", "originally", "rarely", "perfectionist", "mintage", "antiquated"]
)
def test_only_whole_words_count(text):
    assert words(text) == []


@pytest.mark.parametrize("text", ["like-new", "like  new", "Like\nnew", "steel-framed", "collector’s item"])
def test_hyphens_lines_and_apostrophes_do_not_hide_a_phrase(text):
    assert words(text) == [text]


def test_the_longest_phrase_is_the_one_reported():
    assert words("perfect for beginners") == ["perfect for beginners"]


@pytest.mark.parametrize(
    "text", ["It is not restored.", "Never rebuilt.", "non-original tops", "not been fully restored"]
)
def test_what_is_denied_is_left_alone(text):
    assert words(text) == []


def test_a_denial_elsewhere_does_not_excuse():
    assert words("Not only polished but restored.") == ["restored"]


@pytest.mark.parametrize(
    "text",
    [
        "The last owner told us: “fully restored”. We have seen no paper.",
        "A label reads \"rebuilt 1931\".",
        "A card says ‘perfect’ in pencil.",
    ],
)  # fmt: skip
def test_the_quoted_words_of_a_teller_are_left_alone(text):
    assert words(text) == []


def test_quotation_marks_of_our_own_do_not_excuse():
    assert words("A “restored” piano.") == ["restored"]


def test_an_open_quotation_hides_nothing():
    assert words("We were told “restored") == ["restored"]


def test_a_word_outside_the_quotation_is_still_found():
    assert words("We were told: “rare”. It is perfect.") == ["perfect"]


def test_a_work_list_backs_the_words_for_work_and_no_other():
    assert words("Restored, and perfect.", {"work list"}) == ["perfect"]


def test_original_needs_evidence_for_each_part_that_it_is_said_of():
    (found,) = loaded_words("Original strings and hammers.", {part_backing("hammers")})
    assert found.parts == ("strings",)
    assert words("Original strings.", {part_backing("strings")}) == []


def test_original_without_a_part_needs_evidence_for_all_of_them():
    every = {part_backing(topic) for topic in PART_NAMES}
    assert words("All original.", every - {part_backing("case")}) == ["All original"]
    assert words("All original.", every) == []


def test_a_word_without_a_part_names_none():
    assert [found.parts for found in loaded_words("Restored strings, rare.")] == [(), ()]


def test_nothing_can_back_perfection():
    every = {term.backing for term in TERMS}
    assert words("A perfect piano with a steel frame.", every) == ["perfect", "steel frame"]


def test_a_finding_says_why_and_what_it_needs():
    (found,) = loaded_words("Fully restored.")
    assert (found.start, found.backing) == (6, "work list")
    assert found.sentence == (
        "“restored”: it has no agreed meaning; it can stand for a polish or for a new plank. "
        "Behind it must stand an itemised list of the work done."
    )


def test_every_term_gives_its_reason_and_its_need():
    assert [term for term in TERMS if not (term.reason.endswith(".") and term.needs.endswith("."))] == []


def test_no_phrase_belongs_to_two_terms():
    phrases = [phrase for term in TERMS for phrase in term.phrases]
    assert len(phrases) == len(set(phrases))


def test_a_long_text_is_read_in_one_go():
    assert len(loaded_words("restored " * 5000)) == 5000


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Bought from MRS  VALE in 1931.", ["Mrs Vale"]),
        ("Bought from Mrs. Vale's aunt.", ["Mrs Vale"]),
        ("A vale of tears, Mrs Vales.", []),
        ("", []),
    ],
)
def test_names_that_may_not_go_public_are_found(text, found):
    assert names_in(text, ["Mrs Vale", "", "Orrin Rook"]) == found
