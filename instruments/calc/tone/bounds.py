"""Where low partials end, and where the middle ones do (the shop's own choice, no source)."""

LOW, MIDDLE = 3, 8
