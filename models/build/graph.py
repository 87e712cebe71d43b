"""The shipped model's graph anew from grammars/: ``python -m models.build graph FOLDER``. Seconds, no training."""

from models.build.export import rebuild


def main(folder: str) -> None:
    rebuild(folder)
