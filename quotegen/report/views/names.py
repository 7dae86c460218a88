"""Names: where each page stands, and how parts and routes are called on it."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from quotegen.compare.comparison import Comparison
from quotegen.compare.route import Route
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import DOING, doing, route_words, suppliers_of, verb_of
from quotegen.model.entry import QuoteEntry

NOTHING_TO_BUY = "nothing to buy"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pages:
    """Where the page of each quote stands, counted from the top of the site.

    quotes is by supplier and short name of the quote; other pages are named by functions.
    """

    quotes: Mapping[tuple[str, str], str]

    def quote(self, entry: QuoteEntry) -> str:
        return self.quotes[entry.supplier, entry.name]

    def offer(self, offer: Offer) -> str:
        return self.quote(offer.case.quote_entry)


def pages_of(quotes: Iterable[QuoteEntry]) -> Pages:
    """A page for each quote; two that would get one name are numbered."""
    found: dict[tuple[str, str], str] = {}
    for entry in sorted(quotes, key=lambda each: (each.supplier, each.name)):
        name = f"quotes/{entry.supplier}-{entry.name}"
        names = itertools.chain([name], (f"{name}--{number}" for number in itertools.count(2)))
        taken = set(found.values())
        free = next(each for each in names if f"{each}.html" not in taken)
        found[entry.supplier, entry.name] = f"{free}.html"
    return Pages(quotes=found)


def part_page(part: str) -> str:
    return f"parts/{part}.html"


def supplier_page(supplier: str) -> str:
    return f"suppliers/{supplier}.html"


def paper_files(part: str) -> Mapping[str, str]:
    """The files that go with a part's page, by what they are.

    Each kind of ending has its own last word, so that no part's name meets another's file.
    """
    return {
        "brief": f"parts/{part}-brief.pdf",
        "report": f"parts/{part}-report.pdf",
        "csv": f"parts/{part}-offers.csv",
        "lines": f"parts/{part}-lines.csv",
        "cheapest": f"parts/{part}-cheapest.csv",
        "plan": f"parts/{part}-plan.csv",
        "money": f"parts/{part}-money.csv",
        "xlsx": f"parts/{part}.xlsx",
    }


def capital(text: str) -> str:
    """A capital first, the rest as it is: unlike str.capitalize it keeps names."""
    return text[:1].upper() + text[1:]


def labels_of(routes: Sequence[Route]) -> Mapping[str, str]:
    """A short name for each route by its own name: what is done, and at whom where two do it."""
    short = {route.name: route_words(route) for route in routes}
    longer = {route.name: f"{short[route.name]}, {suppliers_of(route)}" for route in routes}
    longest = {route.name: f"{short[route.name]}, {quotes_of(route)}" for route in routes}
    found = dict(short)
    for wider in (longer, longest, {route.name: route.name for route in routes}):
        times = Counter(found.values())
        found = {name: text if times[text] == 1 else wider[name] for name, text in found.items()}
    return found


def doing_words(route: Route) -> str:
    """What is done by a route, where nobody needs to be named: printing 52, then pouring."""
    main = DOING[verb_of(route.main)]
    if not route.bridge:
        return main
    return f"{DOING[verb_of(route.offers[0])]} {route.bridge:,}, then {main}"


def imperative(route: Route) -> str:
    """What to do by a route: print 52 at Brimmel, then pour at Aldring."""
    legs = [f"{verb_of(offer)} at {offer.supplier_name}" for offer in route.offers]
    if route.bridge:
        first = route.offers[0]
        legs[0] = f"{verb_of(first)} {route.bridge:,} at {first.supplier_name}"
    return ", then ".join(legs)


def settled_routes(advice: Advice) -> tuple[Route, ...]:
    """The route to take, each route of a tie, or none: what may be signed."""
    if advice.outcome is Outcome.TIE:
        return tuple(each.route for each in advice.ties)
    return (advice.route,) if advice.route is not None else ()


def recommended(advice: Advice) -> Route | None:
    """The one route to take; in a tie there is none."""
    return advice.route if advice.outcome is Outcome.CHOSEN else None


def is_taken(route: Route, advice: Advice) -> bool:
    taken = recommended(advice)
    return taken is not None and taken.name == route.name


def tools_of(offers: Iterable[Offer]) -> list[str]:
    """The tools that must be paid for, each name once."""
    tools = (
        tool.what
        for offer in offers
        for tool in offer.case.item.tools
        if tool.tool not in offer.case.workshop.record.tools_owned
    )
    return list(dict.fromkeys(tools))


def told_of(route: Route, among: Sequence[Route]) -> str:
    """A route in a sentence, with its suppliers where another family would be told alike."""
    alike = {each.main.name for each in among if doing_words(each) == doing_words(route)}
    return doing(route) if alike - {route.main.name} else doing_words(route)


def quotes_of(route: Route) -> str:
    return " and ".join(f"{offer.supplier_name} {offer.quote}" for offer in route.offers)


def outcome_of(comparison: Comparison, advice: Advice) -> str:
    """The outcome in words; what is on hand may leave nothing to choose."""
    return advice.outcome.value if comparison.needs.likely else NOTHING_TO_BUY


def currency_of(comparison: Comparison) -> str:
    return comparison.workshop.record.currency
