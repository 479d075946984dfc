from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    name = "shop"

    def ready(self):
        # Both need the models, which are only loaded by now.
        from shop import checks  # noqa: F401 - registers itself
        from shop.db.append_only import install_guards

        post_migrate.connect(install_guards, sender=self)
