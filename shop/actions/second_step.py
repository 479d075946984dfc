"""Setting up the second step of signing in, asking for it, and taking it off again."""

import hashlib
import secrets

from django.contrib.auth.models import Group
from django.db import transaction
from django.utils import timezone
from django_otp import verify_token
from django_otp.plugins.otp_totp.models import TOTPDevice

from shop.actions.log import log_secret, write_log
from shop.log_states import LogKind
from shop.models import RecoveryCode, SecondStepRule
from shop.second_step import bare_code, colleagues_without, device_of, new_device

CODES = 10
ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"  # nothing that reads like something else
CODE_LENGTH = 28  # 138 bits: a plain hash keeps them (ASVS 5.0, 6.5.2), nobody guesses them (11.5.1)


@transaction.atomic
def set_up(*, user, key: str, code: str, address: str = "") -> list[str] | None:
    """Keep the device if it shows the right code now. Gives the recovery codes once; None: wrong code."""
    TOTPDevice.objects.filter(user=user).delete()
    device = new_device(user, key)
    device.save()
    if not device.verify_token(bare_code(code)):
        transaction.set_rollback(True)
        return None
    codes = _new_codes(user)
    log_secret(who=user, what="Second step set up", address=address)
    return codes


@transaction.atomic
def renew_codes(*, user, address: str = "") -> list[str]:
    """Ten new ones; the old ones are good for nothing any more."""
    codes = _new_codes(user)
    log_secret(who=user, what="New recovery codes", address=address)
    return codes


def _new_codes(user) -> list[str]:
    RecoveryCode.objects.filter(user=user).delete()
    codes = ["".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH)) for _ in range(CODES)]
    RecoveryCode.objects.bulk_create(RecoveryCode(user=user, code_sha256=_hash(code)) for code in codes)
    return ["-".join(code[start : start + 4] for start in range(0, CODE_LENGTH, 4)) for code in codes]


@transaction.atomic
def take_code(*, user, code: str, address: str = "") -> bool:
    """Whether the code is right: of the device, each once, or one of the recovery codes, each once."""
    bare = bare_code(code)
    device = device_of(user)
    if device and bare.isascii() and bare.isdigit() and len(bare) == device.digits:
        return verify_token(user, device.persistent_id, bare) is not None
    unused = RecoveryCode.objects.filter(user=user, code_sha256=_hash(bare), used_at=None)
    if unused.update(used_at=timezone.now()) != 1:
        return False
    left = RecoveryCode.objects.filter(user=user, used_at=None).count()
    log_secret(who=user, what=f"A recovery code was used, {left} are left", address=address)
    return True


@transaction.atomic
def take_off(*, user, by, address: str = "") -> bool:
    """Take the device and the recovery codes away; by themselves, or by the owner for a lost telephone."""
    RecoveryCode.objects.filter(user=user).delete()
    if not TOTPDevice.objects.filter(user=user).delete()[0]:
        return False
    log_secret(who=user, what="Second step taken off", by=by, address=address)
    return True


@transaction.atomic
def lay_down(*, roles: list[Group], by, address: str = "") -> list:
    """From now on these roles have to have a second step. Who has none yet, of those newly asked for it."""
    before = {rule.role_id for rule in SecondStepRule.objects.all()}
    SecondStepRule.objects.exclude(role__in=roles).delete()
    new = [role for role in roles if role.pk not in before]
    SecondStepRule.objects.bulk_create(SecondStepRule(role=role, laid_down_by=by) for role in new)
    if before != {role.pk for role in roles}:
        names = ", ".join(sorted(role.name for role in roles)) or "nobody"
        write_log(kind=LogKind.RIGHTS, who=by, what=f"Second step asked of: {names}", address=address)
    return [person for role in new for person in colleagues_without(role)]


def _hash(code: str) -> str:
    return hashlib.sha256(code.encode()).hexdigest()
