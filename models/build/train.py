"""Train on a GPU: ``python -m models.build train LEXICON BOOT OUT SECONDS PACK...``.

1. A seed network learns 39 phones and silence from the pocketsphinx alignment of a part of the human speech.
2. It aligns every clip (any pronunciation, silence between words where there is one).
3. Units are made: a phone with the one before it in the word where people said it often enough, else alone. (With the
   one after it too, "sixty" and "sixteen" end in units that differ by word and not by sound: models/LOG.md.) The
   network learns them from fresh augmented windows.
4. It aligns everything again, then learns whole sequences (maximum mutual information against a bigram of units).

Writes OUT/ce.pt and OUT/mmi.pt (half precision) and OUT/units.json. ``refine`` starts at step 3 from an earlier network:
``python -m models.build refine LEXICON BOOT OUT SECONDS EARLIER.pt ITS_UNITS.json PACK...``.
"""

from __future__ import annotations

import copy
import json
import math
import random
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import torch
from torch.nn.functional import cross_entropy

from assistant.language.grammar import load_english
from models.build.align import PHONE, chain, viterbi
from models.build.augment import RATE, WINDOW, Clip, Mixer, group, load, machine_noise
from models.build.features import Mfcc
from models.build.lexicon import PHONES, spoken
from models.build.network import Network, padded
from models.build.texts import LATER

BATCH = 96
OFTEN = 150
"""Human tokens that give a unit outputs of its own."""
UNKNOWN = -100
MADE_NOISES = 240
"""Eight seconds each."""


