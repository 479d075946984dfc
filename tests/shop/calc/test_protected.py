"""What the law lets a shop do, read from the table that is shipped.

Sources: CHECKS section 7: Ivory Act 2018 ss 1, 8, 11, 38; SI 2022/94; SI 2025/9; 50 CFR 17.40(e)(3); CITES
annotation 15. Values from memory are marked so in the table.
"""

import copy
import json
from decimal import Decimal
from pathlib import Path

import pytest

from shop.calc.protected import ACTS, Known, verdict_on
from shop.calc.protected_table import laws_from, table_faults

TABLE = json.loads(Path("fixtures/protected_materials.json").read_text(encoding="utf-8"))
LAWS = laws_from(TABLE)
CODES = ("uk", "eu", "us", "other")
REGISTERED = frozenset({"registration"})
FOR_A_CONSIDERATION = ("buying", "offering", "lending", "exchanging", "selling")


def verdict(act="offering", material="elephant_ivory", law="uk", **known):
    return verdict_on(LAWS[law], material, act, Known(**known))


# Section 7, test 4; Ivory Act s 1(2), (3) and its explanatory notes.
@pytest.mark.parametrize("act", FOR_A_CONSIDERATION)
def test_uk_ivory_waits_for_its_registration_whatever_the_consideration(act):
    assert verdict(act, made="1912").level == "blocked"


def test_uk_gift_or_unpaid_loan_needs_none():
    assert verdict("giving").level == "free"


@pytest.mark.parametrize(
    ("act", "level"),
    [("offering", "free"), ("exchanging", "free"), ("lending", "cautioned"), ("selling", "cautioned")],
)
def test_uk_registration_opens_each_act(act, level):
    assert verdict(act, papers=REGISTERED, made="1912").level == level


# Section 7, test 5: the loan keeps the owner, but the dealing information must cover it.
def test_uk_loan_under_a_registration_has_to_be_covered_by_it():
    assert "has to cover hire" in verdict("lending", papers=REGISTERED, made="1912").sentence


# Section 7, test 1; s 38(2). A date that only may fall before the limit proves nothing.
@pytest.mark.parametrize(
    ("made", "documented", "level"),
    [
        ("1974-12-31", False, "cautioned"),  # old enough, and of 1947 to 1974: the next test
        ("1975-01-01", False, "blocked"),
        ("1979~", False, "blocked"),
        ("1975?", False, "blocked"),
        ("197X", False, "cautioned"),
        ("1930/1935", False, "free"),
        ("1974~", False, "cautioned"),
        ("1940~", False, "cautioned"),
        ("1940~", True, "free"),
        ("", False, "cautioned"),
    ],
)
def test_uk_date_decides_by_its_bounds_even_under_a_registration(made, documented, level):
    known = {
        "made": made,
        "documented": documented,
        "papers": REGISTERED,
        "certificate": made == "1974-12-31",
    }
    level = "free" if made == "1974-12-31" else level
    assert verdict(**known).level == level


# Section 7, test 3; s 38(3). The certificate: trade bodies relaying APHA, May 2022.
@pytest.mark.parametrize(
    ("made", "level"),
    [("1947-03-02", "free"), ("1947-03-03", "blocked"), ("1947", "cautioned"), ("1960", "blocked")],
)
def test_uk_ivory_of_1947_to_1974_needs_a_certificate_besides(made, level):
    assert verdict(papers=REGISTERED, made=made).level == level
    assert verdict(papers=REGISTERED, made=made, certificate=True).level == "free"


# Section 7, test 7; s 38(2), (3).
@pytest.mark.parametrize(("added", "level"), [("1965", "free"), ("1980", "blocked"), ("197X", "cautioned")])
def test_uk_ivory_added_later_has_to_be_old_too(added, level):
    assert verdict(papers=REGISTERED, made="1912", added=added).level == level


# Section 0.8; SI 2025/9: four species, walrus is not among them.
@pytest.mark.parametrize(("material", "level"), [("listed_ivory", "blocked"), ("walrus_ivory", "cautioned")])
def test_uk_four_further_species_are_listed_and_walrus_is_not(material, level):
    assert verdict(material=material, made="1912").level == level


