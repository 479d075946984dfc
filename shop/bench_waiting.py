"""What waits at the bench beside its items: work that is out of the house, and stores that run low."""

from datetime import date

from django.urls import reverse

from instruments.models.together import asking
from shop.waiting_lines import MOST, SOON, Group, Waiting, day_words, named
from workorders.models import Consumable, OutsideJob


@asking
def work_outside(on: date):
    """What should be back from outworkers, or soon will be; no group at all where there is none."""
    jobs = OutsideJob.objects.under_way().filter(promised_on__lte=on + SOON)
    jobs = jobs.select_related("outworker", "order__instrument").order_by("promised_on", "id")
    (jobs,) = yield (jobs[:MOST],)
    lines = [
        Waiting(
            f"{job.title} for {named(job.order.instrument)}",
            f"{job.outworker}, {day_words(job.promised_on, on)}",
            job.get_absolute_url(),
            is_late=job.promised_on < on,
        )
        for job in jobs
    ]
    return (
        [Group("Back from outworkers", lines, more_url=reverse("workorders:outside_list"))] if lines else []
    )


@asking
def running_low():
    """What of the stores is down to its mark; no group at all where nothing is."""
    (low,) = yield (Consumable.objects.low().order_by("kind", "name")[:MOST],)
    lines = [
        Waiting(
            each.name,
            f"{each.amount_words(round(each.on_hand, 2))} left, low at {each.amount_words(each.low_mark)}",
            each.get_absolute_url(),
            is_late=each.on_hand <= 0,
        )
        for each in low
    ]
    low_url = f"{reverse('workorders:store_list')}?low=1"
    return [Group("Running low in the stores", lines, more_url=low_url)] if lines else []
