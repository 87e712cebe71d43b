"""The network of DeepFilterNet 3 in numpy, a chunk of frames at a time: its layers, and what they remember.

By H. Schröter and others (github.com/Rikorose/DeepFilterNet, MIT or Apache-2.0). A call of numpy costs as much as some
layers' work on a frame, so a layer takes all frames of a chunk at once; only the recurrent ones go frame by frame.

Arrays are [T, F, C] where nothing else is said: frames, places along the frequencies, channels.
"""

from __future__ import annotations

import tarfile

import numpy as np

from assistant.hearing.onnx_weights import weights

__all__ = ["AHEAD", "BANDS", "GAINED", "LOW", "TAPS", "Network"]

BANDS = 32
LOW = 96
"""Bins that are filtered."""
TAPS, AHEAD = 5, 2
"""Frames that the filter sees, and how many of them are still to come."""
GAINED = slice(21, 25)
"""The bands whose gains are asked for: those of the bins between the filtered ones and 8 kHz."""
CHANNELS = 64


class Network:
    """Each chunk goes on from the last."""

    def __init__(self, path: str) -> None:
        """``path``: of the archive that its weights are in."""
        with tarfile.open(path) as archive:  # from first to last: to look for a name would unpack all of it twice
            parts = {
                member.name.rsplit("/")[-1]: Part(file.read())
                for member in archive
                if member.name.endswith(".onnx") and (file := archive.extractfile(member))
            }
        encoder = parts["enc.onnx"]
        band, band_bias, *halving, fine, fine_mix, fine_bias, taps, mix, bias = encoder.convolutions
        self._band, self._fine = First(band, band_bias), First(mixed(fine, fine_mix), fine_bias)
        self._half, self._quarter, self._last = (Convolution(*halving[at : at + 3]) for at in (0, 3, 6))
        self._coarse = Convolution(taps, mix, bias)
        self._joining, self._into, self._out = encoder.maps
        (self._layer,) = encoder.layers
        self._gains, self._taps = GainDecoder(parts["erb_dec.onnx"]), TapDecoder(parts["df_dec.onnx"])

    def __call__(self, bands: np.ndarray, low: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Features of the bands [1, T, BANDS] and of the low bins [2, T, LOW] to gains [T, GAINED] and taps.

        Features are of a frame now, gains and taps of that AHEAD frames before. Taps are complex, [TAPS, T, LOW].
        """
        whole = self._band(bands)
        half = self._half.halved(whole)
        quarter = self._quarter.halved(half)
        last = self._last.within(padded(quarter, 1, 1))
        fine = self._fine(low)
        together = rows(last) + rectified(self._joining(rows(self._coarse.halved(fine))))
        state = rectified(self._out(self._layer(rectified(self._into(together)))))
        return self._gains(state, [last, quarter, half, whole]), self._taps(state, fine)


class GainDecoder:
    """Up in frequency again as the encoder went down, with what that had at each scale; as much as GAINED takes."""

    USED = slice(4, 8), slice(5, 8), slice(10, 14), slice(20, 26)
    """Of the encoder's places: each scale sees one more on either side than the next, which has twice as many."""

    def __init__(self, part: Part) -> None:
        self._into, self._out = part.maps
        self._first, self._second = part.layers
        tables = part.convolutions
        self._skips = [(tables[at].ravel(), tables[at + 1]) for at in (0, 5, 10, 15)]
        self._alike, self._quarter, self._half = (Convolution(*tables[at : at + 3]) for at in (2, 7, 12))
        self._last, self._bias = tables[17][0, :, 0], tables[18]

    def __call__(self, state: np.ndarray, scales: list[np.ndarray]) -> np.ndarray:
        deep = rectified(self._out(self._second(self._first(rectified(self._into(state))))))
        last, quarter, half, whole = (
            rectified(scale[:, used] * weight + bias)
            for scale, used, (weight, bias) in zip(scales, self.USED, self._skips, strict=True)
        )
        last += deep.reshape(len(deep), -1, CHANNELS)[:, self.USED[0]]
        quarter += self._alike.within(padded(last, 0, 1))
        half += self._quarter.doubled(quarter)
        whole += self._half.doubled(half)
        parts = whole @ self._last
        return sigmoid(parts[:, :-2, 0] + parts[:, 1:-1, 1] + parts[:, 2:, 2] + self._bias)


class TapDecoder:
    """From the state, and from the low bins over TAPS frames."""

    def __init__(self, part: Part) -> None:
        self._into, self._around, self._out = part.maps
        self._first, self._second = part.layers
        near, mix, self._bias = part.convolutions
        self._near = np.ascontiguousarray(mixed(near, mix)[..., 0].transpose(2, 0, 1)).reshape(-1, CHANNELS)
        self._later = np.zeros((2 * TAPS, TAPS - 1, LOW), np.float32)
        """What the frames so far give to those that come."""

    def __call__(self, state: np.ndarray, fine: np.ndarray) -> np.ndarray:
        deep = self._second(self._first(rectified(self._into(state)))) + self._around(state)
        far = np.tanh(self._out(deep)).reshape(len(state), LOW, TAPS, 2)
        whole = self._nearby(fine).reshape(TAPS, 2, len(state), LOW)
        whole += far.transpose(2, 3, 0, 1)
        taps = np.empty((TAPS, len(state), LOW), np.complex64)
        taps.real, taps.imag = whole[:, 0], whole[:, 1]
        return taps

    def _nearby(self, fine: np.ndarray) -> np.ndarray:
        """[2 * TAPS, T, LOW]."""
        frames = len(fine)
        parts = (self._near @ fine.reshape(-1, CHANNELS).T).reshape(TAPS, 2 * TAPS, frames, LOW)
        made = np.zeros((2 * TAPS, TAPS - 1 + frames, LOW), np.float32)
        made[:, : TAPS - 1] = self._later
        for late, part in enumerate(parts[::-1]):
            made[:, late : late + frames] += part
        self._later = made[:, frames:].copy()
        return rectified(made[:, :frames] + self._bias[:, None, None])


class First:
    """Three frames and three places of each plane of features, [C, T, F], to [T, F, C]; rectified."""

    def __init__(self, weight: np.ndarray, bias: np.ndarray) -> None:
        """``weight``: to, from, frames, places."""
        _, planes, self._frames, self._places = weight.shape
        self._table = np.concatenate([weight.reshape(CHANNELS, -1).T, bias[None]])
        self._before = np.zeros((planes, self._frames - 1, 1), np.float32)

    def __call__(self, x: np.ndarray) -> np.ndarray:
        planes, frames, places = x.shape
        seen = np.zeros((planes, frames + self._frames - 1, places + self._places - 1), np.float32)
        seen[:, : self._frames - 1] = self._before
        seen[:, self._frames - 1 :, 1:-1] = x
        self._before = seen[:, frames:]
        columns = np.ones((len(self._table), frames, places), np.float32)  # the last of them for the bias
        shifted = columns[:-1].reshape(planes, self._frames, self._places, frames, places)
        for late in range(self._frames):
            for high in range(self._places):
                shifted[:, late, high] = seen[:, late : late + frames, high : high + places]
        made = columns.reshape(len(columns), -1).T @ self._table
        return rectified(made.reshape(frames, places, CHANNELS))


class Convolution:
    """Three places of each channel, then a mix of the channels; rectified."""

    def __init__(self, taps: np.ndarray, mix: np.ndarray, bias: np.ndarray) -> None:
        self._taps, self._mix = (np.ascontiguousarray(table.squeeze().T) for table in (taps, mix))
        self._bias = bias

    def within(self, x: np.ndarray) -> np.ndarray:
        """At each place that has one on either side."""
        made = x[:, :-2] * self._taps[0]
        made += x[:, 1:-1] * self._taps[1]
        made += x[:, 2:] * self._taps[2]
        return self._mixed(made)

    def halved(self, x: np.ndarray) -> np.ndarray:
        """At each second place, from the first on."""
        pairs = x.reshape(len(x), -1, 2, CHANNELS)
        made = np.einsum("tfpc,pc->tfc", pairs, self._taps[1:])
        made[:, 1:] += pairs[:, :-1, 1] * self._taps[0]
        return self._mixed(made)

    def doubled(self, x: np.ndarray) -> np.ndarray:
        """The other way round: each place but the last becomes two."""
        pairs = x[:, :-1, None] * self._taps[1:]
        pairs[:, :, 1] += x[:, 1:] * self._taps[0]
        return self._mixed(pairs.reshape(len(x), -1, CHANNELS))

    def _mixed(self, x: np.ndarray) -> np.ndarray:
        made = x.reshape(-1, CHANNELS) @ self._mix
        made += self._bias
        return rectified(made.reshape(x.shape))


class Recurrent:
    """A layer of gated recurrent units, [T, F] to as many."""

    def __init__(self, inner: np.ndarray, around: np.ndarray, biases: np.ndarray) -> None:
        """Weights of what comes in and of the state, and the biases of both; of the two gates, then of the new state.

        A gate is 1 / (1 + exp(-x)): the sign is taken into its weights.
        """
        self._width = around.shape[2]
        sign = np.repeat(np.array([-1, -1, 1], np.float32), self._width)
        self._bias, bias = biases.reshape(2, -1) * sign
        self._into, self._around = inner[0].T * sign, np.concatenate([around[0].T * sign, bias[None]])
        self._state = np.append(np.zeros(self._width, np.float32), np.float32(1))  # the one for the bias
        self._ones = np.ones(2 * self._width, np.float32)

    def __call__(self, x: np.ndarray) -> np.ndarray:
        width = self._width
        entering = x @ self._into
        entering += self._bias
        states = np.ones((len(x) + 1, width + 1), np.float32)
        states[0] = self._state
        sums = np.empty(3 * width, np.float32)
        gates, new = sums[: 2 * width], sums[2 * width :]
        kept, used = gates[:width], gates[width:]
        with np.errstate(over="ignore"):  # of a gate that is shut
            for to_gates, to_new, before, state, after in zip(
                entering[:, : 2 * width],
                entering[:, 2 * width :],
                states[:-1],
                states[:-1, :width],
                states[1:, :width],
                strict=True,
            ):
                np.dot(before, self._around, out=sums)
                np.add(gates, to_gates, out=gates)
                np.exp(gates, out=gates)
                np.add(gates, self._ones, out=gates)
                np.divide(new, used, out=new)
                np.add(new, to_new, out=new)
                np.tanh(new, out=new)
                np.subtract(state, new, out=after)
                np.divide(after, kept, out=after)
                np.add(after, new, out=after)
        self._state = states[-1]
        return states[1:, :width]


class Grouped:
    """A linear map of [T, F], in groups of F."""

    def __init__(self, weight: np.ndarray) -> None:
        self._weight = weight

    def __call__(self, x: np.ndarray) -> np.ndarray:
        groups, size, more = self._weight.shape
        made = np.empty((len(x), groups, more), np.float32)
        np.matmul(x.reshape(len(x), groups, size).swapaxes(0, 1), self._weight, out=made.swapaxes(0, 1))
        return rows(made)


class Part:
    """What is in one of the network's files, by kind, in the order that it is gone through."""

    def __init__(self, file: bytes) -> None:
        nodes = weights(file)
        self.maps = [Grouped(*tables) for kind, tables in nodes if kind == "Einsum"]
        self.layers = [Recurrent(*tables) for kind, tables in nodes if kind == "GRU"]
        self.convolutions = [table for kind, tables in nodes if kind.startswith("Conv") for table in tables]


def mixed(weight: np.ndarray, mix: np.ndarray) -> np.ndarray:
    """A convolution over two groups of channels and a mix of what it gives, as one over all of them."""
    apart = weight.reshape(2, -1, *weight.shape[1:])
    made: np.ndarray = np.einsum("ogm,gmitf->ogitf", mix.reshape(len(mix), *apart.shape[:2]), apart)
    return made.reshape(len(mix), -1, *weight.shape[2:])


def padded(x: np.ndarray, before: int, after: int) -> np.ndarray:
    """With so many more places of nothing."""
    made = np.zeros((len(x), before + x.shape[1] + after, x.shape[2]), np.float32)
    made[:, before : before + x.shape[1]] = x
    return made


def rows(x: np.ndarray) -> np.ndarray:
    """[T, F, C] to [T, F * C]."""
    return x.reshape(len(x), -1)


def rectified(x: np.ndarray) -> np.ndarray:
    """Where it stands. Against as many zeros: against one of them numpy takes three times as long."""
    flat = rows(x)
    np.maximum(flat, np.zeros(flat.shape[1], np.float32), out=flat)
    return x


def sigmoid(x: np.ndarray) -> np.ndarray:
    made: np.ndarray = np.tanh(x / 2) / 2 + 0.5
    return made
