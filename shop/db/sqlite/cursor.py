"""Django writes `%s` where a value goes and SQLite `?`: the same words are rewritten once, not each time."""

from functools import lru_cache

from django.db.backends.sqlite3.base import FORMAT_QMARK_REGEX, SQLiteCursorWrapper


class Cursor(SQLiteCursorWrapper):
    def convert_query(self, query, *, param_names=None):
        if param_names is None:
            return _with_question_marks(str(query))
        return super().convert_query(query, param_names=param_names)


@lru_cache(maxsize=500)
def _with_question_marks(query: str) -> str:
    return FORMAT_QMARK_REGEX.sub("?", query).replace("%%", "%")
