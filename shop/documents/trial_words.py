"""What an agreement says of its own figures and days, worked out and put into plain words."""

from string import Template

from instruments.documents.content import Clause, MoneyLine
from instruments.documents.dates import day_in_words, weekday_in_words
from shop.calc.trial_figures import Exchange, TrialFigures
from shop.credit_words import expiry_words, fees_words, scale_words
from shop.documents.trial_agreement import ScreenSignature, TrialAgreement
from workorders.currency import exponent, in_words


def money_lines(agreement: TrialAgreement) -> tuple[MoneyLine, ...]:
    figures = agreement.figures
    lines = [
        MoneyLine("Price if you keep it", in_words(figures.price_minor)),
        MoneyLine("Paid now toward the price", in_words(figures.paid_minor), agreement.brought_words),
    ]
    if figures.delivery_minor:
        counts = "counts toward the price" if figures.delivery_counts else "does not count toward the price"
        note = "; ".join(each for each in (counts, agreement.delivery_note) if each)
        lines += [
            MoneyLine("Delivery", in_words(figures.delivery_minor), note),
            MoneyLine("Due at the start", in_words(figures.due_at_start_minor), strong=True),
        ]
    else:
        lines.append(MoneyLine("Delivery", "none charged", agreement.delivery_note))
    return (
        *lines,
        MoneyLine("Still to pay if you keep it", in_words(figures.still_to_pay_minor), strong=True),
    )


def length_in_words(agreement: TrialAgreement) -> str:
    days = (agreement.ends_on - agreement.starts_on).days
    weeks, rest = divmod(days, 7)
    if days == 1:
        return "1 day"
    return f"{days} days, which is {weeks} weeks" if weeks > 1 and not rest else f"{days} days"


def keep_words(figures: TrialFigures) -> str:
    if not figures.still_to_pay_minor:
        return "Tell us in writing that you keep it. It is paid for already: there is nothing more to pay."
    rest = in_words(figures.still_to_pay_minor)
    return f"Tell us in writing that you keep it, and pay the {rest} that is still to pay. Then it is yours."


def exchange_words(figures: TrialFigures) -> str:
    other = "a dearer one of our instruments" if figures.credit.only_dearer else "another of our instruments"
    words = f"Choose {other}. We fetch this one and bring that one."
    if not figures.counting_minor:
        return f"{words} Nothing has been paid, so nothing comes off its price."
    counting, credit = in_words(figures.counting_minor), in_words(figures.credit_minor)
    if len(figures.credit.scale) > 1:
        return (
            f"{words} Of the {counting} paid toward this one a share comes off its price: at first"
            f" {figures.credit.share_at_first} %, which is {credit}, then by the scale of this agreement."
        )
    if figures.credit.share_at_first == 100:
        return f"{words} All that you have paid toward this one, {counting}, comes off its price."
    return (
        f"{words} Of the {counting} paid toward this one, {figures.credit.share_at_first} %,"
        f" which is {credit}, comes off its price."
    )


def credit_rule_words(agreement: TrialAgreement) -> str:
    """The terms of credit whole, with days instead of months where there are steps."""
    rule = agreement.figures.credit
    scale = f"What counts: {scale_words(rule, agreement.starts_on)}. " if len(rule.scale) > 1 else ""
    return f"{scale}{fees_words(rule)} {expiry_words(rule)}"


def return_words(figures: TrialFigures) -> str:
    words = "Tell us that you return it, and we fetch it."
    if not figures.paid_minor:
        return f"{words} Nothing has been paid toward the price, so there is nothing to give back."
    return (
        f"{words} We give back the {in_words(figures.paid_minor)} paid toward the price, less only what this"
        " agreement or our signed word allows us to keep; or it stays as your credit, if you wish."
    )


def worked_example(figures: TrialFigures) -> str:
    """The credit rule in figures: once with a dearer instrument, once with a cheaper one."""
    if not figures.credit_minor:
        return ""
    step = 50 * 10 ** exponent()
    dearer, cheaper = (figures.exchanged_for(price) for price in figures.example_prices(step))
    credit = in_words(figures.credit_minor)
    at_first = " at first" if len(figures.credit.scale) > 1 else ""
    example = f"For example, you exchange{at_first} and bring {credit} across. {_example(dearer)}"
    return example if figures.credit.only_dearer else f"{example} {_example(cheaper)}"


def _example(exchange: Exchange) -> str:
    price = f"If the other instrument is marked {in_words(exchange.other_price_minor)},"
    if exchange.left_in_credit_minor:
        return (
            f"{price} it is paid for and {in_words(exchange.left_in_credit_minor)} stays in credit for you."
        )
    if not exchange.still_to_pay_minor:
        return f"{price} it is paid for exactly."
    return f"{price} {in_words(exchange.still_to_pay_minor)} is still to pay."


def filled(agreement: TrialAgreement, *texts: str) -> list[str]:
    """The texts with $last_day, $place and so on put in; whatever else stands after a $ stays as it is."""
    known = {
        "first_day": weekday_in_words(agreement.starts_on),
        "last_day": weekday_in_words(agreement.ends_on),
        "place": _in_one_line(agreement.place),
        "humidity": agreement.humidity,
        "registration": agreement.registration or "the reference named in this agreement",
        "number": agreement.number,
        "price": in_words(agreement.figures.price_minor),
        "shop": agreement.shop.name,
        "customer": agreement.customer.name,
    }
    return [Template(text).safe_substitute(known) for text in texts]


def filled_clauses(agreement: TrialAgreement) -> tuple[Clause, ...]:
    texts = filled(agreement, *(clause.text for clause in agreement.clauses))
    return tuple(Clause(clause.heading, text) for clause, text in zip(agreement.clauses, texts, strict=True))


def signed_words(signature: ScreenSignature) -> str:
    """ "14 March 2026 at 10:32, on a screen": the day and hour of the shop's own clock."""
    at, typed = signature.signed_at, "" if signature.drawing else "typed "
    return f"{day_in_words(at.date())} at {at:%H:%M}, {typed}on a screen"


def opening_sentence(agreement: TrialAgreement) -> str:
    instrument = agreement.instrument
    return (
        f"{instrument.maker}, stock {instrument.stock_number}, at home with {agreement.customer.name}"
        f" until {day_in_words(agreement.ends_on)}."
    )


def about_the_form(agreement: TrialAgreement) -> str:
    return (
        "You need not use this form, and need not give a reason: any clear statement that reaches"
        f" {agreement.shop.name} or is sent in time will do. Keep a copy."
    )


def cancellation(agreement: TrialAgreement) -> str:
    instrument, shop = agreement.instrument, agreement.shop
    where = _in_one_line(shop.address)
    return (
        f"To {', '.join(each for each in (shop.name, where, *shop.contacts) if each)}\n"
        f"I cancel agreement {agreement.number} of {day_in_words(agreement.agreed_on)} for"
        f" {instrument.maker}, stock number {instrument.stock_number}."
    )


def _in_one_line(address: str) -> str:
    """Its lines with a comma between them, whichever line ends and commas they were typed with."""
    lines = (line.strip(" ,") for line in address.splitlines())
    return ", ".join(line for line in lines if line)
