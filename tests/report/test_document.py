"""The page to take home: one file that asks for nothing, and that shows whatever a person typed without running it."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from matplotlib.figure import Figure

from rangework.report.document import DARK, Document, Drawn, Grid, Part, as_source, html_of
from rangework.report.ranges_chart import Ranged, ranges_chart

HOSTILE = '<script>alert(1)</script> & "quoted" =cmd()'
TURNED = "abc\u202edef\u2066"


def chart() -> Figure:
    return ranges_chart([Ranged("putting", -0.4, -0.9, 0.1), Ranged("tee shots", 0.2, 0.1, 0.3, "told")])


def page(text: str) -> str:
    part = Part(
        text,
        text,
        [text],
        [Drawn("one", chart(), text, text)],
        [Grid([text, text], [[text, text]], text)],
        [text],
    )
    return html_of(Document(text, text, [(text, text)], [part], [text]))


class Tags(HTMLParser):
    """The tags of a page with their attributes, and those never closed or never opened."""

    VOID = frozenset({"meta", "img", "br", "hr", "link"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.feed(text)
        self.wrong += self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def test_what_was_typed_is_shown_and_never_run() -> None:
    tags = Tags(page(HOSTILE))
    assert not tags.wrong
    assert "script" not in {tag for tag, _ in tags.seen}
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page(HOSTILE)
    harmless = Tags(page("harmless"))
    assert [tag for tag, _ in tags.seen] == [tag for tag, _ in harmless.seen]


def test_marks_that_turn_writing_are_written_out() -> None:
    text = page(TURNED + "\u200f\u0000")
    assert not set("\u202e\u2066\u200f\u0000") & set(text)
    assert "abc&lt;U+202E&gt;def&lt;U+2066&gt;" in text
    assert "Zoë Ångström, 李" in page("Zoë Ångström, 李")


def test_nothing_is_asked_of_any_network() -> None:
    text = page("name")
    tags = Tags(text)
    sources = [attributes["src"] for _, attributes in tags.seen if attributes.get("src")]
    assert sources
    assert all(str(source).startswith("data:image/svg+xml;base64,") for source in sources)
    assert not [attributes for _, attributes in tags.seen if "href" in attributes or "onload" in attributes]
    assert not re.search(r"url\(\s*['\"]?(?!data:)", text)
    assert "default-src 'none'" in text


def test_every_picture_has_words() -> None:
    images = [attributes for tag, attributes in Tags(page("words")).seen if tag == "img"]
    assert images
    assert all(attributes["alt"] for attributes in images)


def test_ink_of_pictures_turns_light_on_a_dark_screen() -> None:
    import base64

    svg = base64.b64decode(as_source(Drawn("one", chart(), "alt")).partition(",")[2]).decode("utf-8")
    assert "prefers-color-scheme: dark" in svg
    used = {colour.upper() for colour in re.findall(r"(?:fill|stroke): (#[0-9a-f]{6})", svg)}
    assert used <= set(DARK), used - set(DARK)
