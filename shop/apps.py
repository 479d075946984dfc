from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    name = "shop"

    def ready(self):
        # All need the models, which are only loaded by now.
        from instruments.report_ways import register_report_way
        from shop import checks  # noqa: F401 - registers itself
        from shop.actions.papers import our_party
        from shop.commission_problems import APPROVED_FIRST, more_work_cautions
        from shop.db.append_only import install_guards
        from shop.db.closed_periods import install_period_guards
        from shop.db.open_credit import install_open_credit
        from shop.db.search_index import install_search_index
        from shop.trial_reports import way_on_from
        from shop.untouched import AS_IT_CAME
        from workorders.bench_problems import ask_before_more_work
        from workorders.house import register_house
        from workorders.order_rules import register_order_rule

        register_order_rule(APPROVED_FIRST)
        register_order_rule(AS_IT_CAME)
        ask_before_more_work(more_work_cautions)
        register_house(our_party)
        register_report_way(way_on_from)
        post_migrate.connect(install_guards, sender=self)
        post_migrate.connect(install_period_guards, sender=self)
        post_migrate.connect(install_search_index, sender=self)
        post_migrate.connect(install_open_credit, sender=self)
