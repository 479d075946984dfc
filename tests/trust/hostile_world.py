"""The world of the access table with an adversary's text in it, and a row of what that world has none of."""

from datetime import timedelta
from types import SimpleNamespace

from django.core import mail
from django.db import models, transaction
from django.db.utils import IntegrityError
from django.test import override_settings
from django.utils import timezone

from shop.actions.letters import send_letter
from shop.actions.reminders import send_reminders
from shop.actions.roles import load_roles
from shop.calc.wanting import Match
from shop.enquiry_words import answer_letter
from shop.models import ShopProfile
from shop.offered import free_stock
from shop.tellings import ToTell, letter_of
from tests import make
from tests.journeys.form_walk import make_walk
from tests.trust import planting
from workorders.states import Stood

IN_MEMORY = "django.core.mail.backends.locmem.EmailBackend"
# What the database wants of a row beyond its columns one by one.
WANTED = {
    "HousePitch": {"a4_hz": 442},
    "MeasuredValue": {"number": 3, "unit": "mm"},
    "OfferCalculation": {"lead": lambda world: world.lead},
    "PaperSignature": {"way": "paper", "document": lambda world: world.document},
    "TrialExtension": {"until": make.A_DAY + timedelta(days=60)},
    "GateWaiver": {"stood": Stood.WANTING, "finding": lambda world: world.finding},
}


def make_hostile_world(turn: int) -> SimpleNamespace:
    """With its owner as `owner`; everybody's name is an adversary's text too."""
    roles = {group.name: group for group in load_roles()}
    with planting.planted(turn):
        owner = make.make_user("olive", "Olive Tarn", roles["Owner"])
        make.make_user("tobias", "Tobias Lind", roles["Technician"])
        make.make_user("selma", "Selma Quick", roles["Sales"])
        make.make_user("bram", "Bram Okoro", roles["Buyer"])
        ShopProfile.objects.get_or_create(pk=1)
        world = make_walk(owner)
        world.owner = owner
        world.letters = write_letters(world)
        world.left_empty = fill_empty_tables(world)
    return world


def write_letters(world) -> list[bytes]:
    """Every letter the program can write: reminders to the shop and to customers, what came in, an answer."""
    theirs = "wilf@arden.example"
    type(world.person).objects.update(email=theirs)
    shown = {"public_address": "https://larkrow.example", "email": "shop@larkrow.example"}
    ShopProfile.objects.update(**shown, reminds_customers=True)
    sender = {"EMAIL_HOST": "mail.example", "DEFAULT_FROM_EMAIL": "shop@larkrow.example"}
    with override_settings(**sender, EMAIL_BACKEND=IN_MEMORY):
        mail.outbox = []
        send_reminders(on=world.out.promise.until)
        shop = ShopProfile.current()
        piano = free_stock().filter(listing__isnull=False).first()
        wish = world.wanted
        match = Match((wish.note,), (wish.note,))
        send_letter(letter_of(ToTell(wish, piano, match), shop), to=theirs, shop=shop)
        words = "\n".join(planting.TEXTS)
        send_letter(answer_letter(world.enquiry, words), to=theirs, shop=shop)
        return [each.message().as_bytes() for each in mail.outbox]


def fill_empty_tables(world) -> dict[str, str]:
    """One row in each table that has none, out of what lies in the others; why not, where it cannot be."""
    known = {type(row): row for row in reversed(list(vars(world).values())) if isinstance(row, models.Model)}
    failed = {}
    for _ in range(2):  # a second time for those that lean on one another
        failed = {}
        for model in dict.fromkeys(field.model for field in planting.typed_columns()):
            if not model._default_manager.exists():
                try:
                    with transaction.atomic():
                        model._default_manager.create(**_values(model, known, world))
                except (IntegrityError, LookupError, ValueError, TypeError) as error:
                    failed[model._meta.label] = f"{type(error).__name__}: {error}"
    return failed


def _values(model: type[models.Model], known: dict, world) -> dict[str, object]:
    wanted = WANTED.get(model.__name__, {})
    wanted = {name: value(world) if callable(value) else value for name, value in wanted.items()}
    return _plain_values(model, known) | wanted


def _plain_values(model: type[models.Model], known: dict) -> dict[str, object]:
    """What a row must have and has no default for."""
    return {
        field.name: _plain_value(field, known)
        for field in model._meta.concrete_fields
        if not (
            field.primary_key or field.null or field.has_default() or (field.blank and not field.is_relation)
        )
    }


def _plain_value(field: models.Field, known: dict):
    if field.is_relation:
        if not field.one_to_one and field.related_model in known:
            return known[field.related_model]
        free = field.related_model._default_manager.order_by("pk")
        if field.one_to_one:
            free = free.exclude(pk__in=field.model._default_manager.values(field.attname))
        if (found := free.last()) is None:
            raise LookupError(f"no {field.related_model.__name__}")
        return found
    if field.choices:
        return next(value for value, _ in field.flatchoices if value)
    if isinstance(field, models.DateTimeField):
        return timezone.now()
    if isinstance(field, models.DateField):
        return make.A_DAY + timedelta(days=30)
    if isinstance(field, models.CharField | models.TextField | models.FileField):
        return "x"
    return 1
