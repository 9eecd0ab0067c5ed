"""Shared by all tests: the small projects of demos.py can be imported from anywhere below."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
collect_ignore_glob = ["benchmarks/*"]  # run by hand
