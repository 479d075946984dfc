"""The sentence that says why protected material stops a dealing, by the law the shop trades under.

Sources: UK, Ivory Act 2018 ss. 1, 8, 10, 11; EU, Regulation (EU) 2021/2280 and Notice 2021/C 528/03;
US, 50 CFR 17.40(e). An unsettled covering counts as ivory (our rule, on the side of caution).
"""

from shop.calc.ivory import made_before_1947, made_before_1975

FINDINGS = {
    "ivory": "The keys are covered with ivory",
    "unknown": "What the keys are covered with is not settled, and counts as ivory until it is",
}
DEMANDS = {
    "uk": "In the UK it may not be bought, sold, exchanged, hired out or even advertised for that "
    "before it is registered as exempt, and a registration ends with each change of owner.",
    "eu": "In the EU trade in worked ivory needs a certificate, and an instrument made after 1975 "
    "has no route.",
    "us": "In the US sale across a state line depends on age, weight and import, and states have "
    "laws of their own.",
    "other": "Most countries forbid or license trade in ivory.",
}
# What an instrument with ivory needs by its date: ss 8, 38; the certificate as trade bodies report it.
UK_BY_DATE = {
    "later": "Made in 1975 or later it cannot be registered: the ivory has to come off before it is offered.",
    "unproven": "It can be registered only if it was made before 1975, which its date does not show yet.",
    "before 1975": "Unless made before 3 March 1947 it may need a certificate besides the registration.",
    "before 1947": "",
}
LACKING = "no registration or clearance is on file"
CAUTION = "Check the law in force; this is not legal advice."


def protected_material_sentence(
    *,
    jurisdiction: str,
    natural_covering: str,
    sharp_covering: str,
    said_to_be_free: bool = False,
    made: str = "",
    documented: bool = False,
) -> str:
    """One paragraph: what was found, what the law asks, and the caution.

    `said_to_be_free` is for a record that contradicts itself: ivory in the identity, none by the clearance.
    `made` is EDTF, `documented` whether more than style or hearsay stands behind it.
    Raises KeyError for a jurisdiction other than uk, eu, us, other.
    """
    worst = "ivory" if "ivory" in (natural_covering, sharp_covering) else "unknown"
    lacking = "the clearance on file says that there is none" if said_to_be_free else LACKING
    by_date = UK_BY_DATE[_uk_age(made, documented)] if (jurisdiction, worst) == ("uk", "ivory") else ""
    sentences = (f"{FINDINGS[worst]}, and {lacking}.", DEMANDS[jurisdiction], by_date, CAUTION)
    return " ".join(filter(None, sentences))


def _uk_age(made: str, documented: bool) -> str:
    before_1975 = made_before_1975(made, documented=documented)
    if not before_1975:
        return "unproven" if before_1975 is None else "later"
    return "before 1947" if made_before_1947(made, documented=documented) else "before 1975"
