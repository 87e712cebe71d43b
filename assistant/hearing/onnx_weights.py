"""The weights in an ONNX file, read without the package onnx: as much of protobuf as such a file needs.

A message is a row of fields, each with its number, a sign of how it is written, and its value: a number, or bytes that
may be a message in turn. The numbers are those of onnx.proto.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np

__all__ = ["weights"]

GRAPH = 7
NODE, TABLE = 1, 5
"""In the graph. It gives some tables names of their own, and leaves others to nodes that make nothing but a table."""
INPUT, OUTPUT, KIND, ATTRIBUTE = 1, 2, 4, 5
VALUE = 5
"""Of an attribute that is a table."""
SIZES, TYPE, NAME, RAW = 1, 2, 8, 9
FLOATS = [1]
"""The type of a table of 32-bit floats."""

NUMBER, BYTES = 0, 2
"""Ways to write a field."""
FIXED = {1: 8, 5: 4}
"""And how long it is in the others."""


def weights(file: bytes) -> list[tuple[str, list[np.ndarray]]]:
    """Of each node that is given any, in the order of the file: its kind, and its tables in the order it takes them."""
    (graph,) = _Message(memoryview(file)).parts[GRAPH]
    parts = _Message(graph).parts
    nodes = [_Message(part) for part in parts[NODE]]
    named = {table.text(NAME): table for table in map(_Message, parts[TABLE])}
    for node in nodes:
        if node.text(KIND) == "Constant":
            (attribute,) = node.parts[ATTRIBUTE]
            (table,) = _Message(attribute).parts[VALUE]
            named[node.text(OUTPUT)] = _Message(table)
    found = []
    for node in nodes:
        given = [named[name] for name in (str(part, "utf-8") for part in node.parts[INPUT]) if name in named]
        tables = [table.array() for table in given if table.numbers[TYPE] == FLOATS]
        if tables:
            found.append((node.text(KIND), tables))
    return found


class _Message:
    """What is in each of its fields, in order: a field may be there any number of times."""

    def __init__(self, data: memoryview) -> None:
        self.numbers: defaultdict[int, list[int]] = defaultdict(list)
        self.parts: defaultdict[int, list[memoryview]] = defaultdict(list)
        at = 0
        while at < len(data):
            key, at = _number(data, at)
            field, written = key >> 3, key & 7
            if written == NUMBER:
                number, at = _number(data, at)
                self.numbers[field].append(number)
                continue
            size, at = _number(data, at) if written == BYTES else (FIXED[written], at)
            self.parts[field].append(data[at : at + size])
            at += size

    def text(self, field: int) -> str:
        """Its first value there."""
        return str(self.parts[field][0], "utf-8")

    def array(self) -> np.ndarray:
        """Where it is a table."""
        (raw,) = self.parts[RAW]
        kept: np.ndarray = np.frombuffer(raw, "<f4").reshape(self.numbers[SIZES]).copy()  # not the whole file with it
        return kept


def _number(data: memoryview, at: int) -> tuple[int, int]:
    """Seven bits a byte, the lowest first, and where it ends."""
    number = shift = 0
    while True:
        byte = data[at]
        at += 1
        number |= (byte & 127) << shift
        if byte < 128:
            return number, at
        shift += 7
