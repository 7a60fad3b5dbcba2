"""Turn taking: filling slots, context, asking back, and writing what was told. The only writer of the record."""

from assistant.dialogue.session import Session, turn

__all__ = ["Session", "turn"]
