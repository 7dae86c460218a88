"""The second sheet of the brief: what fits below each other, by the rule of fitting.py.

Sizes are in points and match templates/brief.css: change both together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from quotegen.basics.printed import counted, listed
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.questions import Question
from quotegen.judge.turning.over_two import Turned
from quotegen.report.charts.letters import ELLIPSIS, SEMIBOLD
from quotegen.report.charts.sheet import WIDTH
from quotegen.report.fitting import Space, fitted, is_cut, lines_of
from quotegen.report.views.agree import Agreement, agreement_of
from quotegen.report.views.change import changes
from quotegen.report.views.names import recommended
from quotegen.report.views.shape import Chart, Fact, Row, Table
from quotegen.report.views.sure import Sureness, sureness_of
from quotegen.report.views.time import timeline

SHEET, WIDE, HALF = 715.0, 470.0, 222.0
RUNNING, HEAD, LINE, SIGN, TICK, MORE = 19.0, 26.0, 12.0, 41.0, 18.0, 14.0
SURE_ROW, SURE_HEAD, CHANGE_GAP, ITEM_GAP, INTRO = 15.0, 12.0, 2.0, 2.0, 14.0
ORDERS_HEAD, ORDER_ROW, ORDERS_FOOT = 37.0, 15.5, 16.5
FINDING = Space(width=WIDE, size=11.5, lines=1, weight=SEMIBOLD)
SENTENCE = Space(width=HALF, size=9, lines=4)
QUESTION = Space(width=HALF - 16, size=9, lines=4)
CHANGE = Space(width=HALF, size=9, lines=3)
LABEL = Space(width=HALF, size=9, lines=2, weight=SEMIBOLD)
CAUTIONS = Space(width=HALF, size=9, lines=4)
AGREE = Space(width=WIDE - 14, size=9, lines=3)
ORDER = Space(width=147.0, size=9, lines=1)
FROM = Space(width=151.0, size=9, lines=1)
CHOICE = Space(width=HALF - 16, size=9, lines=1)
HEADS = Space(width=58.0, size=9, lines=2)
AMOUNTS, CELL_GAP = 144.0, 7.0  # beside the demand and its good parts
MOST_BARS, MOST_CHANGES, MOST_ORDERS, AGREED_LINES, MANY = 3, 6, 4, 8, 3
LEAST_QUESTION_LINES, LEAST_COLUMN = 6, 190.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is not known yet: what the answer waits for, then the rest, then how many more."""

    waiting: tuple[str, ...]
    others: tuple[str, ...]
    more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondSheet:
    """Everything that stands on the second sheet, cut to fit."""

    timeline: Chart | None
    sure: Sureness
    changes: tuple[Fact, ...]
    asked: Asked
    cautions: str
    agree: Agreement

    @property
    def texts(self) -> tuple[str, ...]:
        """All that may have been cut."""
        orders = self.agree.orders.rows if self.agree.orders is not None else ()
        return (
            self.timeline.title if self.timeline is not None else "",
            self.sure.sentence,
            *(text for each in self.changes for text in (each.label, each.text)),
            *self.asked.waiting,
            *self.asked.others,
            self.cautions,
            *self.agree.points,
            *self.agree.choices,
            *(each.text for order in orders for each in order.cells[:2]),
        )


def second_sheet(
    comparison: Comparison, advice: Advice, turned: Turned | None = None
) -> SecondSheet:
    """Timeline, agreement and how sure it is come first; the rest shares the room left over."""
    drawing = _timeline(comparison, advice)
    agree = _fitted_agreement(agreement_of(comparison, advice))
    sure = _fitted_sureness(sureness_of(comparison, advice))
    used = RUNNING + _drawing_height(drawing) + _agreement_height(agree)
    column = max(LEAST_COLUMN, SHEET - used)
    asked, cautions = _questions_and_cautions(advice, column)
    return SecondSheet(
        timeline=drawing,
        sure=sure,
        changes=_changes_that_fit(
            changes(comparison, advice, turned), column - HEAD - _sureness_height(sure)
        ),
        asked=asked,
        cautions=cautions,
        agree=agree,
    )


def _timeline(comparison: Comparison, advice: Advice) -> Chart | None:
    drawn = timeline(comparison, advice, others=False, most=MOST_BARS)
    return replace(drawn, title=fitted(drawn.title, FINDING)) if drawn is not None else None


def _drawing_height(drawing: Chart | None) -> float:
    return HEAD + LINE + drawing.height * WIDE / WIDTH if drawing is not None else 0


def _fitted_sureness(sure: Sureness) -> Sureness:
    table = sure.table
    if table is not None:
        room = replace(HEADS, width=AMOUNTS / (len(table.columns) - 2) - CELL_GAP)
        heads = tuple(replace(each, head=fitted(each.head, room)) for each in table.columns[2:])
        table = replace(table, columns=(*table.columns[:2], *heads))
    return replace(sure, sentence=fitted(sure.sentence, SENTENCE), table=table)


def _sureness_height(sure: Sureness) -> float:
    height = HEAD + LINE * lines_of(sure.sentence, SENTENCE)
    if sure.table is None:
        return height
    heads = max(lines_of(each.head, HEADS) for each in sure.table.columns)
    return height + SURE_HEAD + LINE * heads + SURE_ROW * len(sure.table.rows)


