"""The library of tell-tales as the shop keeps it."""

from django.db import transaction
from django.utils.text import slugify

from instruments.actions.history import save_tracked
from instruments.library import tell_tale_table
from instruments.models import TellTale

KEPT = ("text", "look", "speaks_for", "speaks_against", "strength", "source", "caution")


@transaction.atomic
def load_tell_tales() -> list[TellTale]:
    """Bring in what the shipped library has and the shop has not; what the shop changed stays as it is."""
    added = []
    for question in tell_tale_table():
        for row in question["tell_tales"]:
            tell_tale, is_new = TellTale.objects.get_or_create(
                question=question["code"], code=row["code"], defaults={name: row[name] for name in KEPT}
            )
            added += [tell_tale] if is_new else []
    return added


@transaction.atomic
def add_tell_tale(*, question: str, by, **said) -> TellTale:
    tell_tale = TellTale(question=question, code=_free_code(question, said["text"]), **said)
    save_tracked(tell_tale, by=by, why=f"Tell-tale added: {tell_tale}")
    return tell_tale


@transaction.atomic
def edit_tell_tale(*, tell_tale: TellTale, by, **said) -> TellTale:
    """Change what a tell-tale is or says. Every statement it bears on is weighed by it from now on."""
    current = TellTale.objects.select_for_update().get(pk=tell_tale.pk)
    changed = [name for name, value in said.items() if getattr(current, name) != value]
    if not changed:
        return current
    for name in changed:
        setattr(current, name, said[name])
    labels = ", ".join(str(TellTale._meta.get_field(name).verbose_name) for name in changed)
    save_tracked(current, by=by, why=f"Tell-tale changed: {labels}")
    return current


def _free_code(question: str, text: str) -> str:
    stem = slugify(text)[:50] or "tell-tale"
    taken = set(TellTale.objects.filter(question=question).values_list("code", flat=True))
    numbered = (f"{stem}-{number}" for number in range(2, len(taken) + 3))
    return next(code for code in (stem, *numbered) if code not in taken)
