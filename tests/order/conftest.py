"""Let the tests of this folder import its helpers: importlib mode puts no folder on the path."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