def _changes_that_fit(every: Sequence[Fact], room: float) -> tuple[Fact, ...]:
    """The nearest ones, as many as the room holds: two at least."""
    found: list[Fact] = []
    for each in every[:MOST_CHANGES]:
        fact = Fact(label=fitted(each.label, LABEL), text=fitted(each.text, CHANGE))
        lines = lines_of(fact.label, LABEL) + lines_of(fact.text, CHANGE)
        room -= LINE * lines + CHANGE_GAP
        if room < 0 and len(found) > 1:
            break
        found.append(fact)
    return tuple(found)


def _questions_and_cautions(advice: Advice, column: float) -> tuple[Asked, str]:
    """Both whole where they fit; else the cautions give way, down to where some questions fit."""
    text = " ".join(advice.cautions)
    lines = int((column - 2 * HEAD) // LINE)
    wanted = lines_of(text, CAUTIONS)
    every = _asked(advice, None)
    needed = -int(-_asked_height(every) // LINE)
    given = max(lines - wanted, min(needed, LEAST_QUESTION_LINES))
    asked = _asked(advice, given * LINE)
    left = lines - -int(-_asked_height(asked) // LINE)
    return asked, fitted(text, replace(CAUTIONS, lines=max(CAUTIONS.lines, left)))


def _asked_height(asked: Asked) -> float:
    items = (*asked.waiting, *asked.others)
    intros = (1 if asked.waiting else 0) + (1 if asked.waiting and asked.others else 0)
    height = sum(LINE * lines_of(each, QUESTION) + ITEM_GAP for each in items)
    return height + INTRO * intros + (MORE if asked.more else 0)


def _asked(advice: Advice, room: float | None) -> Asked:
    """As many questions as the room holds, at least one; None holds them all."""
    waiting = [(_told([each]), 1) for each in advice.questions if each.blocks]
    others = _merged(advice)
    total = len(advice.questions)
    found = Asked(waiting=(), others=(), more="")
    told = 0
    for is_waiting, (text, stands_for) in (
        *((True, each) for each in waiting),
        *((False, each) for each in others),
    ):
        told += stands_for
        wider = Asked(
            waiting=(*found.waiting, text) if is_waiting else found.waiting,
            others=found.others if is_waiting else (*found.others, text),
            more=_more(total - told),
        )
        if room is not None and _asked_height(wider) > room and (found.waiting or found.others):
            break
        found = wider
    return found


def _more(number: int) -> str:
    return f"{counted(number, 'more question')} in the report." if number > 0 else ""


def _merged(advice: Advice) -> list[tuple[str, int]]:
    """What nothing waits for, the recommended route first; one line for what several are asked."""
    route = recommended(advice)
    own = {offer.name for offer in route.offers} if route is not None else set()
    found: dict[str, list[Question]] = {}
    for each in sorted(advice.questions, key=lambda each: each.offer not in own):
        if not each.blocks:
            found.setdefault(each.text, []).append(each)
    return [(_told(each), len(each)) for each in found.values()]


def _told(same: Sequence[Question]) -> str:
    who = list(dict.fromkeys(each.to for each in same))
    whom = listed(who) if len(who) <= MANY else f"{len(who)} suppliers"
    return fitted(f"{whom}: {_lower(same[0].text)}", QUESTION)


def _lower(text: str) -> str:
    """A question after a colon; a word in capitals stays."""
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text


def _fitted_agreement(agree: Agreement) -> Agreement:
    """As many points as fit; the last one says what can be cancelled."""
    points = [fitted(each, AGREE) for each in agree.points]
    first, last = points[:-1], points[-1:]
    while len(first) > 1 and sum(lines_of(each, AGREE) for each in (*first, *last)) > AGREED_LINES:
        first = [*first[:-2], _marked(first[-2])]
    return replace(
        agree,
        title=fitted(agree.title, FINDING),
        orders=_fitted_orders(agree.orders) if agree.orders is not None else None,
        points=(*first, *last),
        choices=tuple(fitted(each, CHOICE) for each in agree.choices[:MOST_ORDERS]),
    )


def _marked(text: str) -> str:
    """With the sign that something is left out after it."""
    return text if is_cut(text) else f"{text} {ELLIPSIS}"


def _fitted_orders(orders: Table) -> Table:
    *rows, last = (_fitted_order(each) for each in orders.rows[:MOST_ORDERS])
    if len(orders.rows) > MOST_ORDERS:
        what, *rest = last.cells
        last = replace(last, cells=(replace(what, text=_marked(what.text)), *rest))
    return replace(orders, rows=(*rows, last))


def _fitted_order(each: Row) -> Row:
    what, from_, *amounts = each.cells
    cut = (
        replace(what, text=fitted(what.text, ORDER)),
        replace(from_, text=fitted(from_.text, FROM)),
    )
    return replace(each, cells=(*cut, *amounts))


def _agreement_height(agree: Agreement) -> float:
    height = HEAD + sum(LINE * lines_of(each, AGREE) + ITEM_GAP for each in agree.points) + SIGN
    if agree.orders is not None:
        foot = ORDERS_FOOT if agree.orders.foot is not None else 0
        height += ORDERS_HEAD + ORDER_ROW * len(agree.orders.rows) + foot
    return height + TICK * ((len(agree.choices) + 1) // 2)
