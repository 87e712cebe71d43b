"""Train on a GPU: ``python -m models.build train LEXICON EARLIER OUT SECONDS PACK...``.

1. An earlier model (a folder, the shipped one) aligns every clip: any pronunciation, silence between words where there
   is one.
2. Units are made: each phone of the words that have their own, and of the others a phone with the one before it in the
   word where people said it often enough, else alone (with the one after it too, they differ by the word's edge and not
   by sound: models/LOG.md, run 1). A network learns them from fresh augmented windows, enhanced as at the bench, aligns
   everything again, and learns on.
3. It learns whole sequences (maximum mutual information): against every string of the language's words where only such
   words are said, against a bigram of units elsewhere.

Writes OUT/units.json, OUT/durations.txt and the networks OUT/ce.pt and OUT/mmi.pt (half precision). ``further`` learns
on from a model folder, sequences alone: ``python -m models.build further LEXICON FOLDER OUT SECONDS SEED PACK...``. A
mean of what it began from and what came is better than either (``mean``).
"""

from __future__ import annotations

import copy
import json
import math
import random
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import torch
from torch.nn.functional import cross_entropy, kl_div

from assistant.language.grammar import load_english
from models.build import durations
from models.build.align import Chain, chain, output_frames, viterbi
from models.build.augment import OURS, RATE, Clip, Mixer, Plan, group, load, machine_noise, recorded_noise
from models.build.earlier import grown, judge, network
from models.build.enhance import Enhancer
from models.build.export import PRIOR_POWER
from models.build.features import Mfcc, mel_filters
from models.build.lexicon import NAMES, PHONE, SOUND, pronunciations, spoken
from models.build.network import Network, padded
from models.build.texts import LATER, sentences
from models.build.word_loop import LEAST, WordLoop, spelled

BATCH = 96
FRESH, LEARNED = 3e-4, 1e-4
"""Learning rates for sequences: after cross-entropy, and of a network that has learned some before. At 4e-4 such a one
needed 6,750 steps to be where it had begun (models/LOG.md, run 19)."""
OFTEN = 150
"""Human tokens that give a unit outputs of its own."""
UNKNOWN = -100
PAIRS = 40000
"""Sentences from which the word loop learns what follows what."""
MADE_NOISES = 600
"""Eight seconds each."""
KEEP, BOOST = 0.3, 0.5
"""In sequence training. How much it counts that, in noise, the network says what it said without before; and by how many
nats a frame whatever is wrong is favored among the rivals, so that what is right must win by as much."""
HUSH = 8.0
"""Of 16-bit samples, how loud it is where it is quiet."""
WARPS = (0.88, 0.92, 0.96, 1.0, 1.0, 1.0, 1.04, 1.08, 1.12)
"""Vocal tracts of the speakers there are, made longer and shorter at random: so few of them say numbers."""
AS_HEARD = 0.2
"""Share of windows that are as the microphone hears them. The noise of the others is lowered, so that the bench can
choose how much."""
LOWERED = ((8.0, 16.0), (16.0, 40.0))
"""dB at most, for one half of those and for the other."""
SAVED_EVERY = 240.0
"""Seconds of sequence training after which the network so far is saved: a machine that is lent can be gone at once
(models/LOG.md, runs 10, 14, 17 and 20)."""


Total = Callable[[torch.Tensor], torch.Tensor]
Rivals = tuple[int, Total, Total, torch.Tensor]


