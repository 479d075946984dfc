"""The words a record may hold, with the groups that code compares against."""

from django.db.models import TextChoices


class Kind(TextChoices):
    UPRIGHT = "upright", "Upright"
    GRAND = "grand", "Grand"
    SQUARE = "square", "Square"


class MadeBasis(TextChoices):
    SERIAL = "serial", "from the serial number"
    MARK = "mark", "from a date mark inside"
    DOCUMENT = "document", "from a document seen"
    TOLD = "told", "as told to us"
    STYLE = "style", "judged from its build"


class Stringing(TextChoices):
    OVERSTRUNG = "overstrung", "Overstrung"
    STRAIGHT = "straight", "Straight-strung"


class Damping(TextChoices):
    UNDER = "under", "Underdamper"
    OVER = "over", "Overdamper"


class Frame(TextChoices):
    FULL_IRON = "full_iron", "Full iron frame"
    PART_IRON = "part_iron", "Part iron frame"
    WOOD = "wood", "Wooden frame"


class CaseWood(TextChoices):
    WALNUT = "walnut", "Walnut"
    BURR_WALNUT = "burr_walnut", "Burr walnut"
    MAHOGANY = "mahogany", "Mahogany"
    ROSEWOOD = "rosewood", "Rosewood"
    OAK = "oak", "Oak"
    EBONISED = "ebonised", "Ebonised"
    SATINWOOD = "satinwood", "Satinwood"
    PAINTED = "painted", "Painted"


class Covering(TextChoices):
    """What the keys wear. What nobody has settled counts as ivory until it is settled."""

    UNKNOWN = "unknown", "Not settled"
    IVORY = "ivory", "Ivory"
    CELLULOID = "celluloid", "Celluloid"
    PLASTIC = "plastic", "Plastic"
    BONE = "bone", "Bone"
    WOOD = "wood", "Wood"
    EBONY = "ebony", "Ebony"
    STAINED = "stained", "Stained hardwood"


COVERINGS_THAT_MAY_BE_IVORY = (Covering.IVORY, Covering.UNKNOWN)  # in the order of their indexes


class Place(TextChoices):
    WORKSHOP = "workshop", "In the workshop"
    SHOWROOM = "showroom", "In the showroom"
    STORE = "store", "In store"
    OUTWORKER = "outworker", "With an outworker"
    CUSTOMER = "customer", "With a customer"
    SELLER = "seller", "Still with the seller"


class Topic(TextChoices):
    MADE = "made", "Made"
    NAMED = "named", "Named"
    OWNED = "owned", "Owned"
    USED = "used", "Used by"
    MOVED = "moved", "Moved"
    REPAIRED = "repaired", "Repaired"
    RESTORED = "restored", "Restored"
    STRINGS = "strings", "Strings"
    HAMMERS = "hammers", "Hammers"
    CASE = "case", "Case"
    KEYS = "keys", "Keys"
    ASSOCIATED = "associated", "Person or event"
    CONSTRUCTION = "construction", "Construction"
    GENERAL = "general", "In general"


class Grade(TextChoices):
    """How a claim is known, strongest first."""

    SEEN = "seen", "Seen"
    MEASURED = "measured", "Measured"
    MARK = "mark", "Mark in the instrument"
    DOCUMENT = "document", "Document"
    TOLD = "told", "Told"
    INFERRED = "inferred", "Inferred"


GRADES_THAT_STAND = {Grade.SEEN, Grade.MEASURED, Grade.MARK, Grade.DOCUMENT}


class Shot(TextChoices):
    FRONT = "front", "Front, closed"
    FRONT_OPEN = "front_open", "Front, open"
    END = "end", "An end"
    INSIDE = "inside", "Inside from above"
    ACTION = "action", "Action"
    HAMMERS = "hammers", "Hammers"
    PINS = "pins", "Wrest pins and coils"
    STRINGS = "strings", "Strings below"
    BRIDGES = "bridges", "Bridges"
    BACK = "back", "Back and posts"
    SOUNDBOARD = "soundboard", "Soundboard"
    KEYS = "keys", "Keys"
    SERIAL = "serial", "Serial number"
    NAME = "name", "Name on the fall or frame"
    DATE_MARK = "date_mark", "Date mark"
    PEDALS = "pedals", "Pedals"
    DAMAGE = "damage", "Damage, with a scale"
    AFTER_WORK = "after_work", "After work"
    OTHER = "other", "Something else"


class Station(TextChoices):
    """Where a body stands, in the order it moves."""

    OUTSIDE = "outside", "Outside"
    LID = "lid", "Lid up"
    FRONT = "front", "Front off"
    KEYS = "keys", "At the keys"
    BELOW = "below", "Below"
    BEHIND = "behind", "Behind"


class Part(TextChoices):
    """In the order a body meets them, station by station; `STATION_OF` says where."""

    CASE = "case", "Case and finish"
    FALL = "fall", "Fall and name"
    CASTORS = "castors", "Toes and castors"
    LID = "lid", "Lid and hinges"
    PINS = "pins", "Wrest pins and plank"
    FRAME = "frame", "Frame"
    DAMP = "damp", "Damp and mould"
    ACTION = "action", "Action frame and rails"
    HAMMERS = "hammers", "Hammers"
    CENTRES = "centres", "Centres"
    SPRINGS = "springs", "Springs, loops and tapes"
    DAMPERS = "dampers", "Dampers"
    STRINGS = "strings", "Strings"
    KEY_TOPS = "key_tops", "Key tops"
    KEYS = "keys", "Keys"
    PESTS = "pests", "Moth and woodworm"
    PEDALS = "pedals", "Pedals and trapwork"
    BRIDGES = "bridges", "Bridges"
    BACK = "back", "Back and posts"
    SOUNDBOARD = "soundboard", "Soundboard and bars"


