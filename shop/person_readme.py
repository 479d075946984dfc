"""The first file of what is handed out to a person: who they are, what was between us, what else is in it."""

from collections.abc import Iterator

from django.conf import settings

from shop.commissions import standings_of
from shop.models import Person, ShopProfile
from shop.person_card import visits_of_person
from shop.statements import Statement, Step, statement_of
from workorders.currency import in_words

MOST_STEPS = 2000


def readme_of(person: Person, tables: dict[str, list], missing: list[str]) -> str:
    statement = statement_of(person, limit=MOST_STEPS)
    lines = [
        f"What {ShopProfile.current().name} keeps about {person.name}",
        "",
        *_who(person),
        "",
        *_dealings(statement),
        *_work(person),
        *_visits(person),
        *_what_is_in_it(tables),
    ]
    if missing:
        lines += ["", "These files could not be read when this was made:", *(f"  {path}" for path in missing)]
    return "\n".join(lines) + "\n"


def _who(person: Person) -> Iterator[str]:
    yield "WHO YOU ARE TO US"
    for card in person.rows().order_by("pk"):
        address = ", ".join(card.address.split("\n")) if card.address else ""
        told = filter(None, (card.name, address, card.telephone, card.email))
        yield f"  {' / '.join(' '.join(each.split()) for each in told)}"


def _dealings(statement: Statement) -> Iterator[str]:
    yield "WHAT WAS BETWEEN US, THE OLDEST FIRST"
    yield from (_step(each) for each in statement.steps)
    if not statement.steps:
        yield "  No money has moved on holds, home trials or sales."
    yield f"  It comes to: {statement.stands_words}"
    if statement.credit_minor:
        yield f"  In credit with us: {in_words(statement.credit_minor)}."
    if statement.bought:
        yield ""
        yield "WHAT WE BOUGHT FROM YOU"
        for each in statement.bought:
            day = f"{each.on:%-d %B %Y}" if each.on else "day not recorded"
            yield f"  {day}: {each.words}, {in_words(each.amount_minor)}"
    yield ""


def _step(step: Step) -> str:
    amount = f": {in_words(step.sum_minor)}" if step.sum_minor else ""
    return f"  {step.on:%-d %B %Y}: {step.words}{amount}"


def _work(person: Person) -> Iterator[str]:
    standings = standings_of(person.whole("commissions").order_by("opened_on", "id"))
    if standings:
        yield "WORK FOR YOU"
    for each in standings:
        agreed, paid = in_words(each.approved_minor), in_words(each.paid_minor)
        commission = each.commission
        yield f"  {commission.opened_on:%-d %B %Y}: {commission}, agreed {agreed}, paid {paid}"
    if standings:
        yield ""


def _visits(person: Person) -> Iterator[str]:
    visits = list(visits_of_person(person).with_done_on().order_by("booked_for", "id"))
    if visits:
        yield "OUR VISITS TO YOU"
    for visit in visits:
        state = visit.get_state_display().lower()
        yield f"  {visit.done_on or visit.booked_for:%-d %B %Y}: {visit.get_kind_display()}, {state}"
    if visits:
        yield ""


def _what_is_in_it(tables: dict[str, list]) -> list[str]:
    return [
        "WHAT ELSE IS IN THIS FILE",
        "  papers/           the papers we printed for you, as they were printed (PDF)",
        "  documents/        what you signed or sent us, as we scanned it",
        "  photographs/      the pictures you sent us, as they came",
        "  tables/           every row we keep, a table for each kind, for a spreadsheet (CSV, UTF-8)",
        "  everything.json   the same once more, for a program to read",
        "",
        f"Sums of money in the tables are in {settings.CURRENCY}, as in 1250.00; days are year-month-day.",
        "Numbers of other rows stand in columns such as promise or sale.",
        "",
        "Tables, and how many rows each has:",
        *(f"  {name}: {len(rows)}" for name, rows in tables.items()),
        "",
        "Not in it: what we paid others and earn, and what is written about other people.",
    ]
