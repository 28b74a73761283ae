"""Craft numbers against the rules and a public checker."""

from __future__ import annotations

from checks import checked, same

from hulllog.trade.craftnumber import CraftNumber, read_craft_number
from hulllog.trade.refusal import Refusal

MCA = "ISO 10087:2019, checker of the UK Maritime and Coastguard Agency"
CFR = "33 CFR 181.25"


def only(text: str) -> CraftNumber:
    (found,) = read_craft_number(text)
    return found


def refused(text: str) -> str:
    try:
        read_craft_number(text)
    except Refusal as refusal:
        return refusal.code
    return ""


@checked(read_craft_number, MCA, "published", where="its positive test value")
def test_the_checkers_own_number() -> None:
    found = only("NL-ZXZB7A33G293")
    same((found.country, found.maker, found.serial), ("NL", "ZXZ", "B7A33"))
    same((found.month, found.year, found.model_year), (7, 1992, 1993))
    same(refused("GB-Z0Z12345A120"), "craft_maker")
    same(refused("GB-ZXZ12I45A120"), "craft_serial")
    same(refused("UK-ZXZ12345A120"), "craft_country_hint")


@checked(read_craft_number, CFR, "published", where="(a) to (d)")
def test_the_rule_since_1984() -> None:
    for letter, month in zip("ABCDEFGHIJKL", range(1, 13), strict=True):
        found = only(f"ZZXA1B2C{letter}415")
        same((found.form, found.month), ("us_1984", month))
        same((found.year, found.model_year), (2014, 2015))
    for letter in "IOQ":
        same(refused(f"ZZX12{letter}45A415"), "craft_serial")
    same(refused("ZZX12345A41"), "craft_length")


OLDER = "33 CFR 181, formats before August 1984"


@checked(read_craft_number, OLDER, "published", where="as an Australian register gives them")
def test_the_two_older_forms() -> None:
    found = only("ZZX123451278")
    same((found.form, found.month, found.year), ("us_straight", 12, 1978))
    found = only("ZZX12345M82H")
    same((found.form, found.month, found.model_year), ("us_model_year", 3, 1982))
    same(only("ZZX123451172").year, 1972)


@checked(read_craft_number, OLDER, "published", where="month letters, as owners' guides have them")
def test_model_years_begin_in_august() -> None:
    for letter, month in zip("ABCDEFGHIJKL", (8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6, 7), strict=True):
        same(only(f"ZZX12345M75{letter}").month, month)
