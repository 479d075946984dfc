"""A person's statement of account, from the ledger to paper."""

from datetime import date

from instruments.documents.content import MoneyLine
from shop.actions.papers import person_party, shop_party
from shop.documents.statement import StatementPaper, build_statement
from shop.models import ShopProfile
from shop.statements import Statement
from workorders.currency import in_words


def print_statement(statement: Statement, *, on: date) -> bytes:
    return build_statement(
        StatementPaper(
            dated=on,
            shop=shop_party(ShopProfile.current()),
            customer=person_party(statement.person),
            steps=tuple(_rows(statement)),
            sums=tuple(_sums(statement)),
            stands=statement.standing("yours"),
            bought=tuple(_bought(statement)),
        )
    )


def _rows(statement: Statement):
    if statement.has_earlier:
        yield "", "Brought forward", "", in_words(statement.brought_forward_minor)
    for step in statement.steps:
        amount = in_words(step.sum_minor) if step.sum_minor else ""
        words = f"{step.words}, {step.receipt}" if step.receipt else step.words
        yield f"{step.on:%-d %b %Y}", words, amount, in_words(step.after_minor)


def _sums(statement: Statement):
    for word in statement.open_words:
        yield MoneyLine(f"{word.words}: paid toward it", in_words(word.held_minor))
        if word.to_pay_minor is not None:
            yield MoneyLine(
                f"{word.words}: still to pay{word.if_kept}",
                in_words(word.to_pay_minor),
                "; ".join(word.stages),
            )
    yield MoneyLine("In credit", in_words(statement.credit_minor), strong=True)


def _bought(statement: Statement):
    for each in statement.bought:
        day = f"{each.on:%-d %B %Y}" if each.on else "day not recorded"
        yield MoneyLine(each.words, in_words(each.amount_minor), day)
