"""The whole kernel in plain Python with the same arithmetic: the draws agree to the last bit.

The corridor, the searches and the bookkeeping are written anew; only what decides a last bit (the
order of additions, the order of random numbers) follows the kernel.
"""

from __future__ import annotations

import hashlib
import heapq
import math
import struct

from slow_numbers import Stream, exp, log
from slow_state import State, Tables
from slow_turns import EVERY, TURNS, turns

from wainscot.diagnosis.kernel import ESS_FRACTION, NO_CORRECTION, NO_TILT, WASTE_FREE, Problem

TILT, PRIOR, RESAMPLE, SWEEP, SOIL, CORRECT = 1, 2, 3, 4, 5, 6
TRIES, LOG2 = 16, 0.6931471805599453
SHARED = 0xFFFFFFFF


class Snapshot:
    """What a store keeps of a draw."""

    def __init__(self, state: State, run: tuple[int, ...], counted: int) -> None:
        self.run = run
        self.source = tuple(state.source)
        self.reach = tuple(state.reach)
        self.load = state.load
        self.log_likelihood = state.log_likelihood
        self.counted = counted


class SlowKernel:
    """One population."""

    def __init__(
        self, problem: Problem, seed: int, number: int, draws: int, sweeps: int, flags: int = 0,
        ess_fraction: float = ESS_FRACTION,
    ) -> None:  # fmt: skip
        self.t = Tables(problem)
        self.seed, self.number = seed, number
        self.sweeps, self.waste_free = sweeps, bool(flags & WASTE_FREE)
        self.kept = sweeps + 1 if self.waste_free else 1
        self.draws, self.chains = draws, draws // self.kept
        self.flags = flags
        self.no_correction = bool(flags & NO_CORRECTION)
        self.no_tilt, self.ess_fraction = bool(flags & NO_TILT), ess_fraction
        self.in_passage = [0] * len(self.t.prior)
        self.in_source = [0] * len(self.t.source_void)
        self.positives: list[list[int]] = []
        self.log_evidence = self.t.normaliser
        self.variance = 0.0
        self.temperatures: list[float] = []
        self.temperature = 0.0

    def run(self) -> str:
        """Work to the end and return the digest of the results."""
        self.find_corridor()
        self.turns = turns(self.t, self.in_passage, self.in_source, self.flags)
        self.tilt = 0.0 if self.no_tilt or not self.positives else self.find_tilt()
        self.front = [self.draw_prior(d) for d in range(self.draws)]
        self.log_evidence += self.tilted_normaliser()
        while self.temperature < 1.0:
            ancestors = self.weigh_and_resample()
            self.sweep_all(ancestors)
        return self.finish()

    # corridor

    def active(self, s: int) -> float:
        return self.t.source_prior[s][1] + self.t.source_prior[s][2]

    def find_corridor(self) -> None:
        t = self.t
        self.cost = [-log(p) for p in t.prior]
        self.source_cost = [-log(self.active(s)) for s in range(len(t.source_void))]
        named = t.problem.source_named.tolist()
        fields = []
        for kind in (True, False):
            starts = [
                (self.source_cost[s], t.source_void[s])
                for s in range(len(named))
                if named[s] == kind and self.source_cost[s] < math.inf
            ]
            fields.append((kind, self.dijkstra(starts)))
        sets = [[v] for v in range(t.voids) if self.is_positive(v)]
        for z in range(t.zones):
            if t.heard[z]:
                telling = [m for m in t.zone_members[z] if max(t.hit[m][1:]) > t.hit[m][0]]
                sets.append([int(t.problem.zone_void[m]) for m in telling])
        for r, members in enumerate(t.reading_members):
            if t.curves[r][-1] - t.curves[r][0] > LOG2:
                alone = [m for m in members if self.raises(r, m) > LOG2]
                telling = alone or [m for m in members if self.raises(r, m) > 0.0]
                sets.append([t.smelt[m] for m in telling])
        for group in sets:
            self.mark(group, fields, named)

    def raises(self, r: int, m: int) -> float:
        """The most that one member alone, reached, adds to a reading."""
        value = self.t.reading_log
        return max(value(r, max(s[1:])) - value(r, s[0]) for s in self.t.sends[m])

    def mark(
        self, group: list[int], fields: list[tuple[bool, list[float]]], named: list[bool]
    ) -> None:
        near = [min((field[v] for v in group), default=math.inf) for _, field in fields]
        if all(x == math.inf for x in near):
            return
        self.positives.append(group)
        back = self.dijkstra([(0.0, v) for v in group])
        for (kind, field), best in zip(fields, near, strict=True):
            if best == math.inf:
                continue
            limit = best + 3.5
            for p, (a, b) in enumerate(self.t.ends):
                for x, y in ((a, b), (b, a)):
                    if field[x] + self.cost[p] + back[y] <= limit:
                        self.in_passage[p] = 1
            for s, v in enumerate(self.t.source_void):
                if named[s] == kind and self.source_cost[s] + back[v] <= limit:
                    self.in_source[s] = 1

    def is_positive(self, v: int) -> bool:
        sums = [0.0, 0.0, 0.0]
        for load, q in enumerate(self.t.load_prior):
            for cell in range(6):
                for r in range(3):
                    sums[r] += q * self.t.detail[self.t.row_of[v]][load][r][cell]
        return max(sums[1], sums[2]) > 2.0 * sums[0]

    def dijkstra(self, starts: list[tuple[float, int]]) -> list[float]:
        far = [math.inf] * self.t.voids
        heap: list[tuple[float, int]] = []
        for d, v in starts:
            if d < far[v]:
                far[v] = d
                heapq.heappush(heap, (d, v))
        while heap:
            d, v = heapq.heappop(heap)
            if d > far[v]:
                continue
            for w, p in self.t.links[v]:
                step = d + self.cost[p]
                if step < far[w]:
                    far[w] = step
                    heapq.heappush(heap, (step, w))
        return far

    # tilt and prior

    def draw_tilted(self, stream: Stream, tilt: float) -> State:
        t, boost = self.t, exp(tilt)
        run = []
        for p, prior in enumerate(t.prior):
            up = prior * (boost if self.in_passage[p] else 1.0)
            run.append(1 if stream.uniform() * (up + (1.0 - prior)) < up else 0)
        source = []
        for s, (never, past, now) in enumerate(t.source_prior):
            active = (past + now) * (boost if self.in_source[s] else 1.0)
            is_active = stream.uniform() * (active + never) < active
            is_now = stream.uniform() * (past + now) < now
            source.append((2 if is_now else 1) if is_active else 0)
        return State(t, run, source, pick(stream.uniform(), t.load_prior))

    def find_tilt(self) -> float:
        low, high = 0, 10
        while low < high:
            middle = (low + high) // 2
            hits = [0] * len(self.positives)
            for d in range(512):
                stream = Stream(self.seed, SHARED, TILT, 0, d)
                reach = self.draw_tilted(stream, 0.5 * middle).reach
                for i, group in enumerate(self.positives):
                    hits[i] += any(reach[v] > 0 for v in group)
            if min([512, *hits]) >= 0.3 * 512:
                high = middle
            else:
                low = middle + 1
        return 0.5 * low

    def draw_prior(self, d: int) -> Snapshot:
        stream = Stream(self.seed, self.number, PRIOR, 0, d)
        return self.snapshot(self.draw_tilted(stream, self.tilt))

    def tilted_normaliser(self) -> float:
        boost, total = exp(self.tilt), 0.0
        for p, prior in enumerate(self.t.prior):
            if self.in_passage[p]:
                total += log(1.0 - prior + prior * boost)
        for s, weights in enumerate(self.t.source_prior):
            if self.in_source[s]:
                total += log(weights[0] + self.active(s) * boost)
        return total

    def snapshot(self, state: State) -> Snapshot:
        counted = sum(on & inside for on, inside in zip(state.run, self.in_passage, strict=True))
        counted += sum(
            int(k != 0) & inside for k, inside in zip(state.source, self.in_source, strict=True)
        )
        return Snapshot(state, tuple(state.run), counted)

    # annealing

    def weigh_and_resample(self) -> list[Snapshot]:
        falling = 0.0 if self.no_correction else self.tilt
        slope = [x.log_likelihood - falling * float(x.counted) for x in self.front]
        steepest = max(slope)
        rise = self.largest_rise(slope, steepest)
        whole = 1.0 - self.temperature
        self.temperature = 1.0 if rise >= whole else self.temperature + rise
        weights = [exp(rise * (x - steepest)) for x in slope]
        total = 0.0
        for w in weights:
            total += w
        mean = total / self.draws
        self.log_evidence += rise * steepest + log(mean)
        self.add_variance(weights, mean)
        self.temperatures.append(self.temperature)
        chosen = self.resample(weights, total, self.chains, RESAMPLE, len(self.temperatures))
        return [self.front[d] for d in chosen]

    def add_variance(self, weights: list[float], mean: float) -> None:
        spread = 0.0
        for c in range(self.chains):
            chain = 0.0
            for k in range(self.kept):
                chain += weights[k * self.chains + c]
            off = chain / (self.kept * mean) - 1.0
            spread += off * off
        self.variance += spread / (float(self.chains) * self.chains)

    def largest_rise(self, slope: list[float], steepest: float) -> float:
        def share(rise: float) -> float:
            total = squares = 0.0
            for x in slope:
                w = exp(rise * (x - steepest))
                total += w
                squares += w * w
            return (total * total) / (squares * self.draws)

        low, high = 0.0, 1.0 - self.temperature
        if share(high) >= self.ess_fraction:
            return high
        for _ in range(40):
            middle = 0.5 * (low + high)
            if share(middle) >= self.ess_fraction:
                low = middle
            else:
                high = middle
        return low

    def resample(
        self, weights: list[float], total: float, count: int, phase: int, step: int
    ) -> list[int]:
        stream = Stream(self.seed, self.number, phase, step, 0)
        stride = total / count
        target = stream.uniform() * stride
        passed, d, chosen = weights[0], 0, []
        for _ in range(count):
            while passed <= target and d < self.draws - 1:
                d += 1
                passed += weights[d]
            chosen.append(d)
            target += stride
        return chosen

    def sweep_all(self, ancestors: list[Snapshot]) -> None:
        left = 1.0 if self.no_correction else 1.0 - self.temperature
        boost = exp(self.tilt * left)
        line = ancestors
        kept = list(ancestors) if self.waste_free else []
        for k in range(1, self.sweeps + 1):
            names = (len(self.temperatures) << 32) | k
            self.turn = ((len(self.temperatures) - 1) * self.sweeps + k - 1) % TURNS
            line = [
                self.sweep(x, Stream(self.seed, self.number, SWEEP, names, c), boost)
                for c, x in enumerate(line)
            ]
            kept += line if self.waste_free or k == self.sweeps else []
        self.front = kept

    # one sweep

    def sweep(self, start: Snapshot, stream: Stream, boost: float) -> Snapshot:
        state = State(self.t, list(start.run), list(start.source), start.load)
        for p, own in enumerate(self.turns[0]):
            if own in (EVERY, self.turn):
                self.flip(state, stream, p, boost)
        self.first: dict[int, int] = {}
        for s, own in enumerate(self.turns[1]):
            if own in (EVERY, self.turn):
                self.flip_source(state, stream, s, boost)
        self.move_sources(state, stream, boost)
        if self.t.loads > 1:
            self.draw_load(state, stream)
        state.rebuild()
        return self.snapshot(state)

    def flip(self, state: State, stream: Stream, p: int, boost: float) -> None:
        u, prior = stream.uniform(), self.t.prior[p]
        odds = (prior / (1.0 - prior)) * (boost if self.in_passage[p] else 1.0)
        a, b = self.t.ends[p]
        if state.run[p]:
            line, level = state.cut(p) if state.reach[a] else ([], 0)
            if self.moved(state, line, level, u, 1.0 / odds):
                state.close(p)
            return
        level = max(state.reach[a], state.reach[b])
        low = a if state.reach[a] < state.reach[b] else b
        line = state.gather(low) if state.reach[low] < level else []
        if self.moved(state, line, level, u, odds):
            state.open(p)

    def moved(self, state: State, line: list[int], level: int, u: float, ratio: float) -> bool:
        if not line:
            return u < ratio
        change = state.weigh(line, level)
        gain = 1.0 if change == 0.0 else exp(min(self.temperature * change, 700.0))
        if u >= ratio * gain:
            return False
        state.accept(line, level)
        return True

    def flip_source(self, state: State, stream: Stream, s: int, boost: float) -> None:
        twice = stream.uniform() * 2.0
        choice = 1 if twice >= 1.0 else 0
        u, old = twice - choice, state.source[s]
        new = (old + 1 + choice) % 3
        ratio = self.t.source_prior[s][new] / self.t.source_prior[s][old]
        if self.in_source[s]:
            if old == 0:
                ratio = ratio * boost
            if new == 0:
                ratio = ratio / boost
        v = self.t.source_void[s]
        level, before, after = state.reach[v], state.top[v], state.top_with(v, s, new)
        line: list[int] = []
        if after > level:
            line, level = state.gather(self.first_of_component(state, v)), after
        elif after < before and before == level:
            line, level = state.sink(v, after)
        if self.moved(state, line, level, u, ratio):
            state.source[s] = new
            state.top[v] = after

    def first_of_component(self, state: State, v: int) -> int:
        """The void of the component that was asked for first in this sweep."""
        if v not in self.first:
            self.first.update(dict.fromkeys(state.gather(v), v))
        return self.first[v]

    def move_sources(self, state: State, stream: Stream, boost: float) -> None:
        places = [s for s, k in enumerate(state.source) if k]
        room = state.gather(self.t.source_void[places[0]]) if places else []
        for _ in range(len(places)):
            i = min(len(places) - 1, int(stream.uniform() * len(places)))
            places[i], room = self.move_source(state, stream, places[i], boost, room)

    def move_source(
        self, state: State, stream: Stream, s: int, boost: float, last: list[int]
    ) -> tuple[int, list[int]]:
        """The source that has the state afterwards, and the voids it could move in."""
        u, kind = stream.uniform(), state.source[s]
        if self.t.source_prior[s][0] <= 0.0:
            return s, last
        voids = last if self.t.source_void[s] in last else state.gather(self.t.source_void[s])
        room = [t for v in voids for t in self.t.own[v]]
        weights, total = [], 0.0
        for t in room:
            never = self.t.source_prior[t][0]
            free = (t == s or state.source[t] == 0) and never > 0.0
            odds = self.t.source_prior[t][kind] / never if free else 0.0
            weights.append(odds * boost if self.in_source[t] else odds)
            total += weights[-1]
        left = u * total
        for t, weight in zip(room, weights, strict=True):
            if left < weight:
                state.source[s] = 0
                state.source[t] = kind
                for moved in (s, t):
                    v = self.t.source_void[moved]
                    state.top[v] = state.top_with(v, -1, 0)
                return t, voids
            left -= weight
        return s, voids

    def draw_load(self, state: State, stream: Stream) -> None:
        logs = [
            log(max(q, 1e-300))
            + self.temperature * (state.rows_at(load) + self.t.readings_at(state.reach, load))
            for load, q in enumerate(self.t.load_prior)
        ]
        weights = [exp(x - max(logs)) for x in logs]
        total = 0.0
        for w in weights:
            total += w
        state.load = pick(stream.uniform() * total, weights)

    # results

    def finish(self) -> str:
        correct = bool(self.t.curves) and bool(self.t.soil_sends)
        cells, weights = [], []
        for d, x in enumerate(self.front):
            stream = Stream(self.seed, self.number, SOIL, 0, d)
            drawn = [self.draw_cell(stream, x, v) for v in range(self.t.voids)]
            weights.append(self.choose(stream, x, drawn) if correct else 0.0)
            cells.append(drawn)
        self.kept_chains, self.share = self.chains, 1.0
        if correct:
            cells = self.correct(cells, weights)
        soil = bytes(cell >> 1 for line in cells for cell in line)
        nest = bytes(cell & 1 for line in cells for cell in line)
        return self.digest(soil, nest)

    def draw_cell(self, stream: Stream, x: Snapshot, v: int) -> int:
        weights = self.t.detail[self.t.row_of[v]][x.load][x.reach[v]]
        total = 0.0
        for w in weights:
            total += w
        return pick(stream.uniform() * total, weights)

    def choose(self, stream: Stream, x: Snapshot, drawn: list[int]) -> float:
        """Pick one of several tries at the smelt voids into ``drawn``; log of their mean ratio."""
        t = self.t
        smelt = [v for v in range(t.voids) if t.sends_to[v]]
        again = [{v: self.draw_cell(stream, x, v) for v in smelt} for _ in range(TRIES - 1)]
        tries = [{v: drawn[v] for v in smelt}, *again]
        logs = []
        for cell in tries:
            total = 0.0
            for r, members in enumerate(t.reading_members):
                sent = 0.0
                for m in members:
                    sent += t.soil_sends[m][cell[t.smelt[m]]]
                total += t.reading_log(r, sent)
            logs.append(total)
        ratios = [exp(value - max(logs)) for value in logs]
        total = 0.0
        for ratio in ratios:
            total += ratio
        chosen = tries[pick(stream.uniform() * total, ratios)]
        for v in smelt:
            drawn[v] = chosen[v]
        return max(logs) + log(total / TRIES) - t.readings_at(x.reach, x.load)

    def correct(self, cells: list[list[int]], logs: list[float]) -> list[list[int]]:
        weights = [exp(value - max(logs)) for value in logs]
        total = squares = 0.0
        for w in weights:
            total += w
            squares += w * w
        self.log_evidence += max(logs) + log(total / self.draws)
        self.add_variance(weights, total / self.draws)
        self.share = (total * total) / (squares * self.draws)
        chosen = self.resample(weights, total, self.draws, CORRECT, 0)
        self.front = [self.front[d] for d in chosen]
        self.kept_chains = self.draws
        return [cells[d] for d in chosen]

    def digest(self, soil: bytes, nest: bytes) -> str:
        steps = len(self.temperatures)
        kept = self.draws // self.kept_chains
        summary = [self.log_evidence, self.variance, self.tilt, steps, self.kept_chains, kept]
        parts = [
            struct.pack("<7d", *summary, self.share),
            struct.pack(f"<{steps}d", *self.temperatures),
            b"".join(bytes(x.source) for x in self.front),
            b"".join(bytes(x.reach) for x in self.front),
            soil,
            nest,
            b"".join(pack_bits(x.run) for x in self.front),
            bytes(x.load for x in self.front),
            struct.pack(f"<{self.draws}d", *(x.log_likelihood for x in self.front)),
        ]
        return hashlib.sha256(b"".join(parts)).hexdigest()


def pick(left: float, weights: list[float]) -> int:
    index = 0
    while index < len(weights) - 1 and left >= weights[index]:
        left -= weights[index]
        index += 1
    return index


def pack_bits(run: tuple[int, ...]) -> bytes:
    packed = bytearray((len(run) + 7) // 8)
    for p, on in enumerate(run):
        packed[p >> 3] |= on << (p & 7)
    return bytes(packed)
