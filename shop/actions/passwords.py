"""Changing a password, and giving somebody the way to a new one."""

from django.contrib.auth.models import User
from django.contrib.auth.tokens import default_token_generator
from django.db import transaction
from django.utils.encoding import force_str
from django.utils.http import urlsafe_base64_decode, urlsafe_base64_encode

from shop.actions.log import log_secret, write_log
from shop.log_states import LogKind
from shop.security.sessions import end_sessions


@transaction.atomic
def set_password(*, user, password: str, keep_session: str | None = None, address: str = "") -> None:
    """A new password ends every session of theirs but the one named."""
    user = User.objects.select_for_update().get(pk=user.pk)
    user.set_password(password)
    user.save(update_fields=["password"])
    end_sessions(user, but=keep_session)
    log_secret(who=user, what="Password changed", address=address)


def way_to_a_new_password(user) -> str:
    """What opens the page of a new password: once, for PASSWORD_RESET_TIMEOUT, and not after a sign-in."""
    return f"{urlsafe_base64_encode(str(user.pk).encode())}.{default_token_generator.make_token(user)}"


def whose_way(token: str) -> User | None:
    """Whose it is, while it holds."""
    key, _, rest = token.partition(".")
    try:
        user = User.objects.filter(pk=int(force_str(urlsafe_base64_decode(key))), is_active=True).first()
    except (ValueError, OverflowError):
        return None
    return user if user and default_token_generator.check_token(user, rest) else None


@transaction.atomic
def hand_way(*, user, by, address: str = "") -> str:
    """The owner gives a colleague the way to a new password. What is signed in ends."""
    end_sessions(user)
    log_secret(who=user, what="A way to a new password was handed out", by=by, address=address)
    return way_to_a_new_password(user)


@transaction.atomic
def let_in(*, user, is_active: bool, by, address: str = "") -> None:
    """Whether somebody may sign in at all. Who may not is out at once."""
    User.objects.filter(pk=user.pk).update(is_active=is_active)
    if not is_active:
        end_sessions(user)
    what = f"{user.get_username()} may {'sign in again' if is_active else 'not sign in any more'}"
    write_log(kind=LogKind.RIGHTS, who=by, what=what, address=address)


@transaction.atomic
def end_other_sessions(*, user, keep_session: str, address: str = "") -> int:
    count = end_sessions(user, but=keep_session)
    log_secret(who=user, what=f"Signed out everywhere else ({count})", address=address)
    return count


@transaction.atomic
def set_email(*, user, email: str, address: str = "") -> None:
    """Where a letter for a new password goes."""
    User.objects.filter(pk=user.pk).update(email=email)
    log_secret(who=user, what="E-mail address changed", address=address)
