from django.apps import AppConfig
from django.db.models.signals import post_migrate


class WorkordersConfig(AppConfig):
    name = "workorders"

    def ready(self):
        from workorders import checks  # noqa: F401  registers the check of the task library
        from workorders.db.order_of_work import install_guards

        post_migrate.connect(install_guards, sender=self)
