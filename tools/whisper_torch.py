"""The speech model in PyTorch, for training: its weights read from the shipped file, and words heard by the batch.

No part of the installed package. Architecture: A. Radford and others, "Robust speech recognition via large-scale weak
supervision" (2022), the base size; names of weights are those of the CTranslate2 file.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional
from whisper_tokens import END, FIRST_TIME, NO_TIMESTAMPS, START

from pipeline.hearing.adapted import FLOAT16, weight_places

LAYERS = 6
HEADS = 8
FRAMES = 3000
_LATEST_FIRST_TIME = 50


def read_weights(model: Path) -> dict[str, np.ndarray[Any, Any]]:
    """Every weight in float16 of a model.bin by name."""
    if model.suffix == ".npz":
        with np.load(model) as data:
            return dict(data)
    content = model.read_bytes()
    return {
        name: np.frombuffer(content, np.float16, math.prod(shape), place).reshape(shape)
        for name, shape, kind, place in weight_places(content)
        if kind == FLOAT16
    }


def log_mel(sound: Tensor, filters: Tensor) -> Tensor:
    """Features of one piece, (80, 3000), as the hearing stage makes them: nothing is heard behind the sound's end."""
    sound = functional.pad(sound, (0, 160))
    window = torch.hann_window(400, device=sound.device)
    power = torch.stft(sound, 400, 160, window=window, return_complex=True)[..., :-1].abs() ** 2
    mel = (filters @ power).clamp(min=1e-10).log10()
    mel = (torch.maximum(mel, mel.max() - 8) + 4) / 4
    mel = mel[:, :-1][:, :FRAMES]
    return functional.pad(mel, (0, FRAMES - mel.shape[1]))


class Whisper:
    """`adapters`: for some weights a pair (down, up); what is used is weight + strength * up @ down."""

    def __init__(self, weights: Mapping[str, np.ndarray[Any, Any]], device: str, dtype: torch.dtype) -> None:
        self.weights = {
            name: torch.from_numpy(np.array(value, np.float32)).to(device, dtype)
            for name, value in weights.items()
            if value.ndim and value.size > 64
        }
        self.strength = 1.0
        self.adapters: dict[str, tuple[Tensor, Tensor]] = {}
        self.device, self.dtype = device, dtype

    def _weight(self, name: str) -> Tensor:
        weight = self.weights[name]
        if name in self.adapters and self.strength:
            down, up = self.adapters[name]
            weight = weight + self.strength * (up @ down).to(self.dtype)
        return weight

    def _linear(self, x: Tensor, name: str) -> Tensor:
        return functional.linear(x, self._weight(f"{name}/weight"), self.weights[f"{name}/bias"])

    def _norm(self, x: Tensor, name: str) -> Tensor:
        return functional.layer_norm(x, x.shape[-1:], self.weights[f"{name}/gamma"], self.weights[f"{name}/beta"])

    def _attend(self, q: Tensor, k: Tensor, v: Tensor, **mask: Any) -> Tensor:
        def heads(x: Tensor) -> Tensor:
            return x.view(x.shape[0], x.shape[1], HEADS, -1).transpose(1, 2)

        out = functional.scaled_dot_product_attention(heads(q), heads(k), heads(v), **mask)
        return out.transpose(1, 2).flatten(2)

    def encode(self, mel: Tensor) -> Tensor:
        """Features (batch, 80, 3000) -> states (batch, 1500, 512)."""
        x = mel.to(self.dtype)
        for name, stride in (("encoder/conv1", 1), ("encoder/conv2", 2)):
            x = functional.gelu(
                functional.conv1d(x, self.weights[f"{name}/weight"], self.weights[f"{name}/bias"], stride, 1)
            )
        x = x.transpose(1, 2) + self.weights["encoder/position_encodings/encodings"]
        for layer in range(LAYERS):
            at = f"encoder/layer_{layer}"
            inner = self._norm(x, f"{at}/self_attention/layer_norm")
            q, k, v = self._linear(inner, f"{at}/self_attention/linear_0").chunk(3, -1)
            x = x + self._linear(self._attend(q, k, v), f"{at}/self_attention/linear_1")
            x = x + self._feed(x, at)
        return self._norm(x, "encoder/layer_norm")

    def _feed(self, x: Tensor, at: str) -> Tensor:
        inner = self._linear(self._norm(x, f"{at}/ffn/layer_norm"), f"{at}/ffn/linear_0")
        return self._linear(functional.gelu(inner), f"{at}/ffn/linear_1")

    def crossed(self, states: Tensor) -> list[tuple[Tensor, Tensor]]:
        """Keys and values of the states for every layer of the decoder."""
        made = [self._linear(states, f"decoder/layer_{n}/attention/linear_1").chunk(2, -1) for n in range(LAYERS)]
        return [(key, value) for key, value in made]

    def decode(
        self,
        tokens: Tensor,
        crossed: list[tuple[Tensor, Tensor]],
        before: list[tuple[Tensor, Tensor]] | None = None,
    ) -> tuple[Tensor, list[tuple[Tensor, Tensor]]]:
        """Tokens (batch, n) -> logits (batch, n, tokens). `before`: keys and values of tokens before, as returned."""
        past = before[0][0].shape[1] if before else 0
        x = self.weights["decoder/embeddings/weight"][tokens]
        x = x + self.weights["decoder/position_encodings/encodings"][past : past + tokens.shape[1]]
        kept = []
        for layer in range(LAYERS):
            at = f"decoder/layer_{layer}"
            inner = self._norm(x, f"{at}/self_attention/layer_norm")
            q, k, v = self._linear(inner, f"{at}/self_attention/linear_0").chunk(3, -1)
            if before:
                k, v = torch.cat((before[layer][0], k), 1), torch.cat((before[layer][1], v), 1)
            kept.append((k, v))
            x = x + self._linear(self._attend(q, k, v, is_causal=past == 0), f"{at}/self_attention/linear_1")
            q = self._linear(self._norm(x, f"{at}/attention/layer_norm"), f"{at}/attention/linear_0")
            x = x + self._linear(self._attend(q, *crossed[layer]), f"{at}/attention/linear_2")
            x = x + self._feed(x, at)
        x = self._norm(x, "decoder/layer_norm")
        return x @ self.weights["decoder/embeddings/weight"].T, kept


