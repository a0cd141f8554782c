"""The simulator is a program beside the product, so its folder's parent goes on the path here."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
