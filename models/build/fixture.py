"""What the finished network makes of a fixed sound, for the tests: ``python -m models.build fixture TRAINED.pt OUT.npz``."""

from __future__ import annotations

import kaldi_native_fbank
import numpy as np
import torch

from models.build.export import trained_state
from models.build.features import Mfcc
from models.build.network import Network, padded


def sound() -> np.ndarray:
    """A second and a half: noise through wandering resonances, then digital silence."""
    rng = np.random.RandomState(11)
    t = np.arange(20000) / 16000
    voice = sum(np.sin(2 * np.pi * (120 * k * t + 3 * np.sin(5 * t))) / k for k in range(1, 30))
    swell = np.abs(np.sin(2 * np.pi * 3 * t))
    return np.concatenate([np.round(3000 * swell * voice + 40 * rng.randn(len(t))), np.zeros(4000)]).astype(np.int16)


def main(trained: str, out: str) -> None:
    state, prior = trained_state(trained)
    net = Network(len(prior))
    net.load_state_dict({k: torch.tensor(np.asarray(v)).float() for k, v in state.items()})
    net.eval()
    samples = sound()
    options = kaldi_native_fbank.MfccOptions()
    options.frame_opts.dither, options.use_energy, options.num_ceps = 0, False, 40
    options.mel_opts.num_bins, options.mel_opts.low_freq, options.mel_opts.high_freq = 40, 20, 7600
    kaldi = kaldi_native_fbank.OnlineMfcc(options)
    kaldi.accept_waveform(16000, samples.astype(np.float32).tolist())
    kaldi.input_finished()
    features = np.stack([kaldi.get_frame(i) for i in range(kaldi.num_frames_ready)])
    with torch.no_grad():
        scores = torch.log_softmax(net(padded(Mfcc()(torch.tensor(samples[None]).float()))), 2)[0].numpy()
    np.savez_compressed(out, samples=samples, features=features.astype(np.float32), scores=scores.astype(np.float32))
