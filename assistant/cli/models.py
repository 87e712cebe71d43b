"""``tapehand model``: list, add, use."""

from __future__ import annotations

import argparse
import json
import sys

from assistant import models, settings
from assistant.cli.printed import EXIT_STATUS
from assistant.errors import ModelUnusable

__all__ = ["run"]


def run(options: argparse.Namespace) -> int:
    file = settings.settings_path(options.settings)
    match options.action:
        case "list":
            for model in models.models(file):
                _print(model, options.json)
        case "add":
            try:
                model = models.add(options.source, file)
            except ModelUnusable as error:
                return _refused(error)
            _print(model, options.json)
            if not options.json:
                print(f"{model.name} is used from the next start on. To go back, type: tapehand model use en")
        case "use":
            try:
                _print(models.use(options.name, file), options.json)
            except (models.NoSuchModel, ModelUnusable) as error:
                return _refused(error)
    return 0


def _refused(error: Exception) -> int:
    print(f"tapehand: {error} The model in use stays.", file=sys.stderr)
    return EXIT_STATUS["refused"]


def _print(model: models.Model, as_object: bool) -> None:
    if as_object:
        kept = {"name": model.name, "folder": str(model.folder), "ours": model.ours, "used": model.used}
        print(json.dumps({**kept, "found": model.found}))
        return
    print(f"{'*' if model.used else ' '} {model.name}, {'ours' if model.ours else 'added'}: {model.found}")
