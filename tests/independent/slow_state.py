"""One draw of the slow kernel: searches over run passages, likelihood and its changes.

Nothing here knows the kernel's bounds on what a change could gain: every flip is weighed in full.
That both give the same draws shows that the bounds cost nothing.
"""

from __future__ import annotations

import itertools

from slow_numbers import exp, log, log_likelihood_of

from wainscot.diagnosis.kernel import Problem


class Tables:
    """What stays the same for all draws of a problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.voids = len(problem.row_of)
        self.loads = len(problem.load_prior)
        self.row_of = problem.row_of.tolist()
        self.ends = problem.passage_ends.tolist()
        self.prior = problem.passage_prior.tolist()
        self.source_void = problem.source_void.tolist()
        self.own: list[list[int]] = [[] for _ in range(self.voids)]
        for s, v in enumerate(self.source_void):
            self.own[v].append(s)
        self.links: list[list[tuple[int, int]]] = [[] for _ in range(self.voids)]
        for p, (a, b) in enumerate(self.ends):
            self.links[a].append((b, p))
            self.links[b].append((a, p))
        self.normalise()
        self.detail = problem.detail.reshape(len(problem.detail), self.loads, 3, 6).tolist()
        self.row = [[[self.row_log(cell) for cell in by] for by in t] for t in self.detail]
        self.flat = [self.is_flat(table) for table in self.row]
        self.telling = [v for v in range(self.voids) if not self.flat[self.row_of[v]]]
        self.flat_log = 0.0
        for v in range(self.voids):
            if self.flat[self.row_of[v]]:
                self.flat_log += self.row[self.row_of[v]][0][0]
        self.read_zones()
        self.read_linear()

    @staticmethod
    def row_log(cells: list[float]) -> float:
        total = 0.0
        for weight in cells:
            total += weight
        return log_likelihood_of(total)

    @staticmethod
    def is_flat(table: list[list[float]]) -> bool:
        values = [x for by in table for x in by]
        return max(values) - min(values) <= 1e-12

    def normalise(self) -> None:
        self.normaliser = 0.0
        self.source_prior = []
        for a, b, c in self.problem.source_prior.tolist():
            total = a + b + c
            self.source_prior.append([a / total, b / total, c / total])
            self.normaliser += log(total)
        total = 0.0
        for q in self.problem.load_prior.tolist():
            total += q
        self.load_prior = [q / total for q in self.problem.load_prior.tolist()]
        self.normaliser += log(total)

    def read_zones(self) -> None:
        problem = self.problem
        self.zones = len(problem.zone_false)
        self.heard = problem.zone_heard.tolist()
        self.quiet = [log_likelihood_of(1.0 - f) for f in problem.zone_false.tolist()]
        self.hit = problem.zone_hit.tolist()
        self.members: list[list[tuple[int, list[float]]]] = [[] for _ in range(self.voids)]
        offsets = problem.zone_offsets.tolist()
        self.zone_members = [list(range(offsets[z], offsets[z + 1])) for z in range(self.zones)]
        for z in range(self.zones):
            for m in self.zone_members[z]:
                miss = [log_likelihood_of(1.0 - h) for h in self.hit[m]]
                self.members[int(problem.zone_void[m])].append((z, miss))

    def read_linear(self) -> None:
        problem = self.problem
        offsets = problem.linear_offsets.tolist()
        self.smelt = problem.linear_void.tolist()
        self.reading_members = [
            list(range(start, end)) for start, end in itertools.pairwise(offsets)
        ]
        self.sends = problem.linear_emission.tolist()
        self.grid = problem.linear_grid.tolist()
        self.curves = problem.linear_log_likelihood.tolist()
        self.soil_sends = problem.linear_soil.tolist()
        self.sends_to: list[list[tuple[int, int]]] = [[] for _ in range(self.voids)]
        for r, members in enumerate(self.reading_members):
            for m in members:
                self.sends_to[self.smelt[m]].append((r, m))

    def reading_log(self, r: int, total: float) -> float:
        x = log(max(total, 1e-12))
        grid, curve = self.grid, self.curves[r]
        if x <= grid[0]:
            return curve[0]
        for g in range(len(grid) - 1):
            if x < grid[g + 1]:
                share = (x - grid[g]) / (grid[g + 1] - grid[g])
                return curve[g] + share * (curve[g + 1] - curve[g])
        return curve[-1]

    def readings_at(self, reach: list[int] | tuple[int, ...], load: int) -> float:
        total = 0.0
        for r in range(len(self.curves)):
            total += self.reading_log(r, self.reading_sum(r, reach, load))
        return total

    def reading_sum(self, r: int, reach: list[int] | tuple[int, ...], load: int) -> float:
        total = 0.0
        for m in self.reading_members[r]:
            total += self.sends[m][load][reach[self.smelt[m]]]
        return total

    def zone_log(self, z: int, total: float) -> float:
        quiet = self.quiet[z] + total
        return log(max(1.0 - exp(quiet), 1e-300)) if self.heard[z] else quiet


class State:
    """A draw: run passages, source states, reach, load."""

    def __init__(self, tables: Tables, run: list[int], source: list[int], load: int) -> None:
        self.t = tables
        self.run = run
        self.source = source
        self.load = load
        self.joined: list[list[tuple[int, int]]] = [[] for _ in range(tables.voids)]
        for p, on in enumerate(run):
            if on:
                self.open(p)
        self.top = [self.top_with(v, -1, 0) for v in range(tables.voids)]
        self.reach = self.spread()
        self.rebuild()

    def open(self, p: int) -> None:
        a, b = self.t.ends[p]
        self.run[p] = 1
        self.joined[a].append((b, p))
        self.joined[b].append((a, p))

    def close(self, p: int) -> None:
        self.run[p] = 0
        for v in self.t.ends[p]:
            line = self.joined[v]
            at = next(i for i, (_, q) in enumerate(line) if q == p)
            line[at] = line[-1]
            line.pop()

    def top_with(self, v: int, changed: int, state: int) -> int:
        return max((state if s == changed else self.source[s] for s in self.t.own[v]), default=0)

    def spread(self) -> list[int]:
        reach = [0] * self.t.voids
        for level in (2, 1):
            line = [v for v in range(self.t.voids) if self.top[v] == level and reach[v] == 0]
            for v in line:
                reach[v] = level
            for v in line:
                for w, _ in self.joined[v]:
                    if reach[w] == 0:
                        reach[w] = level
                        line.append(w)
        return reach

    def rows_at(self, load: int) -> float:
        total = 0.0
        for v in self.t.telling:
            total += self.t.row[self.t.row_of[v]][load][self.reach[v]]
        return total

    def rebuild(self) -> None:
        self.log_likelihood = self.t.flat_log + self.rows_at(self.load)
        readings = range(len(self.t.curves))
        self.sent = [self.t.reading_sum(r, self.reach, self.load) for r in readings]
        self.log_likelihood += self.t.readings_at(self.reach, self.load)
        self.zone_sum = [0.0] * self.t.zones
        for v in range(self.t.voids):
            for z, miss in self.t.members[v]:
                self.zone_sum[z] = self.zone_sum[z] + miss[self.reach[v]]
        self.zone_value = [self.t.zone_log(z, x) for z, x in enumerate(self.zone_sum)]
        for value in self.zone_value:
            self.log_likelihood += value

    def gather(self, start: int) -> list[int]:
        line, seen = [start], {start}
        for v in line:
            for w, _ in self.joined[v]:
                if w not in seen:
                    seen.add(w)
                    line.append(w)
        return line

    def cut(self, p: int) -> tuple[list[int], int]:
        """Voids that fall when passage p closes, and to which reach."""
        sides = [[self.t.ends[p][0]], [self.t.ends[p][1]]]
        marks = [set(sides[0]), set(sides[1])]
        head = 0
        while True:
            for side in (0, 1):
                line, mine, theirs = sides[side], marks[side], marks[1 - side]
                if head == len(line):
                    start = head + 1 if side == 1 else head
                    return self.judge(line, sides[1 - side], start, theirs, p)
                for w, q in self.joined[line[head]]:
                    if w in mine or q == p:
                        continue
                    if w in theirs:
                        return [], 0
                    mine.add(w)
                    line.append(w)
            head += 1

    def judge(
        self, done: list[int], rest: list[int], head: int, seen: set[int], p: int
    ) -> tuple[list[int], int]:
        level = self.reach[done[0]]
        best = max(self.top[v] for v in done)
        if best < level:
            return done, best
        found = max(self.top[v] for v in rest)
        while found < level and head < len(rest):
            for w, q in self.joined[rest[head]]:
                if w not in seen and q != p:
                    seen.add(w)
                    rest.append(w)
                    found = max(found, self.top[w])
            head += 1
        return ([], 0) if found == level else (rest, found)

    def sink(self, v: int, state: int) -> tuple[list[int], int]:
        """Voids that fall when the sources at v sink to ``state``, and to which reach."""
        line = self.gather(v)
        best = max([state] + [self.top[w] for w in line[1:]])
        return ([], 0) if best == self.reach[v] else (line, best)

    def weigh(self, line: list[int], level: int) -> float:
        change = 0.0
        self.new_sum: dict[int, float] = {}
        self.new_sent: dict[int, float] = {}
        for v in line:
            row = self.t.row_of[v]
            if not self.t.flat[row]:
                values = self.t.row[row][self.load]
                change += values[level] - values[self.reach[v]]
            for z, miss in self.t.members[v]:
                before = self.new_sum.get(z, self.zone_sum[z])
                self.new_sum[z] = before + (miss[level] - miss[self.reach[v]])
            for r, m in self.t.sends_to[v]:
                sends = self.t.sends[m][self.load]
                before = self.new_sent.get(r, self.sent[r])
                self.new_sent[r] = before + (sends[level] - sends[self.reach[v]])
        for z, total in self.new_sum.items():
            change += self.t.zone_log(z, total) - self.zone_value[z]
        smelt = 0.0
        for r, total in self.new_sent.items():
            smelt += self.t.reading_log(r, total) - self.t.reading_log(r, self.sent[r])
        return change + smelt

    def accept(self, line: list[int], level: int) -> None:
        for v in line:
            self.reach[v] = level
        for z, total in self.new_sum.items():
            self.zone_sum[z] = total
            self.zone_value[z] = self.t.zone_log(z, total)
        for r, total in self.new_sent.items():
            self.sent[r] = total
