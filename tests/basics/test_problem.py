"""Problems: how they are filled, sorted and told on one line."""

from __future__ import annotations

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, Severity, has_errors, in_order, nearest

MISSING = Problem.of(
    "missing-field", Place("a.yaml", 3, 1), field="mass", key="mass", record="The part p"
)
NOTICE = Problem.of("file-not-read", Place("b.csv"), seen="b.csv")


def test_a_problem_fills_its_sentence() -> None:
    """No source."""
    assert MISSING.sentence == (
        "a.yaml:3:1: missing-field: mass: missing. The part p is left out. Add `mass`."
    )


def test_braces_in_a_value_are_shown_as_they_are() -> None:
    """No source: a value is never a template."""
    problem = Problem.of("file-not-read", Place("b"), seen="{record} {0}")
    assert problem.message == "No reading form reads '{record} {0}'."


def test_a_value_cannot_forge_a_line() -> None:
    """No source: line ends and escape sequences are replaced, long texts cut."""
    problem = Problem.of("file-not-read", Place("b"), seen="a\nb.yaml:1:1: x\x1b[2J" + "y" * 400)
    assert "\n" not in problem.sentence
    assert "\x1b" not in problem.sentence
    assert len(problem.message) == len("No reading form reads ''.") + 300


def test_an_error_is_told_from_a_notice() -> None:
    """No source."""
    assert (MISSING.severity, NOTICE.severity) == (Severity.ERROR, Severity.NOTICE)
    assert has_errors([NOTICE, MISSING])
    assert not has_errors([NOTICE])


def test_problems_are_told_once_and_downwards() -> None:
    """No source."""
    later = Problem.of("file-not-read", Place("a.yaml", 10, 1), seen="x")
    assert in_order([NOTICE, later, MISSING, NOTICE]) == (MISSING, later, NOTICE)


def test_the_nearest_word_is_named_whatever_its_capitals() -> None:
    """No source."""
    assert nearest("minimun", ["minimum", "multiple"]) == "did you mean 'minimum'?"
    assert nearest("fca", ["FCA", "FOB"]) == "did you mean 'FCA'?"


def test_known_words_are_listed_where_none_is_near() -> None:
    """No source."""
    assert nearest("x", ["b", "a"]) == "known here: a, b."
    assert nearest("x", []) == "known here: nothing."
    assert nearest("z" * 10**6, ["b"]) == "known here: b."
