"""What happens to one item of work: given to somebody, made to wait, closed by its proof, left, reopened."""

from collections.abc import Collection
from datetime import date

from instruments.actions.history import save_tracked
from instruments.actions.whole import whole
from instruments.calc.key_lists import keys_text
from instruments.problems import Blocked, Blocker, Problem, refuse_if_blocked
from workorders.acceptance import Proof, acceptance_problems, evidence_problems
from workorders.actions.holding import hold_item
from workorders.actions.item_keys import clear_keys_of, mark_keys_again
from workorders.actions.moments import moment_on
from workorders.lacking import stated_limit
from workorders.models import WorkItem
from workorders.problems import (
    OWNERS_RIGHT,
    closed_words,
    item_problems,
    leaving_problems,
    linking_problems,
    reopening_problems,
)
from workorders.states import Acceptance, ItemState
from workorders.survey_acceptance import a4_cents, lowest_torque


@whole
def close_item(
    *,
    item: WorkItem,
    by,
    on: date,
    result: str,
    override_reason: str = "",
    override_public: str = "",
    overridden_by=None,
    **proof,
) -> WorkItem:
    """Close an item by what was done and what proves it, given as `acceptance.Proof` holds it.

    Marked keys that were `rechecked` are cleared. Raises Blocked when something must come first, someone else
    closed it, or its acceptance is not met; the last can be passed over by a person with the right to, with a
    reason that stays with the item and a limit that is stated to every buyer.
    """
    item, shown = hold_item(item), Proof(**proof)
    if not result.strip():
        raise Blocked([*item_problems(item), Blocker("Say what was done.")])
    refuse_if_blocked([*item_problems(item), *evidence_problems(item, shown)])
    if lacking := acceptance_problems(item, **proof):
        overridden_by = overridden_by or by
        refuse_if_blocked(_override_problems(lacking, override_reason, overridden_by))
        item.override_reason, item.overridden_by = override_reason.strip(), overridden_by
        item.override_public, item.stated_limit = override_public.strip(), stated_limit(item, lacking)
    item.result = result.strip()
    _keep_proof(item, shown)
    clear_keys_of(item, shown.rechecked, by=by, on=on)
    return _closed(item, ItemState.DONE, by=by, on=on, why=_closing_words(item))


@whole
def leave_item(*, item: WorkItem, reason: str, by, on: date) -> WorkItem:
    """Decide that an item is not done, and why."""
    item = hold_item(item)
    refuse_if_blocked(leaving_problems(item, by))
    if not reason.strip():
        raise Blocked([Blocker("Say why it is left as it is.")])
    pass_needs_on(item)
    item.result = reason.strip()
    return _closed(item, ItemState.LEFT, by=by, on=on, why=f"“{item.name}” left: {item.result}")


@whole
def drop_item(*, item: WorkItem, reason: str, by, on: date) -> WorkItem:
    """Leave an open item that its customer no longer wishes; nobody's right is asked, the wish was theirs."""
    item = hold_item(item)
    if not item.is_open:
        return item
    pass_needs_on(item)
    item.result = reason
    return _closed(item, ItemState.LEFT, by=by, on=on, why=f"“{item.name}” left: {reason}")


@whole
def reopen_item(*, item: WorkItem, reason: str, by, on: date) -> WorkItem:
    """Open a closed item again, and the marks that its closing cleared. The closing stays in the history."""
    item = hold_item(item)
    refuse_if_blocked(reopening_problems(item))
    if not reason.strip():
        raise Blocked([Blocker("Say why it is opened again.")])
    mark_keys_again(item, by=by, on=on)
    item.state, item.closed_at, item.closed_by = ItemState.OPEN, None, None
    item.result = ""
    _keep_proof(item, Proof())
    item.override_reason, item.overridden_by, item.override_public, item.stated_limit = "", None, "", ""
    save_tracked(item, by=by, why=f"“{item.name}” opened again on {on:%-d %B %Y}: {reason.strip()}")
    return item


