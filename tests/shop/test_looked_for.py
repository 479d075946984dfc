"""Today's lines of what is looked for, held against all that fits: the same lines, from far less work."""

from datetime import timedelta
from decimal import Decimal
from random import Random

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.actions.tone import set_tone
from shop.looked_for import MOST_OF_ONE_WISH, _fitting, wanted_and_found
from shop.models import Lead, Listing, Wanted
from shop.waiting_lines import MOST, Waiting
from shop.wish_states import WishPoint
from shop.wishes import all_found
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.both]

MAKERS = ("Halden & Rook", "Dornstrand", "Orlestone", "Pell", "unknown")
TOUCHES = ("lighter", "usual", "heavier")


def lines_of_all() -> list[tuple[str, list[Waiting]]]:
    """From every match there is, made one by one: what the page has always said."""
    found = [each for each in all_found() if not each.match.against]
    sides = (
        ("Looked for, and in stock", [each for each in found if not each.is_offered]),
        ("Looked for, and offered to us", [each for each in found if each.is_offered]),
    )
    said = [(heading, _lines(found)[:MOST]) for heading, found in sides]
    return [(heading, lines) for heading, lines in said if lines]


def _lines(found) -> list[Waiting]:
    by_wish, lines = {}, []
    for each in found:
        by_wish.setdefault(each.wanted.pk, []).append(each)
    for fitting in by_wish.values():
        wish = fitting[0].wanted
        whom = f"For {wish.person or 'the shop'}"
        if not wish.is_vague and len(fitting) <= MOST_OF_ONE_WISH:
            for each in fitting:
                lines.append(Waiting(each.words, f"{whom}: {'; '.join(each.match.reasons)}", each.url))
            continue
        why = "ask what else matters"
        if wish.is_vague:
            why = "nothing but the kind was named: ask what maker or size"
        count = f"{len(fitting)} fit{'' if len(fitting) > 1 else 's'}"
        lines.append(Waiting(f"{wish.words}: {count}", f"{whom}; {why}", reverse("shop:wanted")))
    return lines


def lines_on_today() -> list[tuple[str, list[Waiting]]]:
    return [(group.heading, group.lines) for group in wanted_and_found()]


def a_random_shop(chance: Random, *, wishes: int, narrow: bool) -> None:
    people = [make.make_person(name=f"Asker {number}") for number in range(3)]
    for _ in range(chance.randrange(1, 9)):
        _a_piano(chance, people[0])
    for _ in range(chance.randrange(7)):
        make.make_lead(
            maker=chance.choice(MAKERS),
            kind=chance.choice(("", "upright", "grand")),
            height_cm=chance.choice((None, Decimal(118), Decimal("124.5"))),
            key_count=chance.choice((None, 85, 88)),
            asking_minor=chance.choice((None, 0, 90_000, 300_000)),
            place=chance.choice(("", "Orchard Bank, Hexmoor")),
            story=chance.choice(("", "It sounds warm.")),
        )
    for _ in range(wishes):
        _a_wish(chance, chance.choice((None, *people)), narrow=narrow)


def _a_piano(chance: Random, person) -> None:
    maker, kind = chance.choice(MAKERS), chance.choice(("upright", "grand"))
    size = {"upright": "height_cm", "grand": "length_cm"}[kind]
    piano = make.make_instrument(
        maker=maker,
        kind=kind,
        name_on_fall=chance.choice(("", "Pell", maker)),
        key_count=chance.choice((85, 88)),
        case_finish=chance.choice(("", "Painted black")),
        **{size: chance.choice((None, Decimal(118), Decimal("124.5")))},
    )
    if chance.random() < 0.6:
        make.make_price(instrument=piano, amount_minor=chance.choice((90_000, 300_000)))
    if chance.random() < 0.5:
        state = chance.choice(("draft", "published"))
        Listing.objects.create(
            instrument=piano, slug=f"p{piano.pk}", headline="Warm", body="And clear.", state=state
        )
    if chance.random() < 0.3:
        set_tone(instrument=piano, words=["warm"], on=make.A_DAY, by=make.somebody())
    if chance.random() < 0.3:
        make.make_weighing(instrument=piano, down_g=chance.choice((47, 50, 54)))
    if chance.random() < 0.2:
        make.make_running_trial(instrument=piano, person=person)


def _a_wish(chance: Random, person, *, narrow: bool) -> None:
    today = timezone.localdate()
    wish = {
        "maker": chance.choice(("", "halden", "Dornstrand, Pell")),
        "kind": chance.choice(("", "upright")),
    }
    if narrow:
        wish |= {
            "least_cm": chance.choice((None, 120)),
            "most_cm": chance.choice((None, 130)),
            "least_keys": chance.choice((None, 88)),
            "most_minor": chance.choice((None, 100_000)),
            "touch": chance.choice(("", "", *TOUCHES)),
            "tone": chance.choice(("", "warm", "warm, clear")),
            "finish": chance.choice(("", "", "black")),
            "place": chance.choice(("", "Hexmoor")),
            "until": chance.choice((None, today + timedelta(days=9), today - timedelta(days=9))),
        }
        wish["must"] = chance.sample(WishPoint.values, chance.randrange(len(WishPoint.values)))
    if not any(wish.get(name) for name in ("maker", "kind", "least_cm", "most_cm", "least_keys", "finish")):
        wish["kind"] = "grand"
    make.make_wanted(person=person, **wish)


@pytest.mark.parametrize("seed", range(12))
def test_the_lines_are_those_of_every_match_made_one_by_one(seed):
    chance = Random(seed)
    a_random_shop(chance, wishes=chance.randrange(1, 25), narrow=seed % 4 != 0)
    assert lines_on_today() == lines_of_all()
    for row in (Wanted.objects.first(), Lead.objects.first()):  # and what was kept is not said again
        if row is not None:
            row.maker, row.kind = "Orlestone", "upright"
            row.save()
    assert lines_on_today() == lines_of_all()


def test_what_no_line_shows_is_not_held_against_every_piano():
    for place in range(60):
        make.make_wanted(maker="Halden", kind="upright", most_minor=500_000 + place)
    for place in range(20):
        make.make_instrument(height_cm=Decimal(110 + place))
    _fitting.cache_clear()
    (group,) = wanted_and_found()
    held = _fitting.cache_info().misses
    assert len(group.lines) == MOST and held == 21  # one against all wishes, then each against eight