class Trainer:
    def __init__(self, lexicon: Path, packs: list[Path], seed: int = 1) -> None:
        self.device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
        torch.manual_seed(seed)
        torch.backends.cuda.matmul.allow_tf32 = True
        self.rng, self.np_rng = random.Random(seed), np.random.RandomState(seed)
        self.said = pronunciations(lexicon)
        with Pool(16) as pool:
            bank, self.clips = load(packs, pool)
            real = recorded_noise(bank, self.clips, self.np_rng)
            made = pool.map(machine_noise, range(seed * 1000, seed * 1000 + MADE_NOISES))
        self.noise = torch.from_numpy(np.concatenate([real, *made])).to(self.device)
        self.real = len(real)
        self.bank = bank.to(self.device)
        self.mfcc = Mfcc().to(self.device)
        self.enhancer = Enhancer().to(self.device)
        filters = np.stack([mel_filters(warp) for warp in WARPS])
        self.warped = torch.tensor(filters, dtype=torch.float32, device=self.device)
        self.grammar = load_english()
        self.vocabulary = self.grammar.words | set(LATER)
        self.labels = torch.full((len(bank) // 160,), UNKNOWN, dtype=torch.int16)
        print(len(self.clips), "clips", len(self.bank) // RATE // 60, "min", flush=True)

    def mixer(self) -> Mixer:
        return Mixer(self.bank, self.clips, self.noise, self.real, self.vocabulary)

    def windows(
        self, mixer: Mixer, plans: list[Plan], teacher: Network | None = None
    ) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor | None]:
        """Features of enhanced sound, labels, and what a teacher says of the windows without noise (log chances of units)."""
        with torch.no_grad():
            clean, source = mixer.batch(plans)
            warps = torch.tensor(self.np_rng.randint(len(WARPS), size=len(plans)), device=self.device)
            limits = torch.tensor(lowered(self.np_rng, len(plans)), dtype=torch.float32, device=self.device)
            heard = self.enhancer(mixer.mixed(clean, self.np_rng), limits).clamp(-32768, 32767).round()
            features = self.mfcc(heard, self.warped[warps])
            centers = source[:, 200::480]
            frames = (features.shape[1] + 2) // 3
            centers = centers[:, :frames]
            labels = torch.where(centers < 0, 0, self.labels[(centers.clamp(min=0) // 160)].long())
            taught = None
            if teacher is not None:
                quiet = self.mfcc(clean + HUSH * torch.randn_like(clean), self.warped[warps])
                with torch.autocast(self.device.type, torch.bfloat16):
                    taught = teacher(padded(quiet))
                taught = torch.log_softmax(taught.float()[:, :frames], 2)
        return features, labels, taught

    def learn(
        self,
        net: Network,
        seconds: float,
        rate: float,
        loop: WordLoop | None = None,
        so_far: Callable[[Network], None] | None = None,
    ) -> Network:
        """Cosine learning rate over ``seconds``; returns the running mean of the weights, norms measured anew.

        With a ``loop``, whole sequences are learned, against it and a bigram of units, and the network as it was
        teaches what to say in noise. ``so_far`` is given what would be returned, every SAVED_EVERY seconds.
        """
        against: Rivals | None = None
        teacher = copy.deepcopy(net).eval().requires_grad_(False) if loop is not None else None
        mixer = self.mixer()
        optimizer = torch.optim.AdamW(net.parameters(), rate, weight_decay=0.01)
        mean = copy.deepcopy(net)
        begin, step, unfit = time.monotonic(), 0, 0
        shown = given = begin
        total = hit = count = tried = 0.0
        net.train()
        with ThreadPoolExecutor(2) as ahead:
            make = lambda: mixer.plans(self.rng, BATCH)  # noqa: E731
            waiting = [ahead.submit(make) for _ in range(3)]
            while (part := (time.monotonic() - begin) / seconds) < 1:
                plans = waiting.pop(0).result()
                waiting.append(ahead.submit(make))
                features, labels, taught = self.windows(mixer, plans, teacher)
                for g in optimizer.param_groups:
                    g["lr"] = rate * min(1, (step + 1) / 200) * max(0.01, 0.5 * (1 + math.cos(math.pi * part)))
                with torch.autocast(self.device.type, torch.bfloat16):
                    scores = net(padded(features))
                scores = scores.float()[:, : labels.shape[1]]
                loss = cross_entropy(scores.flatten(0, 1), labels.flatten(), ignore_index=UNKNOWN)
                if loop is not None:
                    if against is None:
                        against = self.rivals(loop, scores, plans)
                    loss = 0.1 * loss + self.sequence(scores, labels, *against)
                if taught is not None:
                    apart = kl_div(torch.log_softmax(scores, 2), taught, reduction="none", log_target=True).sum(2)
                    loss = loss + KEEP * (apart * (labels >= 0)).sum() / (labels >= 0).sum()
                optimizer.zero_grad()
                loss.backward()
                if not torch.isfinite(torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)):
                    unfit += 1  # One such step would be in every weight, and in their mean, from here on.
                    continue
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
                        f"frames right {hit / max(1, count):.3f} unfit batches {unfit}",
                        flush=True,
                    )
                    total = hit = count = tried = 0.0
                if so_far is not None and time.monotonic() - given > SAVED_EVERY:
                    given = time.monotonic()
                    so_far(self.measured(copy.deepcopy(mean), mixer))
        return self.measured(mean, mixer)

    def measured(self, net: Network, mixer: Mixer) -> Network:
        """Batch norms of averaged weights, over fresh windows."""
        norms = net.norms
        for norm in norms:
            norm.reset_running_stats()
            norm.momentum = None
        net.train()
        net.dropout.eval()
        with torch.no_grad():
            for _ in range(40):
                features = self.windows(mixer, mixer.plans(self.rng, BATCH))[0]
                with torch.autocast(self.device.type, torch.bfloat16):
                    net(padded(features))
        for norm in norms:
            norm.momentum = 0.1
        return net.train()

    def rivals(self, loop: WordLoop, scores: torch.Tensor, plans: list[Plan]) -> Rivals:
        """What the right words compete with in a batch like this one, as CUDA graphs: they are thousands of small steps."""
        ours = sum(source in OURS for source, _ in plans)
        bigram = self.bigram(len(self.prior))

        def graphed(total: Total, count: int) -> Total:
            sample = scores.new_zeros(count, *scores.shape[1:]).requires_grad_()
            return torch.cuda.make_graphed_callables(total, (sample,)) if sample.is_cuda else total

        strings = graphed(lambda score: self.strings(score, bigram), len(plans) - ours)
        return ours, graphed(loop.total, ours), strings, bigram

    def sequence(
        self,
        scores: torch.Tensor,
        labels: torch.Tensor,
        ours: int,
        words: Total,
        strings: Total,
        bigram: torch.Tensor,
    ) -> torch.Tensor:
        """Maximum mutual information: how much likelier all sequences together are than the right one.

        The first ``ours`` windows compete with every string of words, the others with every string of units.
        """
        score = torch.log_softmax(scores, 2) - PRIOR_POWER * self.prior  # as the search takes it
        mask = (labels >= 0).float()
        right = labels.clamp(min=0)
        own = score.gather(2, right[:, :, None])[:, :, 0]
        rival = score.scatter_add(2, right[:, :, None], -BOOST * mask[:, :, None])
        every = torch.cat([words(rival[:ours].contiguous()), strings(rival[ours:].contiguous())])
        other, at = mask[ours:], right[ours:]
        pairs = (bigram[at[:, :-1], at[:, 1:]] * other[:, 1:] * other[:, :-1]).sum()
        pairs = pairs + (self.prior[at[:, 0]] * other[:, 0]).sum()
        return (((every - own) * mask).sum() - pairs) / mask.sum()

    def strings(self, score: torch.Tensor, bigram: torch.Tensor) -> torch.Tensor:
        """The log of all unit strings' likelihood together, a frame."""
        highest = score.amax(2).detach()
        likely = (score - highest[:, :, None]).clamp(min=LEAST).exp()
        chances = bigram.exp()
        forward = likely[:, 0] * self.prior.exp()
        norm = forward.sum(1)
        logs = [norm.log()]
        forward = forward / norm[:, None]
        for t in range(1, score.shape[1]):
            forward = (forward @ chances) * likely[:, t]
            norm = forward.sum(1) + 1e-20
            logs.append(norm.log())
            forward = forward / norm[:, None]
        return torch.stack(logs, 1) + highest

    @torch.no_grad()
    def align(self, judge: Callable[[torch.Tensor], torch.Tensor]) -> list[tuple[Clip, np.ndarray, Chain]]:
        """Every clip's states by output frame; ``judge`` gives phones' log likelihoods for MFCC."""
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
                score = judge(self.mfcc(sound)).float()
            lengths = [output_frames(c.samples) for c in some]
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

    def present(self, folder: Path) -> tuple[Network, list[list[int]]]:
        """The network of a model folder and its units; its priors are ``self.prior`` from then on."""
        net, own, prior = network(folder)
        self.prior = prior.to(self.device)
        return net.to(self.device), own

    def judge(self, net: Network, own: list[list[int]]) -> Callable[[torch.Tensor], torch.Tensor]:
        """A network's log likelihoods of phones; its priors are ``self.prior``."""
        return judge(net, own, self.prior)

    def word_loop(self, unit: Units) -> WordLoop:
        """Of the grammar's words and the one-word recordings'."""
        heard = {word for clip in self.clips if group(clip.kind) == "commands" for word in spoken(clip.text)}
        ways = spelled(sorted(self.vocabulary | heard), self.said, lambda *key: unit[key], PHONE)
        usual = (text.split() for text in islice(sentences(self.grammar, 99), PAIRS))
        return WordLoop(ways, usual, self.device)

    def label(self, aligned: list[tuple[Clip, np.ndarray, Chain]], unit: Units) -> None:
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
            _, source = mixer.batch(mixer.plans(self.rng, BATCH))
            centers = source[:, 200::480]
            labels = torch.where(centers < 0, 0, self.labels[centers.clamp(min=0) // 160].long())
            counts += torch.bincount(labels[labels >= 0], minlength=outputs)
        return ((counts + 5) / (counts + 5).sum()).log()

    def bigram(self, outputs: int) -> torch.Tensor:
        mixer = self.mixer()
        counts = torch.zeros(outputs * outputs, device=self.device)
        for _ in range(80):
            _, source = mixer.batch(mixer.plans(self.rng, BATCH))
            centers = source[:, 200::480]
            labels = torch.where(centers < 0, 0, self.labels[centers.clamp(min=0) // 160].long())
            pair = (labels[:, :-1] * outputs + labels[:, 1:])[(labels[:, :-1] >= 0) & (labels[:, 1:] >= 0)]
            counts += torch.bincount(pair, minlength=outputs * outputs)
        table = counts.view(outputs, outputs)
        backed = (table + 20 * self.prior.exp()[None]) / (table.sum(1, keepdim=True) + 20)
        return backed.log()

    @torch.no_grad()
    def unfold(self, net: Network) -> None:
        """Give batch norms that were folded away what they would have measured, so that the network can learn on."""

        def moments(x: torch.Tensor) -> torch.Tensor:
            return torch.stack([x.mean(0), x.pow(2).mean(0)])

        norms = net.norms
        seen: list[list[torch.Tensor]] = [[] for _ in norms]
        hooks = [
            norm.register_forward_hook(lambda _norm, given, _out, into=into: into.append(moments(given[0])))
            for norm, into in zip(norms, seen, strict=True)
        ]
        mixer = self.mixer()
        net.eval()
        for _ in range(20):
            net(padded(self.windows(mixer, mixer.plans(self.rng, BATCH))[0]))
        for norm, hook, found in zip(norms, hooks, seen, strict=True):
            hook.remove()
            mean, square = torch.stack(found).mean(0)
            norm.bias += mean
            norm.running_mean.copy_(mean)
            norm.running_var.copy_(square - mean**2)
            norm.weight.copy_((norm.running_var + norm.eps).sqrt())

    def scale(self, net: Network) -> None:
        """Mean and deviation of the features over augmented windows."""
        mixer = self.mixer()
        seen = torch.cat([self.windows(mixer, mixer.plans(self.rng, BATCH))[0].reshape(-1, 40) for _ in range(8)])
        net.mean.copy_(seen.mean(0))
        net.deviation.copy_(seen.std(0))


def lowered(rng: np.random.RandomState, count: int) -> np.ndarray:
    """By how many dB the noise of each window is lowered at most."""
    draw = rng.rand(count)
    some, much = (rng.uniform(*between, count) for between in LOWERED)
    return np.where(draw < AS_HEARD, 0.0, np.where(draw < (1 + AS_HEARD) / 2, some, much))


def units(aligned: list) -> tuple[dict[tuple[int, int, int], int], list[list[int]]]:
    """Outputs by (left, phone, right), and each output's own (left, phone, right), -1 where any."""
    human: Counter[tuple[int, int, int]] = Counter()
    speakers: dict[tuple[int, int, int], set[str]] = {}
    for clip, path, made in aligned:
        for s in np.unique(path):
            key = (made.left[s], made.phone[s], made.right[s])
            shared = key[1] and SOUND[key[1]] == key[1]
            if shared and group(clip.kind) not in ("syn", "neural", "joined"):
                shape = (key[0], key[1], -1)
                human[shape] += 1
                speakers.setdefault(shape, set()).add(clip.speaker)
    own: list[list[int]] = [[-1, p, -1] for p in range(len(NAMES))]
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
    part = path.with_suffix(".part")  # so that an earlier one stays whole until this one is
    torch.save({"state": state, "prior": prior.cpu()}, part)
    part.replace(path)


def _label_anew(trainer: Trainer, net: Network, own: list[list[int]], by_key: Units) -> None:
    trainer.label(trainer.align(trainer.judge(net, own)), by_key)
    trainer.prior = trainer.priors(len(own))


def _sequences(
    trainer: Trainer, net: Network, own: list[list[int]], by_key: Units, seconds: float, rate: float, out: Path
) -> None:
    """Learn sequences and save what came, and how long words last."""
    (out / "units.json").write_text(json.dumps(own))
    durations.write((clip.words for clip in trainer.clips), trainer.grammar.words, out)

    def keep(learned: Network) -> None:
        save(out / "mmi.pt", learned, trainer.prior)

    keep(trainer.learn(net, seconds, rate, trainer.word_loop(by_key), keep))


def main(lexicon: str, earlier: str, out: str, seconds: str, *packs: str) -> None:
    whole = float(seconds)
    trainer = Trainer(Path(lexicon), [Path(p) for p in packs])
    aligned = trainer.align(trainer.judge(*trainer.present(Path(earlier))))
    by_key, own = units(aligned)
    print(len(own), "units", flush=True)
    trainer.label(aligned, by_key)
    net = Network(len(own)).to(trainer.device)
    trainer.scale(net)
    trainer.prior = trainer.priors(len(own))
    net = trainer.learn(net, 0.30 * whole, 1.5e-3)
    _label_anew(trainer, net, own, by_key)
    net = trainer.learn(net, 0.30 * whole, 1.2e-3)
    save(Path(out) / "ce.pt", net, trainer.prior)
    _label_anew(trainer, net, own, by_key)
    _sequences(trainer, net, own, by_key, 0.40 * whole, FRESH, Path(out))


def further(lexicon: str, folder: str, out: str, seconds: str, seed: str, *packs: str) -> None:
    """More sequences for the network of a model folder; one that is narrower than networks are now is grown."""
    trainer = Trainer(Path(lexicon), [Path(p) for p in packs], int(seed))
    net, own = trainer.present(Path(folder))
    by_key = Units({tuple(key): i for i, key in enumerate(own)})
    _label_anew(trainer, net, own, by_key)
    net = grown(net)
    trainer.unfold(net)
    _sequences(trainer, net, own, by_key, float(seconds), LEARNED, Path(out))
