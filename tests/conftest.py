"""Options of the test run."""

import pytest


def pytest_addoption(parser):
    parser.addoption(
        "--update-transcripts",
        action="store_true",
        help="write what the conversations give now; read the diff before keeping it",
    )


@pytest.fixture
def update_transcripts(request):
    return request.config.getoption("--update-transcripts")
