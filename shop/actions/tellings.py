"""Telling those who agreed to it of what came into the window: each wish once of each instrument."""

from dataclasses import dataclass, field
from datetime import date
from functools import partial

from django.db import IntegrityError, transaction
from django.db.models import F

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.actions.letters import ABOUT_ONE_LETTER, in_a_line, mail_is_set, send_letter
from shop.models import ShopProfile, Telling, Wanted
from shop.tellings import NO_ADDRESS, ToTell, letter_of, to_tell
from shop.wish_states import TellingState


@dataclass
class Told:
    sent: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    kept_back: str = ""


def send_tellings() -> Told:
    """Send what is due. Never inside a transaction: a mail server may keep us waiting."""
    run, shop = Told(), ShopProfile.current()
    if not shop.public_address:
        return Told(kept_back=NO_ADDRESS if to_tell() else "")
    for due in to_tell():
        telling = claim(due, state=TellingState.BEGUN)
        if telling is None:
            continue
        error = _send(telling, due)
        if error is None:
            run.sent.append(str(due))
            continue
        run.failed.append(f"{due}: {in_a_line(error)}")
        if not isinstance(error, ABOUT_ONE_LETTER):
            break
    return run


@transaction.atomic
def tell(*, due: ToTell, state: str, by) -> Telling:
    """By hand: that they are told now from here, were told another way, or are not to be told of this one."""
    if state == TellingState.SENT and not (mail_is_set() and ShopProfile.current().public_address):
        raise Refused("It cannot be sent from here: copy the words, and say that you told them.")
    telling = claim(due, state=TellingState.BEGUN if state == TellingState.SENT else state, by=by)
    if telling is None:
        raise Refused("They were told of it meanwhile, or want no more of it.")
    if state == TellingState.SENT:
        transaction.on_commit(partial(_send, telling, due))
    return telling


@transaction.atomic
def claim(due: ToTell, *, state: str, by=None) -> Telling | None:
    """The row that lets this run send; None when another has it, or they took their word back meanwhile."""
    wanted = Wanted.objects.select_for_update().get(pk=due.wanted.pk)
    if not (wanted.is_open and wanted.is_told):
        return None
    told = {"state": state, "recipient": due.recipient, "told_by": by, "said": ""}
    earlier = Telling.objects.filter(wanted=wanted, instrument=due.instrument, state=TellingState.FAILED)
    if earlier.update(tries=F("tries") + 1, **told):
        return Telling.objects.get(wanted=wanted, instrument=due.instrument)
    try:
        with transaction.atomic():
            return Telling.objects.create(wanted=wanted, instrument=due.instrument, **told)
    except IntegrityError:
        return None


def _send(telling: Telling, due: ToTell) -> Exception | None:
    error = send_letter(
        letter_of(due, ShopProfile.current()), to=telling.recipient, shop=ShopProfile.current()
    )
    telling.state = TellingState.FAILED if error else TellingState.SENT
    telling.said = in_a_line(error)
    telling.save()
    return error


@transaction.atomic
def tell_no_more(*, wanted: Wanted, by, on: date) -> Wanted:
    """They took back that they may be told by e-mail. The wish itself stays."""
    wanted = Wanted.objects.select_for_update().get(pk=wanted.pk)
    if wanted.is_told:
        wanted.told_ended_on = on
        save_tracked(wanted, by=by, why="Wants to be told by e-mail no more")
    return wanted