PARTS_AT = {
    Station.OUTSIDE: (Part.CASE, Part.FALL, Part.CASTORS),
    Station.LID: (Part.LID, Part.PINS, Part.FRAME, Part.DAMP),
    Station.FRONT: (Part.ACTION, Part.HAMMERS, Part.CENTRES, Part.SPRINGS, Part.DAMPERS, Part.STRINGS),
    Station.KEYS: (Part.KEY_TOPS, Part.KEYS, Part.PESTS),
    Station.BELOW: (Part.PEDALS, Part.BRIDGES),
    Station.BEHIND: (Part.BACK, Part.SOUNDBOARD),
}
STATION_OF = {part: station for station, parts in PARTS_AT.items() for part in parts}
PARTS_WITH_KEYS = {
    *(Part.KEY_TOPS, Part.KEYS, Part.HAMMERS, Part.CENTRES, Part.SPRINGS),
    *(Part.DAMPERS, Part.STRINGS, Part.PINS),
}


class Occasion(TextChoices):
    """Why somebody walks round it, in the order of an instrument's life with the shop."""

    AS_OFFERED = "as_offered", "As seen at the seller’s"
    AS_BOUGHT = "as_bought", "As bought"
    ON_BENCH = "on_bench", "On the bench"
    FINISHED = "finished", "Finished"
    OUT_ON_TRIAL = "out_on_trial", "Out on trial"
    BACK_FROM_TRIAL = "back_from_trial", "Back from trial"
    AS_SOLD = "as_sold", "As sold"
    BACK_FROM_BUYER = "back_from_buyer", "Back from the buyer"


class Condition(TextChoices):
    SOUND = "sound", "Sound"
    ATTEND = "attend", "Attend"
    REPAIR = "repair", "Repair"
    REPLACE = "replace", "Replace"
    NOT_EXAMINED = "not_examined", "Not examined"


CONDITIONS_THAT_ARE_FAULTS = {Condition.ATTEND, Condition.REPAIR, Condition.REPLACE}


class Stage(TextChoices):
    AS_FOUND = "as_found", "As found"
    AFTER_WORK = "after_work", "After work"


class TorqueUnit(TextChoices):
    """Spelled as `calc.pins` converts them."""

    NEWTON_METRE = "N·m", "N·m"
    POUND_INCH = "lbf·in", "lbf·in"
    POUND_FOOT = "lbf·ft", "lbf·ft"
    KILOGRAM_CENTIMETRE = "kgf·cm", "kgf·cm"


class PitchUnit(TextChoices):
    HERTZ = "hz", "Hz"
    FLAT = "flat", "Cents flat"
    CENTS = "cents", "Cents, minus is flat"


class PitchStage(TextChoices):
    AS_FOUND = "as_found", "As found"
    AFTER_RAISE = "after_raise", "After the first raise"
    AFTER_TUNING = "after_tuning", "After tuning"
    SETTLED = "settled", "Settled"


class RaiseWay(TextChoices):
    ITSELF = "itself", "In tune with itself"
    PITCH = "pitch", "Up to pitch"
    GRADUAL = "gradual", "Gradual"


class WireSize(TextChoices):  # what a figure for the size of a wire means
    MILLIMETRES = "mm", "Diameter in mm"
    AMERICAN = "american", "Gauge, American table"
    METRIC = "metric", "Gauge, metric table"


class Whose(TextChoices):
    OURS = "ours", "Ours"
    CUSTOMER = "customer", "A customer’s"


class Asserts(TextChoices):
    """The part of a statement that can be held against others."""

    NOTHING = "", "Nothing that can be tested by itself"
    MADE = "made", "When it was made"
    MAKER = "maker", "Who made it"
    OWNED = "owned", "Who owned it"
    USED = "used", "Who used it"
    MOVED = "moved", "That it was moved"
    REPAIRED = "repaired", "That this part was repaired"
    RESTORED = "restored", "That this part was restored"
    RESTRUNG = "restrung", "That it was restrung"
    REPLACED = "replaced", "That this part was renewed"
    ORIGINAL = "original", "That this part is the first one"
    PATENT = "patent", "That a feature or patent in it dates from then"


ASSERTIONS_ABOUT_SOMEBODY = {Asserts.MAKER, Asserts.OWNED, Asserts.USED}


class Teller(TextChoices):
    """Who told it, as the public may know it: a relation, never a name. Worded by calc.wording.RELATIONS."""

    LAST_OWNER = "last_owner", "The last owner"
    LAST_OWNER_FAMILY = "last_owner_family", "The last owner’s family"
    EARLIER_OWNER = "earlier_owner", "An earlier owner"
    EARLIER_OWNER_FAMILY = "earlier_owner_family", "An earlier owner’s family"
    PLAYER = "player", "Somebody who played it"
    TUNER = "tuner", "A tuner who knew it"
    WORKSHOP = "workshop", "Somebody who worked on it"
    TRADE = "trade", "The dealer it came from"
    SCHOOL = "school", "The school it came from"
    CHURCH = "church", "The church it came from"
    NEIGHBOUR = "neighbour", "A neighbour of the last owner"


class Side(TextChoices):
    FOR = "for", "For it"
    AGAINST = "against", "Against it"


class Strength(TextChoices):
    STRONG = "strong", "Strongly"
    FAIR = "fair", "Fairly"
    WEAK = "weak", "Weakly"


class Exactness(TextChoices):
    EXACT = "exact", "Known for this very number"
    TABLE = "table", "First number of its year in a table"
    ABOUT = "about", "Remembered or guessed"


class WhoMaySee(TextChoices):
    STAFF = "staff", "Everybody who works here"
    OWNER = "owner", "Only those who may see private papers"
