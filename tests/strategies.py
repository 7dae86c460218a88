"""Random quotes as forms: small enough to try every order, odd enough to meet every rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from tests.folders import Forms, a_part, a_quote, a_supplier, a_tool, a_workshop, an_item, forms

Values = dict[str, Any]
LARGEST_ORDER = 24


def amounts(currency: str, least: int = 0, most: int = 30_000) -> st.SearchStrategy[str]:
    """Money to the cent, such as `12.34 EUR`."""
    return st.integers(least, most).map(
        lambda cents: f"{cents // 100}.{cents % 100:02d} {currency}"
    )


def shares(*per_cents: str) -> st.SearchStrategy[str]:
    return st.sampled_from([f"{each} %" for each in per_cents])


@st.composite
def prices(draw: st.DrawFn, currency: str) -> dict[int, str]:
    """One to three tiers; a break may be so deep that it pays to buy more."""
    starts = sorted(draw(st.sets(st.integers(1, 20), min_size=1, max_size=3)))
    cents = sorted(draw(st.lists(st.integers(1, 3000), min_size=len(starts), max_size=len(starts))))
    by_mass = draw(st.sampled_from([False, False, False, True]))
    basis = "g" if by_mass else draw(st.sampled_from(["1", "1", "3", "100"]))
    each = reversed(cents)
    return {
        start: f"{price // 100}.{price % 100:02d} {currency} per {basis}"
        for start, price in zip(starts, each, strict=True)
    }


@st.composite
def charges(draw: st.DrawFn, currency: str) -> list[Values]:
    found = []
    pers = ["piece", "batch", "delivery", "order", "year", "revision", "once"]
    for number, per in enumerate(draw(st.lists(st.sampled_from(pers), max_size=3))):
        charge = {"what": f"charge {number}", "amount": draw(amounts(currency)), "per": per}
        if per == "batch":
            charge["batch"] = str(draw(st.integers(2, 7)))
        found.append(charge)
    return found


@st.composite
def surcharges(draw: st.DrawFn, currency: str) -> list[Values]:
    """At most three, discounts among them; one may be taken of an earlier one."""
    found: list[Values] = []
    known = ["goods", "charges"]
    for number in range(draw(st.integers(0, 3))):
        surcharge: Values = {"what": f"surcharge {number}"}
        if draw(st.booleans()):
            bases = draw(st.lists(st.sampled_from(known), min_size=1, max_size=2, unique=True))
            surcharge |= {"rate": draw(shares("1", "2.5", "7", "12.5")), "of": bases}
            surcharge["off"] = draw(st.sampled_from(["no", "no", "yes"]))
        else:
            surcharge["price"] = draw(amounts(currency, most=300)) + " per kg"
        if draw(st.integers(0, 4)) == 0:
            surcharge["counted"] = "no"
        else:
            known.append(surcharge["what"])
        found.append(surcharge)
    return found


@st.composite
def tools(draw: st.DrawFn, currency: str) -> Values:
    changes: Values = {}
    if draw(st.booleans()):
        changes["life"] = str(draw(st.integers(1, 30)))
        changes["cavities"] = str(draw(st.integers(1, 3)))
    if draw(st.booleans()):
        changes["replacement"] = draw(amounts(currency))
    if draw(st.booleans()):
        changes["samples"] = draw(amounts(currency))
    if draw(st.booleans()):
        changes["storage"] = draw(amounts(currency, most=3000))
    if draw(st.booleans()):
        changes["transfer"] = draw(amounts(currency, most=3000))
    if draw(st.booleans()):
        changes["duty_over"] = str(draw(st.integers(1, 50)))
    return a_tool(draw(amounts(currency)), **changes)


@st.composite
def rejects(draw: st.DrawFn) -> Values:
    return {
        "share": draw(shares("0", "3", "4", "10", "12.5", "33.3", "50", "85")),
        "found": draw(st.sampled_from(["at the supplier", "on receipt", "after completion"])),
        "made good": draw(st.sampled_from(["nothing", "credited", "replaced"])),
    }


@st.composite
def minimum_values(draw: st.DrawFn, currency: str) -> Values:
    return {
        "value": draw(amounts(currency, most=60_000)),
        "per": draw(st.sampled_from(["order", "order", "delivery", "year"])),
        "counts charges": draw(st.sampled_from(["yes", "no"])),
    }


@st.composite
def items(draw: st.DrawFn, currency: str) -> Values:
    """An item with some of the rules at work; which ones is drawn too."""

    def perhaps(what: st.SearchStrategy[Any]) -> Any:
        return draw(what) if draw(st.integers(0, 2)) == 0 else None

    multiple = draw(st.sampled_from([1, 1, 2, 3, 5]))
    return an_item(
        draw(prices(currency)),
        breaks=draw(st.sampled_from(["all-units", "all-units", "incremental"])),
        minimum=str(draw(st.sampled_from([1, 1, 2, 6, 11]))),
        multiple=str(multiple),
        charges=draw(charges(currency)),
        surcharges=draw(surcharges(currency)),
        rejects=draw(rejects()),
        minimum_value=perhaps(minimum_values(currency)),
        capacity_a_month=perhaps(st.integers(1, LARGEST_ORDER).map(str)),
        minimum_a_year=perhaps(st.integers(1, 90).map(str)),
        tools=[draw(tools(currency))] if draw(st.booleans()) else [],
        includes=draw(st.sampled_from([[], ["deburring"]])),
        mass_shipped=perhaps(st.just("130 g")),
    )


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A random folder, and the lot that orders come in."""

    content: Forms
    lot: int


