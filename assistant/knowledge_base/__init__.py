"""What ligule knows: the shipped YAML, checked, compiled to an image, and read section by section.

The image is a cache and nothing more. It is keyed by the content of every file it was made from and carries a
checksum for each section; deleted, stale or damaged, it is made again and the answers are the same.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Callable
from hashlib import blake2b
from pathlib import Path
from typing import Any

from assistant.knowledge_base.folded import FOLDED, Unfolding
from assistant.terms import Amount, Row
from knowledge import FOLDER

_SECTIONS = {"product": "products", "program": "programs", "state": "states"}  # kind of name -> section
_IMAGES = 4  # homes with programs of their own have images of their own
_FORMAT = "ligule image 1"
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
_OVERLAID = ("sources.yaml", "glossary.yaml", "products.yaml", "ingredients.yaml", "species.yaml")
_SAYS_WHOSE = ("practices/", "glossary.yaml")  # a figure of the user's own says its source


class Knowledge:
    """The sections of the knowledge base, each decoded when first asked for."""

    def __init__(self, header: dict[str, Any], body: bytes, cache: Path | None = None) -> None:
        self.key: str = header["key"]
        self._cache = cache
        self.left_out: tuple[str, ...] = tuple(header.get("left_out", ()))  # faults of the user's own files, in words
        self._places = header["sections"]
        self._body = body
        self._loaded: dict[str, Any] = {}

    def section(self, name: str) -> Any:
        """One section: `species`, `thresholds`, `language` ... An unknown name gives an empty one."""
        if name not in self._loaded:
            place = self._places.get(name)
            held = json.loads(self._body[place[0] : place[0] + place[1]]) if place else {}
            self._loaded[name] = Unfolding(held) if isinstance(held, dict) and FOLDED in held else held
        return self._loaded[name]

    def derived(self, name: str, code: bytes, made: Callable[[], Any]) -> Any:
        """A section that another room works out of this image, kept beside it; `code` is what makes it, and part of its key."""
        if name not in self._loaded:
            key = blake2b(self.key.encode() + code, digest_size=16).hexdigest()
            path = self._cache / f"{name}-{key}.image" if self._cache else None
            found = _open(path, key) if path else None
            if found:
                self._loaded[name] = found.section(name)
            else:
                self._loaded[name] = made()
                if path:
                    _keep(path, *_packed(key, {name: self._loaded[name]}))
        return self._loaded[name]

    def entry(self, path: str) -> Any:
        """What stands at `section.key.field`; None where nothing does."""
        section, *rest = path.split(".")
        data = self.section(section)
        for part in rest:
            data = data.get(part) if isinstance(data, dict) else None
        return data

    def rows(self, path: str) -> list[Row]:
        """The figures at a path, in the order of the file: the first is the one taken by default."""
        data = self.entry(path)
        return [row_of(row) for row in ([data] if isinstance(data, dict) else data or [])]

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
    texts = _texts(folder)
    mine = {name: text for name, text in _texts(own).items() if is_own(name)} if own and own.is_dir() else {}
    key = _key({**texts, **{f"own/{name}": text for name, text in mine.items()}})
    path = cache / f"knowledge-{key}.image" if cache else None
    if path:
        found = _open(path, key)
        if found:
            return found
    header, body = _compile(texts, key, mine, own)
    if path:
        _keep(path, header, body)
    return Knowledge(header, body, cache)


def _texts(folder: Path) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    for where, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith(("_", ".")))
        for file in sorted(files):
            if file.endswith((".yaml", ".txt")):
                path = os.path.join(where, file)
                with open(path, "rb") as stream:
                    found[os.path.relpath(path, folder).replace(os.sep, "/")] = stream.read()
    return found


def _key(texts: dict[str, bytes]) -> str:
    """The content of every file, and of the code that compiles it."""
    digest = blake2b(_FORMAT.encode(), digest_size=16)
    for name in sorted(texts):
        digest.update(name.encode() + b"\0" + texts[name] + b"\0")
    for name in _COMPILERS:
        with open(os.path.join(os.path.dirname(__file__), name), "rb") as stream:
            digest.update(stream.read())
    return digest.hexdigest()


def _open(path: Path, key: str) -> Knowledge | None:
    try:
        content = path.read_bytes()
        line, _, body = content.partition(b"\n")
        header = json.loads(line)
        whole = header["key"] == key and zlib.crc32(body) == header["check"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return Knowledge(header, body, path.parent) if whole else None


def _compile(
    texts: dict[str, bytes], key: str, mine: dict[str, bytes], own: Path | None
) -> tuple[dict[str, Any], bytes]:
    from assistant.knowledge_base.checks import faults_of
    from assistant.knowledge_base.compiling import sections_of
    from assistant.knowledge_base.files import BrokenKnowledge, Document, Fault, read

    names = [name for name in texts if name.endswith(".yaml")]
    read_ones = [read(name, texts[name].decode("utf-8", "replace")) for name in names]
    faults = [one for one in read_ones if isinstance(one, Fault)]
    documents = {one.name: one for one in read_ones if isinstance(one, Document)}
    faults = faults or faults_of(documents)
    if faults:
        raise BrokenKnowledge(faults, len(names))
    left_out = _take_in(documents, mine, own) if own else []
    ordinary = texts.get("intents/ordinary_words.txt", b"").decode()
    header, packed = _packed(key, sections_of(documents, ordinary))
    return {**header, "left_out": left_out}, packed


def _packed(key: str, sections: dict[str, Any]) -> tuple[dict[str, Any], bytes]:
    """An image: its header, which says where each section stands, and the sections one behind another."""
    body = bytearray()
    places = {}
    for name, data in sections.items():
        packed = json.dumps(data, separators=(",", ":"), ensure_ascii=False).encode()
        places[name] = [len(body), len(packed)]
        body += packed
    return {"key": key, "sections": places, "check": zlib.crc32(body)}, bytes(body)


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


def _keep(path: Path, header: dict[str, Any], body: bytes) -> None:
    """Writes the image beside its place and moves it there; a folder that cannot be written costs only time."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_name(f"{path.name}.{os.getpid()}")
        made.write_bytes(json.dumps(header).encode() + b"\n" + body)
        made.replace(path)
        kind = path.name.partition("-")[0]
        kept = sorted(path.parent.glob(f"{kind}-*.image"), key=lambda one: one.stat().st_mtime, reverse=True)
        for old in kept[_IMAGES:]:
            old.unlink(missing_ok=True)
    except OSError:
        return
