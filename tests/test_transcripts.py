"""The demo conversations, replayed and compared line for line."""

from difflib import unified_diff
from pathlib import Path

import pytest

from tests.transcripts import replay

FILES = sorted((Path(__file__).parent.parent / "transcripts_demo").glob("*.txt"))


def test_there_are_conversations():
    assert len(FILES) >= 3


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_conversation(path, tmp_path, update_transcripts):
    kept = path.read_text(encoding="utf-8")
    now = replay(kept, tmp_path / "home", tmp_path / "cache")
    if update_transcripts:
        path.write_text(now, encoding="utf-8")
        return
    changes = "\n".join(unified_diff(kept.splitlines(), now.splitlines(), "kept", "now", lineterm=""))
    assert not changes, changes
