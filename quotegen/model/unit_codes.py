"""Units as suppliers' systems write them: codes of UN/ECE Recommendation 20, and of 21 with X.

A code is easily misread: MIL is a thousand and neither a million nor a thousandth of an inch,
MON is a month and MIN a minute, CEN is a hundred.
"""

from __future__ import annotations

from quotegen.basics.quantity import GRAMS, MILLIMETRES

# pieces in one of each
PIECES = {"H87": 1, "C62": 1, "EA": 1, "XPP": 1, "PR": 2, "DZN": 12, "CEN": 100, "MIL": 1000}
MASSES = {"MGM": GRAMS["mg"], "GRM": GRAMS["g"], "KGM": GRAMS["kg"], "TNE": GRAMS["t"]}
LENGTHS = {"MMT": MILLIMETRES["mm"], "MTR": MILLIMETRES["m"]}
SPANS = {"DAY": "days", "WEE": "weeks", "MON": "months"}
