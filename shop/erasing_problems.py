"""What stands against erasing a person's data: whatever is open between us."""

from datetime import date

from django.urls import reverse

from instruments.problems import Blocker, Caution, Problem
from instruments.states import Place
from shop.models import Person
from shop.person_card import PersonCard, card_of
from shop.person_rows import enquiries_of
from shop.states import LEADS_THAT_WAIT, CommissionState, TrialState
from shop.waiting_lines import named
from workorders.currency import in_words

FINISHED = (CommissionState.SETTLED, CommissionState.WITHDRAWN)


def erasing_problems(person: Person, *, on: date) -> list[Problem]:
    if person.closed_on:
        return [Blocker("Their data was erased already.")]
    card = card_of(person, on=on)
    return [*_money(card), *_words(card), *_things(card), *_care(card)]


def _money(card: PersonCard) -> list[Problem]:
    account = f"{card.person.get_absolute_url()}#account"
    found: list[Problem] = []
    if card.credit_minor:
        found.append(Blocker(f"{in_words(card.credit_minor)} of theirs is in credit: pay it out.", account))
    found += [Blocker(f"They owe {in_words(d.amount_minor)}: {d.words}.", d.url) for d in card.they_owe]
    found += [Blocker(f"We owe {in_words(d.amount_minor)}: {d.words}.", d.url) for d in card.we_owe]
    return found


def _words(card: PersonCard) -> list[Problem]:
    person = card.person
    drafted = person.whole("trials").filter(state=TrialState.DRAFT).select_related("instrument")
    undelivered = [
        care.sale
        for care in card.cares
        if care.delivered_on is None and care.sale.instrument.place != Place.CUSTOMER
    ]
    return [
        *(
            Blocker(
                f"The hold on {named(word.promise.instrument)} is open.",
                reverse("shop:hold_page", args=[word.promise.pk]),
            )
            for word in card.holds
        ),
        *(
            Blocker(
                f"{named(word.promise.instrument)} is on trial with them.",
                word.promise.trial.get_absolute_url(),
            )
            for word in card.on_trial
        ),
        *(
            Blocker(f"A home trial of {named(each.instrument)} is drafted.", each.get_absolute_url())
            for each in drafted
        ),
        *(
            Blocker(f"{sale.number} has not been handed over.", sale.get_absolute_url())
            for sale in undelivered
        ),
    ]


def _things(card: PersonCard) -> list[Problem]:
    person = card.person
    here = person.whole("left_with_us").filter(handed_back_on=None).select_related("instrument")
    on_return = person.whole("sale_or_returns").standing().select_related("instrument")
    unsold = on_return.exclude(instrument__promises__kind="sale", instrument__promises__closed_at=None)
    leads = person.whole("leads").filter(state__in=LEADS_THAT_WAIT)
    return [
        *(
            Blocker(
                f"{each.commission.number}, work for them, is not finished.",
                each.commission.get_absolute_url(),
            )
            for each in card.commissions
            if each.state not in FINISHED
        ),
        *(Blocker(f"Their {named(each.instrument)} is with us.", each.get_absolute_url()) for each in here),
        *(
            Blocker(f"{named(each.instrument)} is here to be sold for them.", each.get_absolute_url())
            for each in unsold
        ),
        *(
            Blocker(f"{each.number}, what they offer us, is not decided.", each.get_absolute_url())
            for each in leads
        ),
        *(
            Blocker(f"{each.number}, what they asked us, is open.", each.get_absolute_url())
            for each in enquiries_of(person).open()
        ),
    ]


def _care(card: PersonCard) -> list[Problem]:
    return [
        *(Blocker(f"{each.number} is open.", each.get_absolute_url()) for each in card.call_backs),
        *(
            Blocker(f"A visit is booked for {each.booked_for:%-d %B %Y}.", each.get_absolute_url())
            for each in card.visits
        ),
        *(
            Caution(
                f"The guarantee on {named(care.sale.instrument)} runs until "
                f"{care.guarantee_ends_on:%-d %B %Y}. It stays theirs; they show their own papers for it, "
                "since we reach them no more."
            )
            for care in card.guarantees
        ),
    ]
