"""SQLite for a shop: what `settings.DATABASES` needs besides the name of the file."""

OPTIONS = {
    "timeout": 20,
    # Otherwise most of the people who save at the same moment are told that the database is locked.
    "transaction_mode": "IMMEDIATE",
    # Only FULL keeps an acknowledged payment through a power cut.
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"
    " PRAGMA temp_store=MEMORY; PRAGMA journal_size_limit=67108864;",
}
