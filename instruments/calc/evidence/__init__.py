"""Claims, what bears on them, where they stand, and which of them cannot all be true."""

from instruments.calc.evidence.claims import Bearing, Claim
from instruments.calc.evidence.conflicts import Conflict, conflicts
from instruments.calc.evidence.standing import (
    AS_TOLD,
    CONTRADICTED,
    OPEN,
    RISING,
    SUPPORTED,
    Standing,
    standing,
)

__all__ = [
    "AS_TOLD",
    "CONTRADICTED",
    "OPEN",
    "RISING",
    "SUPPORTED",
    "Bearing",
    "Claim",
    "Conflict",
    "Standing",
    "conflicts",
    "standing",
]
