"""The shipped knowledge: YAML that a turf person can read and mend, and the units of the trade."""

from pathlib import Path

FOLDER = Path(__file__).parent
