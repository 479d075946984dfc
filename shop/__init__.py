"""The shop: people, money, promises and papers; also the Django project package.

SQLite before 3.51.3 has a rare fault when several connections write and checkpoint a WAL at once.
Where the `pysqlite3` wheel is installed its bundled, mended SQLite takes the place of the system's.
It must happen before anything imports `sqlite3`, and this package is always imported first.
"""

import sys

try:
    import pysqlite3
except ImportError:  # no wheel for this machine: `manage.py check` names the version in use
    pass
else:
    sys.modules["sqlite3"] = pysqlite3
