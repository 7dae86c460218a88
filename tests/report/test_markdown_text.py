"""What Markdown may become: our own short list of tags, and nothing that a user smuggles in."""

from __future__ import annotations

import pytest

from quotegen.report.markdown_text import prose_html, text_of


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("We agreed **both** ways.", "<p>We agreed <strong>both</strong> ways.</p>"),
        ("- one\n- two", "<ul>\n<li>one</li>\n<li>two</li>\n</ul>"),
        ("# Loud", "<p><strong>Loud</strong></p>"),
        ("<script>alert(1)</script>", "<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>"),
        ("a <b onclick=x>b</b>", "<p>a &lt;b onclick=x&gt;b&lt;/b&gt;</p>"),
        ("[here](javascript:alert(1))", "<p>here</p>"),
        ("[here](https://example.org)", "<p>here</p>"),
        ("![x](file:///etc/passwd)", "<p></p>"),
        ("<img src=x onerror=alert(1)>", "<p>&lt;img src=x onerror=alert(1)&gt;</p>"),
        ("3 < 4 & 5", "<p>3 &lt; 4 &amp; 5</p>"),
    ],
)
def test_prose_of_a_user_becomes_safe_html(written: str, shown: str) -> None:
    assert prose_html(written) == shown


def test_our_own_text_is_split_at_its_headings() -> None:
    text = text_of(
        "# Words\n\nBefore.\n\n## R5 Tools\n\nSee [R1](method.html#R1).\n\n## A part\n\nb\n"
    )
    assert text.opening == "<p>Before.</p>"
    assert [(each.anchor, each.title) for each in text.sections] == [
        ("R5", "R5 Tools"),
        ("a-part", "A part"),
    ]
    assert text.sections[0].html == '<p>See <a href="method.html#R1">R1</a>.</p>'


def test_our_own_text_links_only_within_the_site() -> None:
    text = text_of("## A\n\n[a](https://example.org) [b](../x.html) [c](problems.html#rate-old)\n")
    assert text.sections[0].html == (
        '<p><a>a</a> <a>b</a> <a href="problems.html#rate-old">c</a></p>'
    )
