"""The words about what was ordered so far, and about looking at deliveries."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

QUALITY: dict[str, Wording] = {
    "orders-part-unknown": Wording(
        "error",
        "There is no part '{seen}'; {hint}",
        LEFT_OUT,
        "Rename the file after the part, or write parts/{seen}.yaml.",
    ),
    "orders-part-broken": Wording(
        "error",
        "The part '{seen}' could not be read.",
        LEFT_OUT,
        "Correct parts/{seen}.yaml.",
    ),
    "order-supplier-unknown": Wording(
        "error",
        "{field}: there is no supplier '{seen}'; {hint}",
        LEFT_OUT,
        "Correct the name, or write suppliers/{seen}.yaml.",
    ),
    "order-supplier-broken": Wording(
        "error",
        "{field}: the supplier '{seen}' could not be read.",
        LEFT_OUT,
        "Correct suppliers/{seen}.yaml.",
    ),
    "order-twice": Wording(
        "error",
        "{field}: another order of this supplier bears the number '{seen}'.",
        LEFT_OUT,
        "Delete one of them, or correct its number.",
    ),
    "order-rejected": Wording(
        "error",
        "{field}: {seen} rejected of {expected} received.",
        LEFT_OUT,
        "Write under `received` all pieces that came, and under `rejected` those of them that "
        "failed.",
    ),
    "order-process": Wording(
        "notice",
        "{field}: the supplier has several processes, and the order names none of them.",
        "Its rejects are not counted.",
        "Add `process` to the order.",
    ),
    "inspection-twice": Wording(
        "error",
        "{field}: the operation '{seen}' has our own price for looking at the pieces already.",
        LEFT_OUT,
        "Take the operation or this line out, so that it is counted once.",
    ),
    "inspection-plan": Wording(
        "notice",
        "{field}: nothing says how many pieces of a delivery are looked at.",
        "Looking at them is not counted.",
        "Add `acceptance quality`, such as AQL 1.0.",
    ),
    "inspection-labour": Wording(
        "notice",
        "{field}: there is no labour '{seen}' in workshop.yaml; {hint}",
        "Looking at the pieces is not counted.",
        "Correct the word, or add a line under `labour`.",
    ),
}
