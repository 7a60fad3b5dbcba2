"""Images in the cache folder: sections with a checksum each, read when they are asked for."""

from __future__ import annotations

import contextlib
import json
import os
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from assistant.knowledge_base.folded import packed, unpacked

_IMAGES = 4  # homes with files of their own have images of their own


class Damaged(Exception):
    """A section of an image is not what was written."""


class Image:
    """The sections of one image, in memory or in its file."""

    def __init__(self, header: dict[str, Any], body: bytes = b"", path: Path | None = None, start: int = 0) -> None:
        self.header = header
        self._body, self._path, self._start = body, path, start

    def section(self, name: str) -> bytes:
        """One section as it was packed, empty where there is none of that name. Raises Damaged where it is not whole any more."""
        place = self.header["sections"].get(name)
        if place is None:
            return b"{}"
        offset, length, check = place
        if self._path is None:
            return self._body[offset : offset + length]
        try:
            with open(self._path, "rb") as stream:
                stream.seek(self._start + offset)
                found = stream.read(length)
        except OSError as problem:
            raise Damaged(name) from problem
        if zlib.crc32(found) != check:
            raise Damaged(name)
        return found


def made_of(key: str, sections: dict[str, Any], left_out: list[str]) -> Image:
    """An image of compiled sections, in memory."""
    body = bytearray()
    places = {}
    for name, data in sections.items():
        text = packed(data)
        places[name] = [len(body), len(text), zlib.crc32(text)]
        body += text
    return Image({"key": key, "sections": places, "left_out": left_out}, bytes(body))


def opened(cache: Path, key: str, name: str = "knowledge") -> Image | None:
    """The image of a content, where the cache holds it and it is of its full length."""
    path = _path(cache, name, key)
    try:
        with open(path, "rb") as stream:
            line = stream.readline()
            header = json.loads(line)
            ends = [offset + length for offset, length, _ in header["sections"].values()]
            whole = header["key"] == key and os.fstat(stream.fileno()).st_size == len(line) + max(ends)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None
    return Image(header, path=path, start=len(line)) if whole else None


def keep(cache: Path, image: Image, name: str = "knowledge") -> None:
    """Writes the image beside its place and moves it there; a folder that cannot be written costs only time."""
    with contextlib.suppress(OSError):
        put(_path(cache, name, image.header["key"]), json.dumps(image.header).encode() + b"\n" + image._body)
        for pattern in (f"{name}-*.image", "files-*.json"):
            kept = sorted(cache.glob(pattern), key=lambda one: one.stat().st_mtime, reverse=True)
            for old in kept[_IMAGES:]:
                old.unlink(missing_ok=True)


class Sections:
    """The sections of an image, each decoded when first asked for; the image is made again where it turns out damaged."""

    def __init__(self, image: Image, again: Callable[[], Image]) -> None:
        self._image, self._again = image, again
        self.held: dict[str, Any] = {}

    @property
    def header(self) -> dict[str, Any]:
        return self._image.header

    def section(self, name: str) -> Any:
        """One section, held from then on; an unknown name gives an empty one."""
        if name not in self.held:
            self.held[name] = self.read(name)
        return self.held[name]

    def read(self, name: str) -> Any:
        """One section, for somebody who holds it himself."""
        try:
            return unpacked(self._image.section(name))
        except Damaged:
            self._image = self._again()
            return unpacked(self._image.section(name))


def kept_or_made(cache: Path | None, name: str, of: str, code: bytes, made: Callable[[], dict[str, Any]]) -> Sections:
    """What is worked out of the image with the key `of` by code with the digest `code`: kept as an image of its own, else
    made now, as sections by their names."""
    key = f"{of}-{code.hex()}"

    def again() -> Image:
        image = made_of(key, made(), [])
        if cache:
            keep(cache, image, name)
        return image

    return Sections((opened(cache, key, name) if cache else None) or again(), again)


def _path(cache: Path, name: str, key: str) -> Path:
    return cache / f"{name}-{key}.image"


def put(path: Path, content: bytes) -> None:
    """A whole file or none: written beside its place and moved there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    made = path.with_name(f"{path.name}.{os.getpid()}")
    made.write_bytes(content)
    made.replace(path)
