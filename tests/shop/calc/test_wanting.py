"""Wishes held against what is offered: what must be so and is not never matches; every reason is true."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.wanting import TELLING, Match, Offered, Wish, match, may_fit, plain_money, points_of

ON = date(2026, 3, 21)
KINDS = ("upright", "grand", "square")
POINTS = ("maker", "kind", "size", "keys", "budget", "touch", "finish", "day")
WORDS = st.sampled_from(("", "Halden & Rook", "Dornstrand", "Pell, Dornstrand", "unknown"))
grams = st.decimals(min_value=-9, max_value=9, places=1)
wishes = st.builds(
    Wish,
    maker=WORDS,
    kind=st.sampled_from(("", *KINDS)),
    least_cm=st.none() | st.integers(100, 130),
    most_cm=st.none() | st.integers(115, 200),
    least_keys=st.none() | st.sampled_from((85, 88)),
    most_minor=st.none() | st.integers(0, 500_000),
    touch=st.sampled_from(("", "lighter", "usual", "heavier")),
    touch_within_g=st.decimals(min_value=Decimal("0.5"), max_value=6, places=1),
    tone=st.sampled_from(("", "warm", "warm, clear")),
    finish=st.sampled_from(("", "mahogany", "black")),
    place=st.sampled_from(("", "Hexmoor")),
    until=st.none() | st.dates(date(2026, 1, 1), date(2026, 12, 31)),
    must=st.frozensets(st.sampled_from(POINTS)),
)
pianos = st.builds(
    Offered,
    maker=st.sampled_from(("", "unknown", "Halden & Rook", "Dornstrand")),
    kind=st.sampled_from(("", *KINDS)),
    size_cm=st.none() | st.decimals(min_value=90, max_value=210, places=1),
    keys=st.none() | st.sampled_from((73, 85, 88)),
    price_minor=st.none() | st.integers(0, 600_000),
    touch_off_g=st.none() | grams,
    said=st.sampled_from(("", "A warm sound.", "Clear and warm")),
    finish=st.sampled_from(("", "Mahogany", "Painted black")),
    stands_at=st.sampled_from(("", "Orchard Bank, Hexmoor")),
    is_ready=st.booleans(),
)


def contradictions(wish: Wish, piano: Offered) -> set[str]:
    """Written anew from what each point means, and from nothing in the module that is tested."""
    known = piano.maker.casefold() not in {"", "unknown"}
    asked = [name.strip().casefold() for name in wish.maker.split(",") if name.strip()]
    size, off, within = piano.size_cm, piano.touch_off_g, wish.touch_within_g
    wrong = {
        "maker": bool(asked) and known and piano.maker.casefold() not in asked,
        "kind": bool(wish.kind and piano.kind) and wish.kind != piano.kind,
        "size": size is not None
        and (
            (wish.most_cm is not None and size > wish.most_cm)
            or (wish.least_cm is not None and size < wish.least_cm)
        ),
        "keys": wish.least_keys is not None and piano.keys is not None and piano.keys < wish.least_keys,
        "budget": wish.most_minor is not None
        and piano.price_minor is not None
        and piano.price_minor > wish.most_minor,
        "touch": off is not None
        and (
            (wish.touch == "lighter" and not (off < 0 and -off <= within))
            or (wish.touch == "usual" and not -within <= off <= within)
            or (wish.touch == "heavier" and not (off > 0 and off <= within))
        ),
        "finish": bool(wish.finish and piano.finish) and wish.finish not in piano.finish.casefold(),
        "day": wish.until is not None and wish.until < ON,
    }
    return {name for name, is_wrong in wrong.items() if is_wrong}


@given(wishes, pianos)
def test_what_must_be_so_and_is_not_never_matches(wish, piano):
    found = match(wish, piano, on=ON)
    if contradictions(wish, piano) & wish.must:
        assert found is None


@given(wishes, pianos)
def test_what_speaks_against_is_exactly_what_contradicts(wish, piano):
    if found := match(wish, piano, on=ON):
        assert len(found.against) == len(contradictions(wish, piano))
        assert len(found.against) <= len(found.reasons)


@given(wishes, pianos)
def test_every_reason_is_true_of_the_record(wish, piano):
    for reason in getattr(match(wish, piano, on=ON), "reasons", ()):
        assert is_true(reason, wish, piano), reason


def is_true(reason: str, wish: Wish, piano: Offered) -> bool:
    """Read back from the sentence: its figures and names are the piano's, and within the wish."""
    plain_size = "" if piano.size_cm is None else f"{piano.size_cm.normalize():f} cm fits"
    off = piano.touch_off_g
    return any(
        (
            bool(piano.maker)
            and reason == f"{piano.maker}: the maker asked for"
            and piano.maker in wish.maker,
            bool(piano.kind) and reason.endswith(f"{piano.kind}, as asked") and piano.kind == wish.kind,
            bool(plain_size)
            and plain_size in reason
            and (wish.least_cm or 0) <= piano.size_cm <= (wish.most_cm or 999),
            reason == f"{piano.keys} keys" and piano.keys >= wish.least_keys,
            off is not None and reason.startswith("touch ") and ("lighter" in reason) == (off < 0),
            reason.startswith("said of it: ") and reason[12:].casefold() in piano.said.casefold(),
            bool(piano.finish) and reason == f"finish: {piano.finish}",
            reason.endswith("within the price named") and piano.price_minor <= wish.most_minor,
            reason == f"it stands at {piano.stands_at}" and wish.place in piano.stands_at,
            reason.startswith("ready now") and piano.is_ready and wish.until >= ON,
        )
    )


