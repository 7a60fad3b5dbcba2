"""What ligule knows: the shipped YAML, checked, compiled to an image, and read section by section.

The image is a cache and nothing more. It is keyed by the content of every file it was made from and carries a
checksum for each section; deleted, stale or damaged, it is made again and the answers are the same.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from assistant.knowledge_base.image import Image, Sections, keep, kept_or_made, made_of, opened
from assistant.knowledge_base.noted import files_in, known_key, note_key, settled, standing
from assistant.terms import Amount, Row
from knowledge import FOLDER

_SECTIONS = {"product": "products", "program": "programs", "state": "states"}  # kind of name -> section
_FORMAT = "ligule image 3"
_COMPILERS = (
    "checks.py",
    "compiling.py",
    "finding.py",
    "folded.py",
    "practices.py",
    "programs.py",
    "walks.py",
    "words.py",
)
_TEXTS = {"ordinary": "intents/ordinary_words.txt", "learned": "learned.txt"}  # section -> its file
_OVERLAID = ("sources.yaml", "glossary.yaml", "products.yaml", "ingredients.yaml", "species.yaml")
_SAYS_WHOSE = ("practices/", "glossary.yaml")  # a figure of the user's own says its source


class Knowledge:
    """The sections of the knowledge base, each decoded when first asked for."""

    def __init__(self, image: Image, again: Callable[[], Image], cache: Path | None = None) -> None:
        self.key: str = image.header["key"]
        self.left_out: tuple[str, ...] = tuple(image.header["left_out"])  # faults of the user's own files, in words
        self._sections = Sections(image, again)
        self._cache = cache
        self._derived: dict[str, Sections] = {}
        self._rows: dict[str, list[Row]] = {}  # those that were asked for, by their path

    def section(self, name: str) -> Any:
        """One section: `species`, `thresholds`, `language` ... An unknown name gives an empty one."""
        return self._sections.section(name)

    def derived(self, name: str, code: bytes, made: Callable[[], dict[str, Any]]) -> Sections:
        """Sections that another room works out of this image, kept beside it; `code`, a digest, tells what makes them."""
        if name not in self._derived:
            self._derived[name] = kept_or_made(self._cache, name, self.key, code, made)
        return self._derived[name]

    def sections(self) -> tuple[str, ...]:
        """The names of all sections."""
        return tuple(self._sections.header["sections"])

    def entry(self, path: str) -> Any:
        """What stands at `section.key.field`; None where nothing does."""
        section, *rest = path.split(".")
        data = self.section(section)
        for part in rest:
            data = data.get(part) if isinstance(data, dict) else None
        return data

    def rows(self, path: str) -> list[Row]:
        """The figures at a path, in the order of the file: the first is the one taken by default."""
        if path not in self._rows:
            data = self.entry(path)
            self._rows[path] = [row_of(row) for row in ([data] if isinstance(data, dict) else data or [])]
        return list(self._rows[path])

    def source(self, key: str) -> dict[str, Any] | None:
        """A published source by its key; None for `common practice` and its like."""
        return self.section("sources").get(key)

    def either(self, product: str) -> list[str]:
        """The products that a name may mean: `product.starter` is liquid or granular; any other name means itself."""
        kind, _, key = product.partition(".")
        both = self.entry(f"products.{key}.either") if kind == "product" else None
        return [f"product.{one}" for one in both] if both else [product]

    def name(self, identifier: str) -> str:
        """The name to print of `species.tall_fescue` and its like."""
        kind, _, key = identifier.partition(".")
        if kind == "program":  # a kind of work; its rules are kept by the way of feeding
            rules = (one for one in self.section("programs").values() if one["plan"] == key)
            return str(next(rules, {"name": key})["name"]).partition(" with ")[0]
        section = _SECTIONS.get(kind, kind)
        entry = self.entry(f"{section}.{key}") or self.entry(f"names.{identifier}") or {}
        return str(entry.get("name", key.replace("_", " ")))


def row_of(data: dict[str, Any]) -> Row:
    """A figure of the YAML as an amount with its source."""
    unit = data.get("unit", "")
    amount = Amount(
        kind_of(unit, data.get("per", "")),
        float(data["low"]),
        float(data["high"]),
        (unit,) if unit else (),
        per=data.get("per", ""),
        of=data.get("of", ""),
    )
    return Row(amount, data["source"], data.get("where", ""), data.get("note", ""))


def kind_of(unit: str, per: str) -> str:
    """The kind of a figure by its unit, as far as the knowledge base needs it."""
    if per:
        return "rate" if per.split(" ")[-1] in ("sq_ft", "acre", "ha", "m**2") else "mix"
    return {
        "degF": "temperature",
        "degC": "temperature",
        "mph": "speed",
        "inch / hour": "speed",
        "percent": "percent",
        "inch": "length",
        "day": "duration",
        "week": "duration",
    }.get(unit, "number")


def load(cache: Path | None = None, folder: Path = FOLDER, own: Path | None = None) -> Knowledge:
    """The knowledge base of a folder, from its image in `cache` where that is whole and of the same content.

    `own` is the user's folder: sound files in it are taken in, entry by entry; broken ones are left out and named in
    `left_out`.
    Raises BrokenKnowledge with every fault, by file and line, where a file of the shipped ones cannot be used.
    """
    if cache is None:
        return Knowledge(_made(_contents(folder, own), own), lambda: _made(_contents(folder, own), own))
    now = standing(folder, Path(__file__).parent, *([own] if own else []))
    key = known_key(cache, now)
    image = opened(cache, key) if key else None
    if image is None:
        stay = settled(now)
        contents = _contents(folder, own)
        image = opened(cache, contents.key) or _made(contents, own, cache)
        if stay:  # else they are read again next time
            note_key(cache, now, contents.key)
    return Knowledge(image, lambda: _made(_contents(folder, own), own, cache), cache)


class _Contents(NamedTuple):
    """The text of every file, shipped and the user's own, and the key of all of it."""

    key: str
    texts: dict[str, bytes]
    mine: dict[str, bytes]