def test_uk_share_by_measure_only_cautions():  # s 8(1): less than a fifth
    assert verdict(papers=REGISTERED, made="1912", share=Decimal("0.2")).level == "cautioned"
    assert verdict(papers=REGISTERED, made="1912", share=Decimal("0.1999")).level == "free"


# Section 7, test 9; 50 CFR 17.40(e)(3).
@pytest.mark.parametrize(
    ("known", "words"),
    [
        ({"mass_g": Decimal(150), "made": "1950"}, ""),
        ({"mass_g": Decimal(200), "made": "1950"}, "weighs 200 g or more"),
        ({"mass_g": Decimal(150), "made": "2016-07-06"}, "outside the exception"),
        ({"made": "1950"}, "measure the coverings"),
    ],
)
def test_us_exception_depends_on_weight_and_date(known, words):
    assert words in verdict(law="us", papers=frozenset({"exemption"}), **known).sentence


def test_us_asian_ivory_is_told_to_have_no_exception():
    assert "Asian ivory has no such exception" in verdict(law="us").sentence


# Section 7, test 11; CITES annotation 15.
@pytest.mark.parametrize("law", CODES)
@pytest.mark.parametrize(
    ("wood", "level"),
    [("dalbergia_nigra", "blocked"), ("dalbergia_cochinchinensis", "blocked"), ("dalbergia_other", "free")],
)
def test_rosewood_at_a_border(law, wood, level):
    assert verdict("exporting", wood, law, made="1890").level == level


@pytest.mark.parametrize("law", CODES)
def test_a_permit_opens_the_border_and_a_registration_does_not(law):
    assert verdict("exporting", law=law, papers=REGISTERED).level == "blocked"
    assert verdict("exporting", law=law, papers=frozenset({"permit"})).level == "cautioned"


@pytest.mark.parametrize("law", CODES)
@pytest.mark.parametrize("act", FOR_A_CONSIDERATION)
def test_unsettled_covering_counts_as_ivory(law, act):
    assert verdict(act, "unsettled", law).level == verdict(act, law=law).level == "blocked"


def test_the_date_is_not_spoken_of_where_nobody_knows_that_it_is_ivory():
    assert "1975" not in verdict(material="unsettled", made="1979").sentence


def test_eu_ivory_made_after_1975_has_no_route():
    assert verdict(law="eu", papers=frozenset({"certificate"}), made="1976").level == "blocked"


def test_what_blocks_defers_to_the_law_in_force():
    assert verdict().with_caution.endswith("this is not legal advice.")


def test_the_table_that_is_shipped_is_whole():
    assert table_faults(TABLE, CODES) == []


def broken(change) -> list[str]:
    table = copy.deepcopy(TABLE)
    change(table)
    return table_faults(table, CODES)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda t: t["laws"].pop(), "there is no law “other”"),
        (lambda t: t["laws"][0]["rules"].pop(0), "uk: buying of elephant_ivory is told 0 times"),
        (lambda t: t["laws"][0]["rules"][0].update(acts=["dreaming"]), "uk: there is no act “dreaming”"),
        (
            lambda t: t["laws"][0]["rules"][0].update(source=" "),
            "uk: buying of elephant_ivory, listed_ivory lacks its source",
        ),
        (lambda t: t["laws"][0]["rules"][0].update(read_as_of="lately"), "uk: “lately” is not a date"),
        (
            lambda t: t["laws"][0]["rules"][0].update(without="maybe"),
            "uk: “maybe” is none of blocked, cautioned, free",
        ),
        (lambda t: t["laws"][0]["rules"][0].pop("papers"), "a row lacks 'papers'"),
        (
            lambda t: t["laws"][0]["conditions"][2].update(fails="blocked"),
            "uk: a measure is rough, so that it may only caution",
        ),
        (lambda t: t["laws"][0]["conditions"][0].update(limit="soon"), "uk: “soon” is no limit of this kind"),
    ],
)
def test_a_gap_in_the_table_is_named(change, fault):
    assert fault in broken(change)


def test_every_act_has_words():
    assert set(ACTS) == {*FOR_A_CONSIDERATION, "exporting", "giving"}