class Trainer:
    def __init__(self, lexicon: Path, boot: Path, packs: list[Path], seed: int = 1) -> None:
        self.device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
        torch.manual_seed(seed)
        torch.backends.cuda.matmul.allow_tf32 = True
        self.rng, self.np_rng = random.Random(seed), np.random.RandomState(seed)
        self.said = {w: [x for x in ways if x] for w, ways in json.loads(lexicon.read_text()).items()}
        with Pool(16) as pool:
            bank, self.clips = load(packs, pool)
            recorded = np.concatenate(
                [bank[c.start : c.start + c.samples].numpy() for c in self.clips if c.kind == "noise"]
            )
            real = np.tile(recorded, 1 + int(2 * WINDOW / max(1, len(recorded))))
            made = pool.map(machine_noise, range(seed * 1000, seed * 1000 + MADE_NOISES))
        self.noise = torch.from_numpy(np.concatenate([real, *made])).to(self.device)
        self.real = len(real)
        self.bank = bank.to(self.device)
        self.mfcc = Mfcc().to(self.device)
        self.vocabulary = load_english().words | set(LATER)
        self.labels = torch.full((len(bank) // 160,), UNKNOWN, dtype=torch.int16)
        first = json.loads(boot.read_text())
        for clip in self.clips:
            if clip.kind == "noise":
                self.labels[clip.start // 160 : (clip.start + clip.samples) // 160] = 0
            elif clip.path in first:
                self._boot(clip, first[clip.path])
        self.labels = self.labels.to(self.device)
        print(len(self.clips), "clips", len(self.bank) // RATE // 60, "min", flush=True)

    def _boot(self, clip: Clip, phones: list[tuple[str, int, int]]) -> None:
        for phone, s, e in phones:
            self.labels[clip.start // 160 + s : clip.start // 160 + e] = PHONE.get(phone, 0)
        heard = [(s, e) for phone, s, e in phones if phone in PHONE]
        clip.words = [(clip.text, heard[0][0], heard[-1][1])]

    def mixer(self) -> Mixer:
        return Mixer(self.bank, self.clips, self.noise, self.real, self.vocabulary)

    def windows(self, mixer: Mixer, plans: list) -> tuple[torch.Tensor, torch.Tensor]:
        with torch.no_grad():
            clean, source = mixer.batch(plans)
            features = self.mfcc(mixer.mixed(clean, self.np_rng))
            centers = source[:, 200::480]
            frames = (features.shape[1] + 2) // 3
            centers = centers[:, :frames]
            labels = torch.where(centers < 0, 0, self.labels[(centers.clamp(min=0) // 160)].long())
        return features, labels

    def learn(self, net: Network, seconds: float, rate: float, bigram: torch.Tensor | None = None) -> Network:
        """Cosine learning rate over ``seconds``; returns the running mean of the weights, norms measured anew."""
        mixer = self.mixer()
        optimizer = torch.optim.AdamW(net.parameters(), rate, weight_decay=0.01)
        mean = copy.deepcopy(net)
        begin, step, shown = time.monotonic(), 0, time.monotonic()
        total = hit = count = tried = 0.0
        net.train()
        with ThreadPoolExecutor(2) as ahead:
            make = lambda: [mixer.plan(self.rng) for _ in range(BATCH)]  # noqa: E731
            waiting = [ahead.submit(make) for _ in range(3)]
            while (part := (time.monotonic() - begin) / seconds) < 1:
                plans = waiting.pop(0).result()
                waiting.append(ahead.submit(make))
                features, labels = self.windows(mixer, plans)
                for g in optimizer.param_groups:
                    g["lr"] = rate * min(1, (step + 1) / 200) * max(0.01, 0.5 * (1 + math.cos(math.pi * part)))
                with torch.autocast(self.device.type, torch.bfloat16):
                    scores = net(padded(features))
                scores = scores.float()[:, : labels.shape[1]]
                loss = cross_entropy(scores.flatten(0, 1), labels.flatten(), ignore_index=UNKNOWN)
                if bigram is not None:
                    loss = 0.1 * loss + self.sequence(scores, labels, bigram)
                optimizer.zero_grad()
                loss.backward()
                torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
                optimizer.step()
                step += 1
                with torch.no_grad():
                    keep = min(0.998, step / (step + 10))
                    for a, b in zip(mean.parameters(), net.parameters(), strict=True):
                        a.lerp_(b, 1 - keep)
                    if step % 10 == 0:
                        speech = labels > 0
                        hit += float(((scores.argmax(2) == labels) & speech).sum())
                        count += float(speech.sum())
                        tried += 1
                        total += float(loss.detach())
                if time.monotonic() - shown > 15:
                    shown = time.monotonic()
                    print(
                        f"  {shown - begin:.0f} s step {step} loss {total / max(1, tried):.3f} "
                        f"frames right {hit / max(1, count):.3f}",
                        flush=True,
                    )
                    total = hit = count = tried = 0.0
        return self.measured(mean, mixer)

    def measured(self, net: Network, mixer: Mixer) -> Network:
        """Batch norms of averaged weights, over fresh windows."""
        norms = [m for m in net.modules() if isinstance(m, torch.nn.BatchNorm1d)]
        for norm in norms:
            norm.reset_running_stats()
            norm.momentum = None
        net.train()
        net.dropout.eval()
        with torch.no_grad():
            for _ in range(40):
                features, _labels = self.windows(mixer, [mixer.plan(self.rng) for _ in range(BATCH)])
                with torch.autocast(self.device.type, torch.bfloat16):
                    net(padded(features))
        for norm in norms:
            norm.momentum = 0.1
        return net.train()

    def sequence(self, scores: torch.Tensor, labels: torch.Tensor, bigram: torch.Tensor) -> torch.Tensor:
        """Maximum mutual information: how much likelier all unit sequences together are than the right one."""
        score = torch.log_softmax(scores, 2) - self.prior
        mask = (labels >= 0).float()
        right = labels.clamp(min=0)
        own = (score.gather(2, right[:, :, None])[:, :, 0] * mask).sum()
        own = own + (bigram[right[:, :-1], right[:, 1:]] * mask[:, 1:] * mask[:, :-1]).sum()
        own = own + (self.prior[right[:, 0]] * mask[:, 0]).sum()
        highest = score.amax(2).detach()
        likely = (score - highest[:, :, None]).exp()
        chances = bigram.exp()
        forward = likely[:, 0] * self.prior.exp()
        norm = forward.sum(1)
        every = (norm.log() + highest[:, 0]) * mask[:, 0]
        forward = forward / norm[:, None]
        for t in range(1, scores.shape[1]):
            forward = (forward @ chances) * likely[:, t]
            norm = forward.sum(1) + 1e-20
            every = every + (norm.log() + highest[:, t]) * mask[:, t]
            forward = forward / norm[:, None]
        return (every.sum() - own) / mask.sum()

    @torch.no_grad()
    def align(self, net: Network, to_phone: torch.Tensor | None) -> list[tuple[Clip, np.ndarray, object]]:
        """Every clip's states by output frame; ``to_phone`` maps outputs to phones (None: they are phones)."""
        net.eval()
        todo = sorted((c for c in self.clips if c.kind != "noise"), key=lambda c: c.samples)
        found, scores_by_kind, lost = [], {}, Counter()
        batch = 128
        for k in range(0, len(todo), batch):
            some = []
            for clip in todo[k : k + batch]:
                words = spoken(clip.text)
                if words and all(self.said.get(w) for w in words) and clip.samples > 4000:
                    some.append(clip)
                else:
                    lost[clip.kind] += 1
            if not some:
                continue
            longest = max(c.samples for c in some)
            sound = torch.zeros(len(some), longest, device=self.device)
            for i, c in enumerate(some):
                sound[i, : c.samples] = self.bank[c.start : c.start + c.samples].float()
            with torch.autocast(self.device.type, torch.bfloat16):
                out = net(padded(self.mfcc(sound)))
            score = torch.log_softmax(out.float(), 2)
            if to_phone is not None:
                score = torch.stack([torch.logsumexp(score[:, :, to_phone == p], 2) for p in range(len(PHONES) + 1)], 2)
            score = score - self.phone_prior
            lengths = [((c.samples - 400) // 160 + 1 + 2) // 3 for c in some]
            chains = [chain(c.text, self.said) for c in some]
            for clip, made, (path, mean) in zip(some, chains, viterbi(score, lengths, chains), strict=True):
                if mean < -50:
                    lost[clip.kind] += 1
                    continue
                scores_by_kind.setdefault(clip.kind, []).append(mean)
                found.append((clip, path, made, mean))
        print(
            "aligned",
            len(found),
            "lost",
            dict(lost),
            {k: (round(float(np.mean(v)), 2), round(float(np.percentile(v, 3)), 2)) for k, v in scores_by_kind.items()},
            flush=True,
        )
        # The worst two in a hundred of each set are mistranscribed more often than hard.
        floor = {k: float(np.percentile(v, 2)) for k, v in scores_by_kind.items()}
        kept = []
        for clip, path, made, mean in found:
            clip.words = []
            if mean >= floor[clip.kind]:
                kept.append((clip, path, made))
        return kept

    def label(self, aligned: list, unit: dict[tuple[int, int, int], int]) -> None:
        """Write labels and word times of an alignment; ``unit`` gives the output of (left, phone, right)."""
        labels = np.full(len(self.labels), UNKNOWN, np.int16)
        for clip, path, made in aligned:
            by_state = np.array([unit[x] for x in zip(made.left, made.phone, made.right, strict=True)], np.int16)
            row = np.repeat(by_state[path], 3)[: clip.samples // 160]
            labels[clip.start // 160 : clip.start // 160 + len(row)] = row
            number = np.array(made.word)[path]
            edges = np.flatnonzero(np.diff(np.concatenate([[-2], number, [-2]])))
            words = spoken(clip.text)
            clip.words = [
                (words[number[a]], 3 * int(a), 3 * int(b))
                for a, b in zip(edges[:-1], edges[1:], strict=True)
                if number[a] >= 0
            ]
        for clip in self.clips:
            if clip.kind == "noise":
                labels[clip.start // 160 : (clip.start + clip.samples) // 160] = 0
        self.labels = torch.from_numpy(labels).to(self.device)

    def priors(self, outputs: int) -> torch.Tensor:
        mixer = self.mixer()
        counts = torch.zeros(outputs, device=self.device)
        for _ in range(40):
            _, source = mixer.batch([mixer.plan(self.rng) for _ in range(BATCH)])
            centers = source[:, 200::480]
            labels = torch.where(centers < 0, 0, self.labels[centers.clamp(min=0) // 160].long())
            counts += torch.bincount(labels[labels >= 0], minlength=outputs)
        return ((counts + 5) / (counts + 5).sum()).log()

    def bigram(self, outputs: int) -> torch.Tensor:
        mixer = self.mixer()
        counts = torch.zeros(outputs * outputs, device=self.device)
        for _ in range(80):
            _, source = mixer.batch([mixer.plan(self.rng) for _ in range(BATCH)])
            centers = source[:, 200::480]
            labels = torch.where(centers < 0, 0, self.labels[centers.clamp(min=0) // 160].long())
            pair = (labels[:, :-1] * outputs + labels[:, 1:])[(labels[:, :-1] >= 0) & (labels[:, 1:] >= 0)]
            counts += torch.bincount(pair, minlength=outputs * outputs)
        table = counts.view(outputs, outputs)
        backed = (table + 20 * self.prior.exp()[None]) / (table.sum(1, keepdim=True) + 20)
        return backed.log()

    def scale(self, net: Network) -> None:
        """Mean and deviation of the features over augmented windows."""
        mixer = self.mixer()
        seen = torch.cat(
            [self.windows(mixer, [mixer.plan(self.rng) for _ in range(BATCH)])[0].reshape(-1, 40) for _ in range(8)]
        )
        net.mean.copy_(seen.mean(0))
        net.deviation.copy_(seen.std(0))


def units(aligned: list) -> tuple[dict[tuple[int, int, int], int], list[list[int]]]:
    """Outputs by (left, phone, right), and each output's own (left, phone, right), -1 where any."""
    human: Counter[tuple[int, int, int]] = Counter()
    speakers: dict[tuple[int, int, int], set[str]] = {}
    every: set[tuple[int, int, int]] = set()
    for clip, path, made in aligned:
        for s in np.unique(path):
            key = (made.left[s], made.phone[s], made.right[s])
            every.add(key)
            if group(clip.kind) != "syn" and key[1]:
                shape = (key[0], key[1], -1)
                human[shape] += 1
                speakers.setdefault(shape, set()).add(clip.speaker)
    own: list[list[int]] = [[-1, p, -1] for p in range(len(PHONES) + 1)]
    number = {tuple(x): i for i, x in enumerate(own)}
    for shape, n in sorted(human.items()):
        if n >= OFTEN and len(speakers[shape]) >= 25:
            number[shape] = len(own)
            own.append(list(shape))
    return Units(number), own


class Units(dict):
    """(left, phone, right) to an output, backing off to fewer neighbors."""

    def __missing__(self, key: tuple[int, int, int]) -> int:
        left, phone, _ = key
        found = self.get((left, phone, -1))
        found = found if found is not None else self[(-1, phone, -1)]
        self[key] = found
        return found


def save(path: Path, net: Network, prior: torch.Tensor) -> None:
    state = {k: v.half() if v.is_floating_point() else v for k, v in net.state_dict().items()}
    torch.save({"state": state, "prior": prior.cpu()}, path)


def refine(lexicon: str, boot: str, out: str, seconds: str, earlier: str, its_units: str, *packs: str) -> None:
    """More training of an earlier network; its last layer starts from the mean of the old units of each phone."""
    whole, target = float(seconds), Path(out)
    trainer = Trainer(Path(lexicon), Path(boot), [Path(p) for p in packs], seed=2)
    old_units = json.loads(Path(its_units).read_text())
    saved = torch.load(earlier, map_location=trainer.device, weights_only=True)
    state = {k: v.float() if v.is_floating_point() else v for k, v in saved["state"].items()}
    old = Network(len(old_units)).to(trainer.device)
    old.load_state_dict(state)
    to_phone = torch.tensor([x[1] for x in old_units], device=trainer.device)
    prior = saved["prior"].to(trainer.device).exp()
    trainer.phone_prior = prior.new_zeros(len(PHONES) + 1).index_add_(0, to_phone, prior).log()
    aligned = trainer.align(old, to_phone)
    by_key, own = units(aligned)
    (target / "units.json").write_text(json.dumps(own))
    print(len(own), "units", flush=True)
    trainer.label(aligned, by_key)
    net = Network(len(own)).to(trainer.device)
    weights, bias = [], []
    for left, phone, _ in own:
        same = [i for i, x in enumerate(old_units) if x[1] == phone and (left < 0 or x[0] == left)]
        same = same or [i for i, x in enumerate(old_units) if x[1] == phone]
        share = prior[same] / prior[same].sum()
        weights.append((share[:, None] * state["out.weight"][same]).sum(0))
        bias.append((share * state["out.bias"][same]).sum())
    state["out.weight"], state["out.bias"] = torch.stack(weights), torch.stack(bias)
    net.load_state_dict(state)
    trainer.prior = trainer.priors(len(own))
    net = trainer.learn(net, 0.72 * whole, 1.2e-3)
    save(target / "ce.pt", net, trainer.prior)
    sequential = trainer.learn(copy.deepcopy(net), 0.28 * whole, 2e-4, trainer.bigram(len(own)))
    save(target / "mmi.pt", sequential, trainer.prior)


def main(lexicon: str, boot: str, out: str, seconds: str, *packs: str) -> None:
    whole, target = float(seconds), Path(out)
    trainer = Trainer(Path(lexicon), Path(boot), [Path(p) for p in packs])
    phones = len(PHONES) + 1
    plain = Units({(-1, p, -1): p for p in range(phones)})
    seed = Network(phones, 384, 96).to(trainer.device)
    trainer.scale(seed)
    trainer.phone_prior = trainer.priors(phones)
    seed = trainer.learn(seed, 0.10 * whole, 2e-3)
    aligned = trainer.align(seed, None)
    trainer.label(aligned, plain)
    by_key, own = units(aligned)
    print(len(own), "units", flush=True)
    trainer.label(aligned, by_key)
    net = Network(len(own)).to(trainer.device)
    net.mean.copy_(seed.mean)
    net.deviation.copy_(seed.deviation)
    to_phone = torch.tensor([x[1] for x in own], device=trainer.device)

    (target / "units.json").write_text(json.dumps(own))
    trainer.prior = trainer.priors(len(own))
    first = trainer.learn(net, 0.25 * whole, 1.5e-3)
    trainer.phone_prior = (
        trainer.priors(len(own)).exp().new_zeros(phones).index_add_(0, to_phone, trainer.prior.exp()).log()
    )
    aligned = trainer.align(first, to_phone)
    trainer.label(aligned, by_key)
    trainer.prior = trainer.priors(len(own))
    net = trainer.learn(first, 0.33 * whole, 1.2e-3)
    save(target / "ce.pt", net, trainer.prior)
    sequential = trainer.learn(copy.deepcopy(net), 0.26 * whole, 3e-4, trainer.bigram(len(own)))
    save(target / "mmi.pt", sequential, trainer.prior)
