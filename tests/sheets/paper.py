"""A printed sheet taken apart with the standard library's parser, as a reader would find it."""

from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser

VOID = {"meta", "link", "br", "hr", "img", "input", "col"}


@dataclass(eq=False)
class Node:
    """One element, with what stands in it; what was found in it once is kept."""

    tag: str
    attributes: dict[str, str]
    within: list["Node | str"] = field(default_factory=list)
    _found: dict[tuple[str, str], list["Node"]] = field(default_factory=dict, repr=False)

    @cached_property
    def classes(self) -> set[str]:
        return set(self.attributes.get("class", "").split())

    @cached_property
    def text(self) -> str:
        """All the text in it, white space folded."""
        return " ".join(self.raw.split())

    @cached_property
    def raw(self) -> str:
        return "".join(part if isinstance(part, str) else part.raw for part in self.within)

    def all(self, tag: str = "", of: str = "") -> list["Node"]:
        """Return every element below this one with this tag and this class."""
        if (tag, of) not in self._found:
            found = self._found[tag, of] = []
            for part in self.within:
                if isinstance(part, Node):
                    if tag in ("", part.tag) and (not of or of in part.classes):
                        found.append(part)
                    found += part.all(tag, of)
        return list(self._found[tag, of])

    def one(self, tag: str = "", of: str = "") -> "Node":
        [found] = self.all(tag, of)
        return found


class _Reader(HTMLParser):
    """Builds the tree; an element that is not closed where it should be is a failure."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Node("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self.open[-1].within.append(node)
        if tag not in VOID:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].within.append(data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")


def read(html: str) -> Node:
    """Return the tree of a page, every element of which is closed in its place."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == [reader.root]
    return reader.root


def step(page: Node, number: int) -> Node:
    """Return the part of a page that is this step."""
    [found] = [each for each in page.all("article") if each.attributes["id"] == f"step-{number}"]
    return found


def gate(page: Node, name: str) -> Node:
    """Return the gate of this name where it stands in full."""
    begun = f"GATE {name} "
    found = [each for each in page.all("section", "gate") if each.text.startswith(begun)]
    return next(each for each in found if "Go on only when" in each.text)


def ticked(part: Node) -> list[str]:
    """Return the words of the boxes that are ticked, in order."""
    choices = [each for each in part.all("span", "choice") if is_ticked(each)]
    return [each.text.removeprefix("×").strip() for each in choices]


def is_ticked(part: Node) -> bool:
    return any(box.text == "×" for box in part.all("span", "box"))


def boxes(part: Node) -> list[str]:
    """Return the words of all boxes to choose from, in order, ticked or not."""
    choices = [each for each in part.all("span", "choice") if each.all("span", "box")]
    return [each.text.removeprefix("×").strip() for each in choices]


def written(part: Node) -> list[str]:
    """Return what stands on the lines to write on, in order; empty text for an empty one."""
    return [each.text for each in part.all("span", "blank")]
