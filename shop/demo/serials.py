"""Numbers and years of the invented makers, as the shop would have gathered them."""

SEEN, LIST = "dated instrument seen by us", "tuner's list, copied by hand"

MARKS = tuple(
    {"maker": maker, "serial": serial, "year": year, "exactness": exactness, "source": source}
    for maker, serial, year, exactness, source in (
        ("Halden & Rook", 30912, 1911, "exact", SEEN),
        ("Halden & Rook", 33205, 1914, "exact", SEEN),
        ("Halden & Rook", 42000, 1921, "table", LIST),
        ("Halden & Rook", 43500, 1922, "table", LIST),
        ("Orrin Vale", 13650, 1908, "exact", SEEN),
        ("Orrin Vale", 14400, 1911, "exact", SEEN),
        ("Thursby & Lund", 17140, 1901, "exact", SEEN),
        ("Thursby & Lund", 19610, 1907, "exact", "receipt with number, seen by us"),
        ("Josiah Arkenside", 588, 1836, "exact", SEEN),
        ("Josiah Arkenside", 640, 1839, "exact", SEEN),
        ("Dornstrand", 24500, 1905, "table", LIST),
        ("Dornstrand", 26100, 1906, "table", LIST),
        ("Dornstrand", 31000, 1912, "about", "remembered by a retired tuner"),
        ("Castlemere", 52600, 1929, "table", LIST),
        ("Castlemere", 53900, 1930, "table", LIST),
        ("Tarnbrook", 46800, 1932, "table", LIST),
        ("Tarnbrook", 48000, 1933, "table", LIST),
        ("Wendelbrück & Sohn", 7933, 1912, "exact", SEEN),
        ("Wexcombe Brothers", 4380, 1899, "exact", SEEN),
    )
)
