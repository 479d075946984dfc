"""The sentence that says why protected material stops a dealing, by the law the shop trades under.

Sources: UK, Ivory Act 2018 ss. 1, 8, 10, 11; EU, Regulation (EU) 2021/2280 and Notice 2021/C 528/03;
US, 50 CFR 17.40(e). An unsettled covering counts as ivory (our rule, on the side of caution).
"""

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
LACKING = "no registration or clearance is on file"
CAUTION = "Check the law in force; this is not legal advice."


def protected_material_sentence(
    *, jurisdiction: str, natural_covering: str, sharp_covering: str, said_to_be_free: bool = False
) -> str:
    """One paragraph: what was found, what the law asks, and the caution.

    `said_to_be_free` is for a record that contradicts itself: ivory in the identity, none by the clearance.
    Raises KeyError for a jurisdiction other than uk, eu, us, other.
    """
    worst = "ivory" if "ivory" in (natural_covering, sharp_covering) else "unknown"
    lacking = "the clearance on file says that there is none" if said_to_be_free else LACKING
    return f"{FINDINGS[worst]}, and {lacking}. {DEMANDS[jurisdiction]} {CAUTION}"
