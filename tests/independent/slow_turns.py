"""Whose turn it is in a large house, in plain Python: near the signs always, else one in eight."""

from __future__ import annotations

from slow_state import Tables

from wainscot.diagnosis.kernel import IN_TURNS

TURNS = 8
EVERY = -1

Turns = tuple[list[int], list[int]]


def turns(t: Tables, in_passage: list[int], in_source: list[int], flags: int) -> Turns:
    """The turn of every passage and of every source; each sweep where the flag is not set."""
    if not flags & IN_TURNS:
        return [EVERY] * len(t.prior), [EVERY] * len(t.source_void)
    near = near_voids(t, in_passage, in_source)
    passages = [
        EVERY if in_passage[p] or near >= set(ends) else p % TURNS for p, ends in enumerate(t.ends)
    ]
    named = t.problem.source_named.tolist()
    sources = [
        EVERY if v in near or named[s] or in_source[s] else s % TURNS
        for s, v in enumerate(t.source_void)
    ]
    return passages, sources


def near_voids(t: Tables, in_passage: list[int], in_source: list[int]) -> set[int]:
    """Voids that a sign speaks of, and those that the corridor touches."""
    near = set(t.telling)
    near |= set(t.problem.zone_void.tolist()) | set(t.problem.linear_void.tolist())
    near |= {v for p, ends in enumerate(t.ends) if in_passage[p] for v in ends}
    near |= {v for s, v in enumerate(t.source_void) if in_source[s]}
    return near
