"""Cards on file that may be one person's, and what ties two cards together once they are joined."""

from dataclasses import dataclass

from django.db.models import Model, Q, Sum

from shop.calc.doubles import Card, likely_doubles, reasons, shared
from shop.models import Commission, CreditEntry, Payment, Person, Purchase, Sale, Trial

MOST_PAIRS = 50
MOST_ALIKE = 5
MOST_NAMESAKES = 200
FACTS = ("name", "address", "telephone", "email", "note")

# A row that names one card, beside a row that names another, cannot be told apart again.
TIES = (
    (Payment, "person", "promise__person"),
    (Payment, "person", "commission__person"),
    (CreditEntry, "person", "promise__person"),
    (Sale, "person", "promise__person"),
    (Sale, "person", "from_trial__person"),
    (Trial, "person", "promise__person"),
    (Commission, "person", "promise__person"),
    (Commission, "person", "taken_in__person"),
    (Purchase, "seller", "allowed_against__person"),
)


@dataclass(frozen=True)
class Doubles:
    """Two cards side by side, the older first, and what speaks for their being one person's."""

    older: Person
    newer: Person
    reasons: tuple[str, ...]


def doubles_on_file() -> list[Doubles]:
    """The newest pairs; every card is read once, and held against its namesakes alone."""
    columns = Person.objects.standing().order_by().values_list("id", "name", "address", "telephone", "email")
    pairs = likely_doubles(Card(*row) for row in columns.iterator(chunk_size=2000))[:MOST_PAIRS]
    cards = Person.objects.in_bulk({key for pair in pairs for key in (pair.older, pair.newer)})
    return [Doubles(cards[pair.older], cards[pair.newer], pair.reasons) for pair in pairs]


def doubles_of(person: Person) -> list[tuple[Person, tuple[str, ...]]]:
    """Other cards that may be this person's, with why."""
    namesakes = Person.objects.standing().search(person.name).exclude(pk=person.pk)[:MOST_NAMESAKES]
    mine = _card(person)
    return [(other, why) for other in namesakes if (why := reasons(mine, _card(other)))]


def cards_alike(*, name: str, telephone: str = "", email: str = "") -> list[tuple[Person, str]]:
    """Cards on file that a new one would stand beside, the most alike first, with what they share."""
    new = Card(0, name, telephone=telephone, email=email)
    columns = Person.objects.standing().order_by().values_list("id", "name", "address", "telephone", "email")
    cards = (Card(*row) for row in columns.iterator(chunk_size=2000))
    found = [(card.key, alike) for card in cards if (alike := shared(new, card))]
    found = sorted(found, key=lambda pair: (-len(pair[1]), -pair[0]))[:MOST_ALIKE]
    people = Person.objects.in_bulk([key for key, _ in found])
    return [(people[key], " and ".join(alike)) for key, alike in found]


def tie_between(double: Person) -> Model | None:
    """The first row by which a joined card cannot be parted from the person any more."""
    others = double.rows().exclude(pk=double.pk).values("pk")
    for model, one, other in TIES:
        across = Q(**{one: double.pk, f"{other}__in": others}) | Q(**{f"{one}__in": others, other: double.pk})
        if row := model.objects.filter(across).first():
            return row
    return None


def own_credits(double: Person) -> tuple[int, int]:
    """What the entries under this card come to, and those under all the other cards of the person."""
    entries = CreditEntry.objects.order_by()
    own = entries.filter(person=double.pk).aggregate(sum=Sum("amount_minor"))["sum"] or 0
    others = entries.filter(person__in=double.rows().exclude(pk=double.pk))
    return own, others.aggregate(sum=Sum("amount_minor"))["sum"] or 0


def _card(person: Person) -> Card:
    return Card(person.pk, person.name, person.address, person.telephone, person.email)
