"""Argon2 with a memory cost that a small server can pay several times at once."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class ModestArgon2PasswordHasher(Argon2PasswordHasher):
    """Django's default takes 100 MB a login; 19 MiB with two passes is OWASP's first choice for Argon2id."""

    time_cost = 2
    memory_cost = 19_456
    parallelism = 1
