"""The books begin with what is there already: what was bought, sold and charged for delivery, in the order of
its days, at the rate that stood in the shop's terms. That rate, where the shipped table has another, becomes a
rate of the shop's own from today.
"""

from decimal import Decimal

from django.db import migrations
from django.utils import timezone

from shop.calc.sale_tax import tax_on_sale, treatment_of, treatment_of_fee

WHY = "Entered when the books began, from what was recorded before."
USUAL_UK_PERCENT = Decimal(20)
COUNTRIES = {"uk": "GB", "us": "US"}
SERIES, ONE_SERIES = "book line", 0


def begin(apps, schema_editor):
    model = lambda name: apps.get_model("shop", name)  # noqa: E731
    profile = model("ShopProfile").objects.filter(pk=1).first()
    if profile:
        keep_terms(profile, model("TaxRate"))
    scheme = profile.tax_scheme if profile else "margin"
    share = (profile.tax_rate_percent if profile else USUAL_UK_PERCENT) / 100
    events = [
        *(bought(row) for row in model("Purchase").objects.filter(corrected_by__isnull=True)),
        *(sold(row, scheme, share, model("Purchase")) for row in standing(model("Sale"))),
        *(
            charged(row, scheme, share)
            for row in model("Payment").objects.filter(purpose="delivery", amount_minor__gt=0)
        ),
    ]
    events.sort(key=lambda event: event[0])
    for number, (_, fields) in enumerate(events, start=1):
        model("BookLine").objects.create(number=number, **fields)
    if events:
        apps.get_model("instruments", "NumberSeries").objects.update_or_create(
            series=SERIES, year=ONE_SERIES, defaults={"last": len(events)}
        )


def keep_terms(profile, own_rates):
    profile.tax_country = COUNTRIES.get(profile.jurisdiction, "")
    if profile.tax_scheme == "margin" and profile.jurisdiction == "eu":
        profile.tax_scheme = "margin_eu"
    profile.save()
    is_usual = profile.tax_country == "GB" and profile.tax_rate_percent == USUAL_UK_PERCENT
    if profile.tax_scheme != "none" and not (is_usual and profile.tax_scheme != "sales_tax"):
        own_rates.objects.create(
            country=profile.tax_country,
            kind="sales_tax" if profile.tax_scheme == "sales_tax" else "vat",
            percent=profile.tax_rate_percent,
            starts_on=timezone.localdate(),
            source="The shop's terms, before rates had days",
        )


def standing(sales):
    return sales.objects.filter(promise__closed_at__isnull=True)


def bought(purchase):
    recorded = timezone.localdate(purchase.recorded_at)
    fields = common(purchase, "bought", purchase.instrument, purchase.seller) | {
        "happened_on": purchase.bought_on,
        "entered_on": purchase.bought_on or recorded,
        "purchase": purchase,
        "document": purchase.seller_invoice or purchase.own_number,
        "cost_minor": cost_of(purchase),
        "input_tax_minor": purchase.vat_minor or 0,
    }
    return (fields["entered_on"], 0, purchase.pk), fields


def sold(sale, scheme, share, purchases):
    purchase = purchases.objects.filter(instrument=sale.instrument).order_by("-id").first()
    cost = cost_of(purchase)
    treatment, why = treatment_of(
        scheme, cost_minor=cost, purchase_shows_vat=bool(purchase and purchase.vat_shown)
    )
    tax = tax_on_sale(treatment, price_minor=sale.price_minor, cost_minor=cost, rate=share)
    fields = common(sale, "sold", sale.instrument, sale.person) | taxed(tax, share)
    fields |= {"happened_on": sale.sold_on, "entered_on": sale.sold_on, "sale": sale}
    fields |= {"document": sale.number, "cost_minor": tax.cost_minor, "why": f"{why} {WHY}".strip()}
    return (sale.sold_on, 1, sale.pk), fields


def charged(payment, scheme, share):
    tax = tax_on_sale(
        treatment_of_fee(scheme), price_minor=payment.amount_minor, cost_minor=None, rate=share
    )
    fields = common(payment, "fee", payment.promise.instrument, payment.person) | taxed(tax, share)
    fields |= {"happened_on": payment.paid_on, "entered_on": payment.paid_on, "payment": payment}
    fields |= {"description": f"Delivery of {fields['description']}"[:300]}
    return (payment.paid_on, 2, payment.pk), fields


def common(row, kind, instrument, person):
    maker = instrument.maker or instrument.name_on_fall
    return {
        "kind": kind,
        "instrument": instrument,
        "party": person.name if person else "",
        "party_address": person.address if person else "",
        "description": f"{instrument.stock_number} {maker}".strip(),
        "why": WHY,
        "recorded_by": row.recorded_by,
    }


def taxed(tax, share):
    return {
        "treatment": tax.treatment,
        "rate_percent": share * 100,
        "gross_minor": tax.gross_minor,
        "tax_minor": tax.tax_minor,
    }


def cost_of(purchase) -> int | None:
    if purchase is None:
        return None
    return 0 if purchase.price_minor is None and purchase.route == "gift" else purchase.price_minor


class Migration(migrations.Migration):

    dependencies = [("shop", "0008_books"), ("instruments", "0001_initial")]

    operations = [
        migrations.RunPython(begin, migrations.RunPython.noop),
        migrations.RemoveField(model_name="historicalshopprofile", name="tax_rate_percent"),
        migrations.RemoveField(model_name="shopprofile", name="tax_rate_percent"),
    ]