@whole
def assign_item(*, item: WorkItem, to, by, on: date) -> WorkItem:
    """Give an open item to somebody who works at the bench, or back to everybody (None)."""
    item = hold_item(item)
    if not item.is_open:
        raise Blocked([Blocker(closed_words(item))])
    if to and not to.has_perm("workorders.do_work"):
        raise Blocked([Blocker(f"{to.get_full_name() or to.get_username()} does not work at the bench.")])
    item.assigned_to = to
    whom = f"given to {to.get_full_name() or to.get_username()}" if to else "free for anybody"
    save_tracked(item, by=by, why=f"“{item.name}” {whom}", update_fields=["assigned_to"])
    return item


@whole
def describe_item(
    *, item: WorkItem, keys: str, note: str, usual_minutes: int, by, is_required: bool | None = None
) -> WorkItem:
    """Say which keys, how long and what else; whether it is required is the owner's to change."""
    item = hold_item(item)
    if not item.is_open:
        raise Blocked([Blocker(closed_words(item))])
    if is_required is not None and is_required != item.is_required:
        if not by.has_perm(OWNERS_RIGHT):
            raise Blocked([Blocker("Only the owner may change whether it is required.")])
        item.is_required = is_required
    item.keys, item.note, item.usual_minutes = keys, note, usual_minutes
    required = "required" if item.is_required else "not required"
    save_tracked(item, by=by, why=f"“{item.name}”: {' · '.join(filter(None, [keys, note, required]))}")
    return item


@whole
def link_need(*, item: WorkItem, need: WorkItem, by) -> None:
    """Make an item wait for another of the same instrument. Raises Blocked when neither could ever start."""
    item, need = hold_item(item), hold_item(need)
    refuse_if_blocked(linking_problems(item, need))
    item.needs.add(need)
    save_tracked(item, by=by, why=f"“{item.name}” waits for “{need.name}”")


@whole
def unlink_need(*, item: WorkItem, need: WorkItem, by) -> None:
    """Let an open item no longer wait for another."""
    item = hold_item(item)
    if not item.is_open:
        raise Blocked([Blocker(closed_words(item))])
    item.needs.remove(need)
    save_tracked(item, by=by, why=f"“{item.name}” no longer waits for “{need.name}”")


@whole
def set_needs(*, item: WorkItem, needs: Collection[WorkItem], by) -> None:
    """Let an item wait for exactly these. All of it or nothing."""
    item = hold_item(item)
    now = set(item.needs.all())
    for need in now - set(needs):
        unlink_need(item=item, need=need, by=by)
    for need in set(needs) - now:
        link_need(item=item, need=need, by=by)


def pass_needs_on(item: WorkItem) -> None:
    """What waits for an item that is left now waits for what the item itself waits for."""
    still_first = item.needs.filter(state=ItemState.OPEN)
    for other in item.needed_by.filter(state=ItemState.OPEN):
        other.needs.add(*still_first)


def _keep_proof(item: WorkItem, proof: Proof) -> None:
    """What it was closed on, with the one figure that says most of a survey."""
    item.weighing, item.pin_survey, item.pitch_survey = proof.weighing, proof.pin_survey, proof.pitch_survey
    item.photo, item.photo_before = proof.photo, proof.photo_before
    instrument = item.order.instrument
    keys = {*proof.keys, *(mark.key for mark in proof.rechecked)}
    item.keys_rechecked = keys_text(keys, instrument.first_key, instrument.key_count)
    item.figure = None
    if item.acceptance == Acceptance.FIGURE:
        item.figure = proof.figure
    elif item.acceptance == Acceptance.PINS and proof.pin_survey:
        item.figure = lowest_torque(proof.pin_survey)
    elif item.acceptance == Acceptance.PITCH and proof.pitch_survey:
        item.figure = a4_cents(proof.pitch_survey)


def _closed(item: WorkItem, state: str, *, by, on: date, why: str) -> WorkItem:
    item.state, item.closed_at, item.closed_by = state, moment_on(on), by
    save_tracked(item, by=by, why=why)
    return item


def _override_problems(lacking: list[Problem], reason: str, overridden_by) -> list[Problem]:
    if not reason.strip():
        return lacking
    if not overridden_by.has_perm(OWNERS_RIGHT):
        return [*lacking, Blocker("Only the owner may accept work that this does not bear out.")]
    return []


def _closing_words(item: WorkItem) -> str:
    words = f"“{item.name}” done: {item.result}"
    if item.measured:
        words += f" ({item.measured})"
    return f"{words} Accepted all the same: {item.override_reason}" if item.override_reason else words
