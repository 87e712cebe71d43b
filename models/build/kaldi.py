"""Kaldi's binary files, as its own code writes them: transition model, nnet3 network, compressed matrices.

Layouts: hmm/transition-model.cc, hmm/hmm-topology.cc, nnet3/nnet-nnet.cc, nnet3/am-nnet-simple.cc,
matrix/compressed-matrix.h of the Kaldi project.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterable, Sequence

import numpy as np

from assistant.hearing.rejection import expanded


def token(text: str) -> bytes:
    return text.encode() + b" "


def integer(value: int) -> bytes:
    return b"\x04" + struct.pack("<i", value)


def single(value: float) -> bytes:
    return b"\x04" + struct.pack("<f", value)


def double(value: float) -> bytes:
    return b"\x08" + struct.pack("<d", value)


def integers(values: Sequence[int]) -> bytes:
    return integer(len(values)) + np.asarray(values, "<i4").tobytes()


def vector(values: Sequence[float] | np.ndarray) -> bytes:
    return b"FV " + integer(len(values)) + np.asarray(values, "<f4").tobytes()


def compressed(matrix: np.ndarray) -> bytes:
    """CM: a byte an element, on a scale of each column's own quartiles."""
    low, span, marks, levels = _scaled(matrix)
    rows, columns = levels.shape
    header = struct.pack("<ffii", low, span, rows, columns)
    return b"CM " + header + marks.T.astype("<u2").tobytes() + levels.T.astype(np.uint8).tobytes()


def rounded(matrix: np.ndarray) -> np.ndarray:
    """What is read back of ``compressed``."""
    low, span, marks, levels = _scaled(matrix)
    return expanded((low + marks * np.float32(span / 65535)).astype(np.float32), levels)


def _scaled(matrix: np.ndarray) -> tuple[float, float, np.ndarray, np.ndarray]:
    """Least, span, each column's least, quartiles and greatest (0 to 65535 of the span), and elements' levels."""
    matrix = np.asarray(matrix, np.float32)
    low = float(matrix.min())
    span = float(matrix.max()) - low or 1e-5
    ordered = np.sort(matrix, 0)
    last = len(ordered) - 1
    picked = ordered[[0, last // 4, 3 * last // 4, last]]
    marks = np.clip(np.round((picked - low) / span * 65535), 0, 65535)
    for k in range(1, 4):  # each scale needs some width
        marks[k] = np.maximum(marks[k], marks[k - 1] + 1)
    at = low + marks * (span / 65535)
    x = matrix
    levels = np.where(
        x < at[1],
        np.clip(np.round((x - at[0]) / (at[1] - at[0]) * 64), 0, 64),
        np.where(
            x < at[2],
            64 + np.clip(np.round((x - at[1]) / (at[2] - at[1]) * 128), 0, 128),
            192 + np.clip(np.round((x - at[2]) / (at[3] - at[2]) * 63), 0, 63),
        ),
    )
    return low, span, marks, levels


def transition_model(outputs: Sequence[int]) -> bytes:
    """One-state phones 1, 2, ...; ``outputs`` gives each phone's network output. Both transitions at one half."""
    phones = len(outputs)
    half = math.log(0.5)
    parts = [
        token("<TransitionModel>"),
        token("<Topology>"),
        integers(range(1, phones + 1)),
        integers([-1] + [0] * phones),
        integer(1),
        integer(2),
        integer(0),
        integer(2),
        integer(0),
        single(0.5),
        integer(1),
        single(0.5),
        integer(-1),
        integer(0),
        token("</Topology>"),
        token("<Triples>"),
        integer(phones),
    ]
    parts += [integer(phone) + integer(0) + integer(output) for phone, output in enumerate(outputs, 1)]
    parts += [
        token("</Triples>"),
        token("<LogProbs>"),
        vector([0.0] + [half] * (2 * phones)),
        token("</LogProbs>"),
        token("</TransitionModel>"),
    ]
    return b"".join(parts)


def full(matrix: np.ndarray) -> bytes:
    """FM: single precision."""
    matrix = np.ascontiguousarray(matrix, "<f4")
    return b"FM " + integer(matrix.shape[0]) + integer(matrix.shape[1]) + matrix.tobytes()


def affine(weights: np.ndarray, bias: np.ndarray, exact: bool = False) -> bytes:
    """``exact``: in single precision, for layers whose rounding would show in the scores."""
    kind = "FixedAffineComponent"
    matrix = full(weights) if exact else compressed(weights)
    return b"".join(
        [
            token(f"<{kind}>"),
            token("<LinearParams>"),
            matrix,
            token("<BiasParams>"),
            vector(bias),
            token(f"</{kind}>"),
        ]
    )


def nonlinear(kind: str, size: int) -> bytes:
    return b"".join(
        [
            token(f"<{kind}>"),
            token("<Dim>"),
            integer(size),
            token("<ValueAvg>"),
            vector([]),
            token("<DerivAvg>"),
            vector([]),
            token("<Count>"),
            double(0.0),
            token("<OderivRms>"),
            vector([]),
            token("<OderivCount>"),
            double(0.0),
            token("<NumDimsSelfRepaired>"),
            double(0.0),
            token("<NumDimsProcessed>"),
            double(0.0),
            token(f"</{kind}>"),
        ]
    )


def model(
    outputs: Sequence[int], nodes: Iterable[str], parts: Sequence[tuple[str, bytes]], context: int, prior: np.ndarray
) -> bytes:
    """final.mdl: phones' outputs, network description lines, named components, frames each side, priors."""
    lines = "".join(line + "\n" for line in nodes).encode()
    body = b"".join(token("<ComponentName>") + token(name) + part for name, part in parts)
    return b"".join(
        [
            b"\0B",
            transition_model(outputs),
            token("<Nnet3>"),
            b"\n",
            lines,
            b"\n",
            token("<NumComponents>"),
            integer(len(parts)),
            body,
            token("</Nnet3>"),
            token("<LeftContext>"),
            integer(context),
            token("<RightContext>"),
            integer(context),
            token("<Priors>"),
            vector(prior),
        ]
    )
