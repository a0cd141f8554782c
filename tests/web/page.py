"""A page taken apart, so that tests can ask for what a person would see."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "img", "input", "br", "source", "hr"}


@dataclass
class Element:
    """A tag, its attributes and the text inside it."""

    tag: str
    attributes: dict[str, str]
    text: str = ""
    inside: tuple[str, ...] = ()


@dataclass
class Page(HTMLParser):
    """All elements of a page in order; complains of tags that do not close."""

    source: str
    elements: list[Element] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()
        self.open: list[Element] = []
        self.feed(self.source)
        assert [each.tag for each in self.open] == [], "tags left open"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        inside = tuple(each.tag for each in self.open)
        element = Element(tag, {name: value or "" for name, value in attrs}, inside=inside)
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1].tag == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.text += data

    def all(self, tag: str, **wanted: str) -> list[Element]:
        """Elements of a tag with given attributes."""
        return [
            each
            for each in self.elements
            if each.tag == tag and all(each.attributes.get(name) == value for name, value in wanted.items())
        ]

    def one(self, tag: str, **wanted: str) -> Element:
        """The only such element."""
        (found,) = self.all(tag, **wanted)
        return found
