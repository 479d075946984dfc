"""Who somebody is and what they may, asked with each page: in two questions that are put into SQL once."""

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import Group, User
from django.db import connection

from instruments.models.worded import ASKED, Worded, beforehand


class RightsAtOnce(ModelBackend):
    """Django's own, which asks for a person's own rights and those of their groups one after the other."""

    def get_user(self, user_id):
        user = _person(connection.vendor).asking(user_id).first()
        return user if user is not None and self.user_can_authenticate(user) else None

    def get_all_permissions(self, user_obj, obj=None):
        if user_obj.is_superuser or user_obj.is_anonymous or not user_obj.is_active or obj is not None:
            return super().get_all_permissions(user_obj, obj)
        if not hasattr(user_obj, "_perm_cache"):
            rows = _rights(connection.vendor).asking(user_obj.pk).rows()
            user_obj._perm_cache = {f"{app}.{name}" for app, name in rows}
        return user_obj._perm_cache


@beforehand
def _person(vendor: str) -> Worded:
    return Worded.of(User.objects.filter(pk=ASKED))


@beforehand
def _rights(vendor: str) -> Worded:
    words = "permission__content_type__app_label", "permission__codename"
    own = User.user_permissions.through.objects.filter(user=ASKED).order_by()
    of_groups = Group.permissions.through.objects.filter(group__user=ASKED).order_by()
    return Worded.of(own.values_list(*words).union(of_groups.values_list(*words), all=True))
