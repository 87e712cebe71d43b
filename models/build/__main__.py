"""``python -m models.build STEP ...``: one step of the way from data to a model folder. README.md lists them."""

import importlib
import sys

if sys.argv[1] == "further":
    importlib.import_module("models.build.train").further(*sys.argv[2:])
else:
    importlib.import_module(f"models.build.{sys.argv[1]}").main(*sys.argv[2:])
