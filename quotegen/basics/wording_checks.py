"""The words about records that can be read and do not hold together."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

CHECKS: dict[str, Wording] = {
    # quotes and what joins their items
    "quote-supplier-unknown": Wording(
        "error",
        "There is no supplier '{seen}'; {hint}",
        LEFT_OUT,
        "Write suppliers/{seen}.yaml, or rename the quote's folder.",
    ),
    "quote-supplier-broken": Wording(
        "error",
        "The supplier '{seen}' could not be read.",
        LEFT_OUT,
        "Correct suppliers/{seen}.yaml.",
    ),
    "quote-twice": Wording(
        "error",
        "quote: the number '{seen}' stands on another quote of this supplier too: {expected}.",
        LEFT_OUT,
        "Delete one of them, or correct its number.",
    ),
    "replaces-itself": Wording(
        "error",
        "{field}: the quote '{seen}' names itself.",
        LEFT_OUT,
        "Name the earlier quote.",
    ),
    "replaces-circle": Wording(
        "error",
        "replaces: '{seen}' is in turn replaced by this quote.",
        LEFT_OUT,
        "Take `replaces` out of the earlier quote.",
    ),
    "replaces-unknown": Wording(
        "notice",
        "replaces: there is no quote '{seen}' of this supplier; {hint}",
        "Nothing is replaced.",
        "Correct the number, if the earlier quote is here.",
    ),
    "validity-before-date": Wording(
        "error",
        "{field}: {seen} lies before the quote's date, {expected}.",
        LEFT_OUT,
        "Correct one of the two dates.",
    ),
    "validity-two": Wording(
        "error",
        "{field}: {seen} is not what `valid for` says, {expected}.",
        LEFT_OUT,
        "Keep one of the two.",
    ),
    "payment-sum": Wording(
        "error",
        "{field}: the shares add up to {seen}, not to 100 %.",
        LEFT_OUT,
        "Correct the shares.",
    ),
    "batch-missing": Wording(
        "error",
        "{field}: '{seen}' is paid per batch, and no batch size is known.",
        LEFT_OUT,
        "Add `batch` to the charge, or `multiple` to the item.",
    ),
    "amount-currency": Wording(
        "notice",
        "{field}: '{seen}' is not in the quote's currency, {expected}.",
        "It is converted at its own rate.",
        "Ask in which currency it is to be paid.",
    ),
    "tool-twice": Wording(
        "error",
        "{field}: the tool '{seen}' stands twice in one item.",
        LEFT_OUT,
        "Keep one of the two.",
    ),
    "tool-differs": Wording(
        "error",
        "{field}: the tool '{seen}' is described in two ways in this quote.",
        LEFT_OUT,
        "Make the two alike, or give them keys of their own.",
    ),
    "tool-elsewhere": Wording(
        "notice",
        "tool: '{seen}' is described in another way at {expected}.",
        "A plan pays the first to order, and wears it by the shorter life.",
        "Make the two alike if it is one tool, else give it a key of its own.",
    ),
    # items
    "item-part-unknown": Wording(
        "error",
        "{field}: there is no part '{seen}'; {hint}",
        LEFT_OUT,
        "Correct the name, or write parts/{seen}.yaml.",
    ),
    "item-part-broken": Wording(
        "error",
        "{field}: the part '{seen}' could not be read.",
        LEFT_OUT,
        "Correct parts/{seen}.yaml.",
    ),
    "tiers-not-rising": Wording(
        "error",
        "{field}: {seen} does not lie above {before}, where the break before it begins.",
        LEFT_OUT,
        "Put the breaks in order, each quantity once.",
    ),
    "price-dearer": Wording(
        "error",
        "{field}: '{seen}' from {start} pieces is dearer than {before} from {earlier} pieces.",
        LEFT_OUT,
        "Ask the supplier which price holds.",
    ),
    "prices-mixed": Wording(
        "error",
        "{field}: '{seen}' and '{before}' are not for the same unit.",
        LEFT_OUT,
        "Write all prices for pieces, or all for a mass.",
    ),
    "price-currency": Wording(
        "error",
        "{field}: '{seen}' is in {found}, the quote is in {expected}.",
        LEFT_OUT,
        "Ask which currency holds.",
    ),
    "tier-unreachable": Wording(
        "notice",
        "{field}: the price from {seen} on is never reached, since the minimum is {expected}.",
        "It is not used.",
        "Ask whether smaller orders are taken after all.",
    ),
    "order-impossible": Wording(
        "notice",
        "{field}: '{seen}' is less than the smallest order, {expected} pieces.",
        "Nothing can be ordered, so that no cost is shown.",
        "Ask which of the two holds.",
    ),
    "rejects-all": Wording(
        "notice",
        "{field}: '{seen}' leaves no good part.",
        "Nothing can be ordered, so that no cost is shown.",
        "Ask for the share of rejects.",
    ),
    "operation-both": Wording(
        "error",
        "{field}: '{seen}' is both included and excluded.",
        LEFT_OUT,
        "Ask which of the two holds.",
    ),
    "surcharge-measure": Wording(
        "error",
        "{field}: '{seen}' needs a `rate` or a `price`, and not both.",
        LEFT_OUT,
        "Write one of the two.",
    ),
    "surcharge-name": Wording(
        "error",
        "{field}: '{seen}' is the name of another base.",
        LEFT_OUT,
        "Give the surcharge a name of its own.",
    ),
    "surcharge-base": Wording(
        "error",
        "{field}: '{seen}' is not a base here; known so far: {expected}.",
        LEFT_OUT,
        "Name a base, or move the surcharge below the one it builds on.",
    ),
    "surcharge-base-twice": Wording(
        "error",
        "{field}: '{seen}' would count twice.",
        LEFT_OUT,
        "Name each base once.",
    ),
    # workshop, parts and suppliers
    "line-twice": Wording(
        "error",
        "{field}: there is another line for {seen}.",
        LEFT_OUT,
        "Keep one of them.",
    ),
    "completion-price": Wording(
        "error",
        "{field}: '{seen}' has no `price`, no `minutes` and no `per order`.",
        LEFT_OUT,
        "Write at least one of them.",
    ),
    "completion-labour": Wording(
        "error",
        "{field}: '{seen}' has `minutes` and no `labour`.",
        LEFT_OUT,
        "Name the labour whose hourly rate counts.",
    ),
    "labour-unknown": Wording(
        "error",
        "{field}: there is no labour '{seen}'; {hint}",
        LEFT_OUT,
        "Correct the word, or add a line under `labour`.",
    ),
    "rate-own": Wording(
        "error",
        "{field}: {seen} is the workshop's own currency.",
        LEFT_OUT,
        "Delete the line, or name the other currency.",
    ),
    "rate-currency": Wording(
        "error",
        "{field}: the rate is in {seen}, the workshop reckons in {expected}.",
        LEFT_OUT,
        "Write what one unit is worth in {expected}.",
    ),
    "demand-order": Wording(
        "error",
        "{field}: {seen} do not rise from low over likely to high.",
        LEFT_OUT,
        "Put them in order.",
    ),
    "demand-months-count": Wording(
        "error",
        "{field}: found {seen} months; expected {expected}.",
        LEFT_OUT,
        "Write 12 months, or one for each of the planning months.",
    ),
    "demand-months-sum": Wording(
        "error",
        "{field}: the first 12 months add up to {seen}, `likely` is {expected}.",
        LEFT_OUT,
        "Correct the months, or write their sum as `likely`.",
    ),
    "growth-by-month": Wording(
        "error",
        "{field}: '{seen}' stands beside the months, which may hold it already.",
        LEFT_OUT,
        "Write the growth into the months, or take one of the two out.",
    ),
    "scenario-weight": Wording(
        "notice",
        "{field}: nothing says how likely {seen} a year are.",
        "The scenarios are left aside, and the range of low, likely and high is taken.",
        "Add `weight` in per cent.",
    ),
    "scenario-sum": Wording(
        "notice",
        "{field}: the weights add up to {seen}, not to 100 %.",
        "The scenarios are left aside, and the range of low, likely and high is taken.",
        "Correct the weights.",
    ),
    "scenario-outside": Wording(
        "notice",
        "{field}: {seen} a year do not lie in the range of the demand, {expected}.",
        "It counts all the same; cover is kept for the high demand.",
        "Correct it, or widen low or high.",
    ),
    "late-without-cost": Wording(
        "error",
        "{field}: nothing says what a late piece costs, so that none may be late.",
        LEFT_OUT,
        "Add `late costs`, or take this line out.",
    ),
    "operation-twice": Wording(
        "error",
        "{field}: '{seen}' stands twice.",
        LEFT_OUT,
        "Keep one of the two.",
    ),
    "closure-order": Wording(
        "error",
        "{field}: {seen} lies before the first day, {expected}.",
        LEFT_OUT,
        "Correct one of the two days.",
    ),
}
