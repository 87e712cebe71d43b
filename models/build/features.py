"""Kaldi's MFCC (40 filters, 40 coefficients, no energy, no dither) in PyTorch, on any device.

The formulas are Kaldi's feat/feature-window.cc, mel-computations.cc and feature-mfcc.cc; a test checks them against
kaldi-native-fbank.
"""

from __future__ import annotations

import math

import numpy as np
import torch

RATE, FRAME, SHIFT, FFT, COEFFICIENTS = 16000, 400, 160, 512, 40
LOW, HIGH, LIFTER, PREEMPHASIS, FLOOR = 20.0, 7600.0, 22.0, 0.97, 1.1920929e-07
KNEE = 4800.0
"""Hz below which a warp scales frequencies evenly; above it they run on to half the rate."""


def mel_filters(warp: float = 1.0) -> np.ndarray:
    """257 x 40 triangles, even on the mel scale. A ``warp`` above 1 hears a longer vocal tract as a usual one."""
    bins = np.interp(np.arange(FFT // 2) * RATE / FFT, (0, KNEE, RATE / 2), (0, KNEE * warp, RATE / 2))
    mel = 1127 * np.log(1 + bins / 700)
    low, high = (1127 * math.log(1 + f / 700) for f in (LOW, HIGH))
    step = (high - low) / (COEFFICIENTS + 1)
    filters = np.zeros((FFT // 2 + 1, COEFFICIENTS))
    for i in range(COEFFICIENTS):
        left, center, right = (low + (i + k) * step for k in range(3))
        rising, falling = (mel - left) / (center - left), (right - mel) / (right - center)
        filters[:-1, i] = np.where((mel > left) & (mel < right), np.where(mel <= center, rising, falling), 0)
    return filters


def cosines() -> np.ndarray:
    """40 x 40: log filter energies to lifted cepstra."""
    n = np.arange(COEFFICIENTS)
    table = math.sqrt(2 / COEFFICIENTS) * np.cos(math.pi / COEFFICIENTS * np.outer(n + 0.5, n))
    table[:, 0] = math.sqrt(1 / COEFFICIENTS)
    return table * (1 + LIFTER / 2 * np.sin(math.pi * n / LIFTER))


def window() -> np.ndarray:
    """Kaldi's "povey" window."""
    return (0.5 - 0.5 * np.cos(2 * math.pi * np.arange(FRAME) / (FRAME - 1))) ** 0.85


class Mfcc(torch.nn.Module):
    """Sound on the scale of 16-bit samples, batch x samples, to batch x frames x 40.

    ``filters``, batch x 257 x 40, are used in place of the usual ones.
    """

    def __init__(self) -> None:
        super().__init__()
        for name, table in (("filters", mel_filters()), ("cosines", cosines()), ("window", window())):
            self.register_buffer(name, torch.tensor(table, dtype=torch.float32), persistent=False)

    def forward(self, sound: torch.Tensor, filters: torch.Tensor | None = None) -> torch.Tensor:
        frames = sound.unfold(1, FRAME, SHIFT)
        frames = frames - frames.mean(2, keepdim=True)
        before = torch.cat([frames[:, :, :1], frames[:, :, :-1]], 2)
        spectrum = torch.fft.rfft((frames - PREEMPHASIS * before) * self.window, FFT)
        power = spectrum.real**2 + spectrum.imag**2
        return torch.log((power @ (self.filters if filters is None else filters)).clamp(min=FLOOR)) @ self.cosines