@given(wishes, pianos)
def test_something_telling_speaks_for_every_match(wish, piano):
    if match(wish, piano, on=ON):
        points = points_of(wish, piano, on=ON, money=plain_money)
        assert any(point.is_right and point.name in TELLING for point in points)


@pytest.mark.parametrize(
    ("asked", "piano", "side", "words"),
    [
        ({"most_cm": 130}, {"size_cm": Decimal("124.0")}, "reasons", "height 124 cm fits up to 130"),
        (
            {"least_cm": 110, "most_cm": 130},
            {"size_cm": Decimal("124")},
            "reasons",
            "height 124 cm fits 110 to 130",
        ),
        ({"most_cm": 118}, {"size_cm": Decimal("124.5")}, "against", "height 124.5 cm, 6.5 cm over 118"),
        ({"most_minor": 200_000}, {"price_minor": 238_000}, "against", "380.00 over budget"),
        ({"least_keys": 88}, {"keys": 85}, "against", "85 keys, fewer than 88"),
        ({"touch": "lighter"}, {}, "to_ask", "its touch: not measured"),
        (
            {"touch": "lighter"},
            {"touch_off_g": Decimal("-1.5")},
            "reasons",
            "touch 1.5 g lighter than our usual",
        ),
        ({"touch": "usual"}, {"touch_off_g": Decimal("4")}, "against", "touch 4.0 g heavier than our usual"),
        ({"tone": "Warm, bright"}, {"said": "a warm sound"}, "reasons", "said of it: Warm"),
        ({"tone": "Warm, bright"}, {"said": "a warm sound"}, "to_ask", "whether it is: bright"),
        ({"finish": "walnut"}, {"finish": "Burr walnut"}, "reasons", "finish: Burr walnut"),
        (
            {"place": "hexmoor"},
            {"stands_at": "6 Orchard Bank, Hexmoor"},
            "reasons",
            "it stands at 6 Orchard Bank, Hexmoor",
        ),
        ({"until": date(2026, 3, 20)}, {}, "against", "wanted by 20 March 2026, which has passed"),
        ({"until": date(2026, 4, 1)}, {}, "to_ask", "whether it is ready by 1 April 2026"),
    ],
)
def test_each_point_is_said_in_words(asked, piano, side, words):
    wish = Wish(kind="upright", maker="Halden", must=frozenset(), **asked)
    found = match(wish, Offered("Halden & Rook", "upright", **piano), on=ON)
    assert words in getattr(found, side)


def test_what_least_speaks_against_comes_first():
    sure, unsure = Match(("a",), ()), Match(("a",), ("b",))
    better, worse = Match(("a", "b"), ()), Match(("a", "b", "c"), (), ("d",))
    assert sorted([worse, unsure, sure, better], key=lambda each: each.order) == [better, sure, unsure, worse]


def test_a_price_alone_is_no_match_and_a_maker_may_be_one_of_several():
    assert match(Wish(most_minor=100), Offered(price_minor=50)) is None
    assert match(Wish(maker="Pell, Dörnstrand"), Offered("Dornstrand")).reasons
    assert match(Wish(maker="Pell"), Offered("unknown")) is None


@given(wishes, pianos)
def test_what_may_not_fit_by_maker_and_kind_fits_in_no_way(wish, piano):
    if not may_fit(wish, piano.maker, piano.kind):
        assert match(wish, piano, on=ON) is None
