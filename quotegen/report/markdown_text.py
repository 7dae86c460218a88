"""Markdown to safe HTML: no raw HTML gets in, no tag outside a short list gets out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import markdown
import nh3
from markupsafe import Markup

TAGS = {"p", "ul", "ol", "li", "em", "strong", "code", "pre", "blockquote", "br"}
OUR_TAGS = TAGS | {"table", "thead", "tbody", "tr", "th", "td", "a"}
OUR_LINK = re.compile(r"(?:[a-z]+\.html)?(?:#[A-Za-z0-9-]+)?")
SECTION = re.compile(r"^## +(.+?) *$", re.MULTILINE)
HEADING = re.compile(r"^ {0,3}#{1,6} +(.*?)#* *$", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading of one of our own texts, its anchor, and what stands below it."""

    anchor: str
    title: str
    html: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One of our own texts: what stands before the first section, then the sections."""

    opening: Markup
    sections: tuple[Section, ...]


def prose_html(text: str) -> Markup:
    """Prose that a person wrote, as paragraphs, lists and stress; never a heading or a link."""
    return _clean(_converted(HEADING.sub(r"**\1**", text)), TAGS)


def text_of(source: str) -> Text:
    """One of our own texts, split at its second-level headings.

    The anchor of a section is its rule number where it begins with one, else its words.
    """
    opening, *rest = SECTION.split(source)
    sections = [
        Section(anchor=anchor_of(title), title=title, html=our_html(body))
        for title, body in zip(rest[::2], rest[1::2], strict=True)
    ]
    return Text(
        opening=our_html(re.sub(r"^# .*$", "", opening, flags=re.MULTILINE)),
        sections=tuple(sections),
    )


def our_html(text: str) -> Markup:
    """A text of our own: tables and links within the site as well."""
    return _clean(_converted(text), OUR_TAGS)


def anchor_of(title: str) -> str:
    """R5 for `R5 Tools`; every-other-title for the rest."""
    rule = re.match(r"R\d+\b", title)
    if rule:
        return rule[0]
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")


@cache
def _converter() -> markdown.Markdown:
    """Without the steps that let raw HTML through."""
    converter = markdown.Markdown(extensions=["tables"], output_format="html")
    converter.preprocessors.deregister("html_block")
    converter.inlinePatterns.deregister("html")
    return converter


def _converted(text: str) -> str:
    html: str = _converter().reset().convert(text)
    return html


def _clean(html: str, tags: set[str]) -> Markup:
    attributes = {"a": {"href"}} if "a" in tags else {}
    cleaned = nh3.clean(
        html,
        tags=tags,
        attributes=attributes,
        attribute_filter=_only_our_links,
        link_rel=None,
        url_schemes=set(),
    )
    return Markup(cleaned)  # noqa: S704  # it has just been cleaned


def _only_our_links(_tag: str, _attribute: str, value: str) -> str | None:
    return value if OUR_LINK.fullmatch(value) else None