@torch.no_grad()
def hear(
    model: Whisper, states: Tensor, suppressed: Tensor, first_suppressed: Tensor, most: int = 200
) -> list[list[int]]:
    """The likeliest tokens one by one, with timestamps by Whisper's rules.

    `states` (batch, 1500, 512). `suppressed` tokens never come, `first_suppressed` not first.
    """
    batch = len(states)
    crossed = model.crossed(states)
    tokens = torch.tensor(START, device=states.device).repeat(batch, 1)
    logits, kept = model.decode(tokens, crossed)
    said = torch.zeros((batch, 0), dtype=torch.long, device=states.device)
    over = torch.zeros(batch, dtype=torch.bool, device=states.device)
    latest = torch.full((batch,), FIRST_TIME, device=states.device)
    numbers = torch.arange(logits.shape[-1], device=states.device)
    for step in range(most):
        score = logits[:, -1].float()
        score[:, suppressed] = -torch.inf
        score[:, NO_TIMESTAMPS] = -torch.inf
        if step == 0:
            score[:, first_suppressed] = -torch.inf
            score[:, :FIRST_TIME] = -torch.inf
            score[:, FIRST_TIME + _LATEST_FIRST_TIME + 1 :] = -torch.inf
        else:
            last_time = said[:, -1] >= FIRST_TIME
            other_time = (said[:, -2] >= FIRST_TIME) if step > 1 else torch.ones_like(last_time)
            times = numbers >= FIRST_TIME
            score.masked_fill_((last_time & other_time)[:, None] & times, -torch.inf)
            score.masked_fill_((last_time & ~other_time)[:, None] & (numbers < END), -torch.inf)
            # times never run back, and a stretch has some length
            lowest = torch.where(last_time & ~other_time, latest, latest + 1)
            score.masked_fill_(times & (numbers < lowest[:, None]), -torch.inf)
            log = score.log_softmax(-1)
            sure = log[:, FIRST_TIME:].logsumexp(-1) > log[:, :FIRST_TIME].max(-1).values
            score.masked_fill_(sure[:, None] & ~times, -torch.inf)
        chosen = score.argmax(-1)
        chosen = torch.where(over, END, chosen)
        latest = torch.where(chosen >= FIRST_TIME, chosen, latest)
        said = torch.cat((said, chosen[:, None]), 1)
        over |= chosen == END
        if bool(over.all()):
            break
        logits, kept = model.decode(chosen[:, None], crossed, kept)
    return [[token for token in row if token != END] for row in said.tolist()]
