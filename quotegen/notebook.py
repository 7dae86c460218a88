"""The comparison for a notebook: data frames whose figures are exact decimals, and HTML to look at.

The figures are those that the report prints (R18), so that a frame, a page and a table agree.
"""

from __future__ import annotations

import datetime
import os
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from quotegen.basics.problem import Problem
from quotegen.basics.visible import visible
from quotegen.judge.reasons import headline
from quotegen.judge.studied import PartStudy, Study
from quotegen.report.output.tables import (
    Kind,
    Sheets,
    Table,
    as_csv,
    as_xlsx,
    frame_of,
    needs_of_parts,
    orders_of_parts,
)
from quotegen.study import study

if TYPE_CHECKING:
    from pandas import DataFrame

HEAD = ("part", "name", "outcome", "what is recommended")
EXTRA = "writing Parquet needs pyarrow: pip install 'quotegen[parquet]'"


@dataclass(frozen=True)
class Workbench:
    """A workshop folder in a notebook; it is read and compared when first asked.

    today is the day of the comparison; without it `compared on` of workshop.yaml counts, and
    without that the clock of the machine.
    """

    folder: Path
    today: datetime.date | None = None

    @cached_property
    def study(self) -> Study:
        clock = datetime.datetime.now(tz=datetime.UTC).astimezone().date()
        return study(self.folder, self.today, clock=clock)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that is wrong with the folder; an error leaves something out."""
        return self.study.problems

    @cached_property
    def tables(self) -> tuple[Table, ...]:
        """The two tables behind the frames: `offers` and `plans`."""
        parts = tuple(self._parts())
        return needs_of_parts(parts), orders_of_parts(parts)

    def _parts(self) -> Iterable[PartStudy]:
        return (found for _, found in sorted(self.study.parts.items()))

    def offers(self) -> DataFrame:
        """One row for each part, offer and need: low, likely and high demand, and one lot.

        Columns: part; revision; compared on (date); quote as supplier/number; supplier; process;
        standing; why it does not hold; in the recommended route (yes, no); currency (ISO 4217, of
        every amount in the row); need; good parts wanted, bought and left over (pieces); paid once
        and total (money, in the currency's minor unit); each later and each, all in (money a good
        part, up to four decimals); first parts and sign by (dates); place in the folder. Figures
        are int and Decimal; None where the offer has no price for so many.
        """
        frame: DataFrame = frame_of(self.tables[0])
        return frame

    def plans(self) -> DataFrame:
        """One row for each order of each part's best plan, in the order in which they arrive.

        Columns: part; order by, order tools by, arrives, lasts until (dates); quote; supplier;
        pieces; good parts; left when it arrives; wanted to be left; landed each (money a good
        part); total (money); currency.
        """
        frame: DataFrame = frame_of(self.tables[1])
        return frame

    def save(self, path: str | Path) -> Path:
        """Write the offers as .csv or .parquet, or offers and plans as .xlsx; whole or not at all.

        Raises ValueError for another ending, ImportError where Parquet is not installed.
        """
        target = Path(path)
        data = self._written(target)
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            Path(temporary).chmod(0o644)
            Path(temporary).replace(target)
        finally:
            Path(temporary).unlink(missing_ok=True)
        return target

    def _written(self, target: Path) -> bytes:
        if target.suffix == ".csv":
            return as_csv(self.tables[0])
        if target.suffix == ".xlsx":
            return as_xlsx(Sheets(part="all parts", dated=self.study.today, tables=self.tables))
        if target.suffix == ".parquet":
            return _as_parquet(self.tables[0])
        raise ValueError(f"{target.name}: expected a name that ends in .csv, .xlsx or .parquet")

    def _repr_html_(self) -> str:
        """The parts and what is recommended for each, as a table; every text is escaped."""
        rows = [
            (
                found.part,
                record.name,
                found.advice.outcome.value,
                headline(comparison, found.advice),
            )
            for found in self._parts()
            for comparison in (found.comparison,)
            for record in (comparison.part.record,)
        ]
        head = "".join(f'<th scope="col">{escape(each)}</th>' for each in HEAD)
        body = "".join(f"<tr>{''.join(_cell(each) for each in row)}</tr>" for row in rows)
        errors = sum(problem.severity == "error" for problem in self.problems)
        told = f"{self.folder}, as of {self.study.today.isoformat()}; errors: {errors}"
        caption = f"<caption>{escape(visible(told))}</caption>"
        return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cell(text: str) -> str:
    return f"<td>{escape(visible(text))}</td>"


def _as_parquet(table: Table) -> bytes:
    """Decimals stay decimals (decimal128), days stay days, counts stay whole where one is empty."""
    import io

    try:
        import pyarrow  # noqa: F401  # pandas' own message names no extra of ours
    except ImportError as error:
        raise ImportError(EXTRA) from error
    stream = io.BytesIO()
    whole = {column.head: "Int64" for column in table.columns if column.kind is Kind.WHOLE}
    frame_of(table).astype(whole).to_parquet(stream, engine="pyarrow", index=False)
    return stream.getvalue()