@st.composite
def ways(draw: st.DrawFn) -> Values:
    """What we pay on the way from Britain."""
    carriage = {"per order": draw(amounts("EUR", most=5000))}
    if draw(st.booleans()):
        carriage["per kilogram"] = draw(amounts("GBP", most=900))
    return {
        "from": "GB",
        "export clearance": draw(amounts("EUR", most=5000)),
        "carriage": carriage,
        "on carriage": {"per kilogram": draw(amounts("EUR", most=400))},
        "to border": draw(shares("100", "80", "65")),
        "insurance": draw(shares("0", "0.4", "1")),
        "import clearance": draw(amounts("EUR", most=5000)),
        "unloading": draw(amounts("EUR", most=1000)),
        "source": "test",
    }


@st.composite
def folders(draw: st.DrawFn, most_quotes: int = 3) -> Drawn:
    """A part with some quotes from Britain, some in pounds, some in dollars at the published rate.

    The published rate has many digits and divides, so that amounts get long denominators.
    """
    quotes, suppliers = [], {}
    for number in range(draw(st.integers(1, most_quotes))):
        currency = draw(st.sampled_from(["EUR", "GBP", "USD"]))
        rule = draw(st.sampled_from(["EXW Leeds", "FCA Leeds", "CPT Rotterdam", "CIP Zutphen"]))
        rule = draw(st.sampled_from([rule, "DAP Zutphen", "DPU Zutphen", "DDP Zutphen"]))
        item = draw(items(currency))
        quotes.append(a_quote(f"s{number}-1", item, currency=currency, delivery=rule))
        suppliers[f"s{number}"] = a_supplier(name=f"S{number}", country="GB")
    lot = draw(st.integers(1, LARGEST_ORDER))
    workshop = a_workshop(
        planning_months=str(draw(st.sampled_from([5, 12, 18]))),
        rates=[{"one": "GBP", "is worth": "1.2120 EUR", "on": "2026-10-30", "source": "test"}],
        bank_fee=draw(st.sampled_from([None, "14 EUR"])),
        customs_value=draw(st.sampled_from(["CIF", "FOB"])),
        delivery=[draw(ways())],
        duty=[
            {
                "goods code": "8448",
                "origin": "GB",
                "rate": draw(shares("0", "3.5", "12")),
                "since": "2026-01-01",
                "source": "test",
            }
        ],
        import_tax="21 %",
        import_tax_comes_back=draw(st.sampled_from(["yes", "no"])),
        completion=[
            {
                "operation": "deburring",
                "price": draw(amounts("EUR", most=900)) + " per 1",
                "per order": draw(amounts("EUR", most=2000)),
                "source": "test",
            }
        ],
    )
    part = a_part(
        30,
        lot=str(lot),
        operations=draw(st.sampled_from([[], ["deburring"]])),
        goods_code="8448.49",
        pieces_a_delivery=draw(st.sampled_from([None, None, "4", "10"])),
    )
    return Drawn(content=forms(*quotes, workshop=workshop, part=part, suppliers=suppliers), lot=lot)
