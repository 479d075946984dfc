"""States of what strangers ask, with the groups that code compares against."""

from django.db.models import TextChoices


class AskedAbout(TextChoices):
    """As a stranger chooses it."""

    QUESTION = "question", "A question"
    SEE = "see", "To see and play it"
    TRIAL = "trial", "To try it at home"
    DELIVERY = "delivery", "Delivery"
    SIMILAR = "similar", "Something like it"
    WORK = "work", "Work or tuning"
    DATA = "data", "What you keep about me"


ABOUT_WORK = (AskedAbout.WORK,)
ABOUT_ONE_PIANO = (AskedAbout.SEE, AskedAbout.TRIAL)


class EnquiryWay(TextChoices):
    """How somebody who asked was answered; advice is for the colleague who answers them."""

    SENT = "sent", "By e-mail, sent from here"
    EMAIL = "email", "By e-mail, copied into our own mail"
    TELEPHONE = "telephone", "By telephone"
    MESSAGE = "message", "By another message"
    LETTER = "letter", "By letter"
    FACE = "face", "Face to face"
    ADVICE = "advice", "Advice for whoever answers"


class EnquiryOutcome(TextChoices):
    SETTLED = "settled", "Answered, nothing more to do"
    CAME = "came", "They came, or have a day to come"
    CUSTOMER = "customer", "They deal with us now"
    SILENT = "silent", "They did not come back to us"
    DECLINED = "declined", "Nothing that we could do"
    UNWANTED = "unwanted", "Unwanted mail"
