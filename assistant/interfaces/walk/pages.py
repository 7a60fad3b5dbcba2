"""The pages of the walk by their names, in the order of the keys."""

from __future__ import annotations

from typing import Any

from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.form_page import FormPage
from assistant.interfaces.walk.lawns_page import LawnsPage
from assistant.interfaces.walk.record_page import RecordPage
from assistant.interfaces.walk.shelf_page import ShelfPage
from assistant.interfaces.walk.stage_page import StagePage


def pages_of(desk: Desk) -> dict[str, Any]:
    """One of each; they are not drawn before they are brought up."""
    return {
        "walk": StagePage(desk),
        "lawns": LawnsPage(desk),
        "shelf": ShelfPage(desk),
        "record": RecordPage(desk),
        "form": FormPage(desk),
    }