def _contents(folder: Path, own: Path | None) -> _Contents:
    texts = _texts(folder)
    mine = {name: text for name, text in _texts(own).items() if is_own(name)} if own else {}
    return _Contents(_key({**texts, **{f"own/{name}": text for name, text in mine.items()}}), texts, mine)


def _texts(folder: Path) -> dict[str, bytes]:
    """The files of a folder by their names in it: its own first, then those of each folder in it."""
    found = {os.path.relpath(one.path, folder).replace(os.sep, "/"): one.path for one in files_in(folder)}
    return {
        name: Path(found[name]).read_bytes()
        for name in sorted(found, key=lambda name: name.rpartition("/")[::2])
        if name.endswith((".yaml", ".txt"))
    }


def _key(texts: dict[str, bytes]) -> str:
    """The content of every file, and of the code that compiles it."""
    from hashlib import blake2b

    digest = blake2b(_FORMAT.encode(), digest_size=16)
    for name in sorted(texts):
        digest.update(name.encode() + b"\0" + texts[name] + b"\0")
    for name in _COMPILERS:
        with open(os.path.join(os.path.dirname(__file__), name), "rb") as stream:
            digest.update(stream.read())
    return digest.hexdigest()


def _made(contents: _Contents, own: Path | None, cache: Path | None = None) -> Image:
    """The image of these contents, compiled now, and kept where there is a cache."""
    left_out, sections = _compiled(contents, own)
    image = made_of(contents.key, sections, left_out)
    if cache:
        keep(cache, image)
    return image


def _compiled(contents: _Contents, own: Path | None) -> tuple[list[str], dict[str, Any]]:
    """The faults of the user's own files, and all sections."""
    from assistant.knowledge_base.checks import faults_of
    from assistant.knowledge_base.compiling import sections_of
    from assistant.knowledge_base.files import BrokenKnowledge, Document, Fault, read

    texts = contents.texts
    names = [name for name in texts if name.endswith(".yaml")]
    read_ones = [read(name, texts[name].decode("utf-8", "replace")) for name in names]
    faults = [one for one in read_ones if isinstance(one, Fault)]
    documents = {one.name: one for one in read_ones if isinstance(one, Document)}
    faults = faults or faults_of(documents)
    if faults:
        raise BrokenKnowledge(faults, len(names))
    left_out = _take_in(documents, contents.mine, own) if own else []
    return left_out, sections_of(documents, {name: texts.get(file, b"").decode() for name, file in _TEXTS.items()})


def is_own(name: str) -> bool:
    """True for a file that a user's folder may hold: programs, entries of the practice, words, products, grasses, sources."""
    return name.startswith(("programs/", "practices/")) or name in _OVERLAID


def _take_in(documents: dict[str, Any], mine: dict[str, bytes], own: Path) -> list[str]:
    """Lays the user's sound files over the documents; gives the faults of the others, by file and line."""
    from assistant.knowledge_base.checks import faults_of
    from assistant.knowledge_base.files import Document, Fault, read

    left_out = []
    for name in sorted(mine, key=lambda one: (one != "sources.yaml", one)):  # what others name comes first
        found = read(name, mine[name].decode("utf-8", "replace"))
        faults = [found] if isinstance(found, Fault) else []
        if name in documents and name.startswith("programs/"):
            faults = [Fault(name, 1, "has the name of a program that ligule brings. Choose another file name.")]
        if isinstance(found, Document) and not faults:
            laid = _laid_over(documents, found)
            faults = faults_of(laid)  # without this file there are none
            if not faults:
                documents.clear()
                documents.update(laid)
                for entry in found.data.values() if name.startswith(_SAYS_WHOSE) else ():
                    entry["own"] = True
        left_out += [f"{own / name}:{fault.line}  {fault.words}" for fault in faults]
    return left_out


def _laid_over(documents: dict[str, Any], found: Any) -> dict[str, Any]:
    """The documents with a file of the user's: its entries stand in place of those of the same name."""
    from assistant.knowledge_base.files import Document

    if found.name.startswith("programs/") or not isinstance(found.data, dict):
        return {**documents, found.name: found}
    if found.name.startswith("practices/"):  # an entry of the practice may stand in any file
        laid = {
            name: Document(
                name, {key: one for key, one in document.data.items() if key not in found.data}, document.lines
            )
            if name.startswith("practices/")
            else document
            for name, document in documents.items()
        }
        return {**laid, f"practices/own/{found.name}": found}
    held = documents.get(found.name)
    under = (held.data, held.lines) if held else ({}, {})
    return {**documents, found.name: Document(found.name, {**under[0], **found.data}, {**under[1], **found.lines})}
