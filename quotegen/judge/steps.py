"""How long a process takes at its fastest, step by step, from published times (R17)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from quotegen.basics.printed import counted
from quotegen.basics.quantity import Span
from quotegen.model.fields import Process

TABLE = Path(__file__).parent / "tables" / "process_steps.yaml"
HOURS_A_DAY = 24
DAYS = {"days": 1, "weeks": 7, "months": 31}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: its fastest published hours around the clock, how far to trust them, and whose
    they are."""

    name: str
    hours: int
    confidence: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessTimes:
    """The steps of a repeat order, all of them as published, the tool, and what to ask."""

    steps: tuple[Step, ...]
    whole: Step | None
    tool: Step | None
    ask: str

    @property
    def fastest(self) -> int:
        """Hours of a repeat order: the steps one after the other, or the way as published."""
        summed = sum(step.hours for step in self.steps)
        return max(summed, self.whole.hours if self.whole is not None else 0)

    @property
    def slowest_step(self) -> Step:
        return max(self.steps, key=lambda step: step.hours)


@cache
def process_times() -> Mapping[Process, ProcessTimes]:
    """The published times of every process, from the data file."""
    read: Mapping[str, Any] = yaml.safe_load(TABLE.read_text(encoding="utf-8"))
    return {Process(name): _times(written) for name, written in read.items()}


def _times(written: Mapping[str, Any]) -> ProcessTimes:
    whole, tool = written.get("whole"), written.get("tool")
    return ProcessTimes(
        steps=tuple(_step(each) for each in written["steps"]),
        whole=_step({"step": "all steps"} | whole) if whole else None,
        tool=_step(tool) if tool else None,
        ask=written["ask"],
    )


def _step(written: Mapping[str, Any]) -> Step:
    hours = written.get("hours")
    if hours is None:
        hours = drying_hours(written["coats"], written["hours a coat"])
    return Step(
        name=written["step"],
        hours=hours,
        confidence=written["confidence"],
        source=written["source"],
    )


def drying_hours(coats: int, hours_a_coat: int) -> int:
    """A shell dries coat by coat, each before the next is put on."""
    return coats * hours_a_coat


def longest_reading(span: Span) -> int:
    """The most hours around the clock that a stated time can mean, so that nobody is accused.

    Working days count the weekends between them, and one more where they may begin on a Friday.
    """
    if span.unit == "working days":
        return (span.count + 2 * math.ceil(span.count / 5)) * HOURS_A_DAY
    return span.count * DAYS[span.unit] * HOURS_A_DAY


def in_words(hours: int) -> str:
    """Hours below two days, else whole days rounded down, since a fastest time is at stake."""
    if hours < 2 * HOURS_A_DAY:
        return counted(hours, "hour")
    return counted(hours // HOURS_A_DAY, "day")
