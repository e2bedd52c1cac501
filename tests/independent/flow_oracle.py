"""Max flow by another method: augmenting paths on dicts (Edmonds & Karp 1972), no scipy in it."""

from __future__ import annotations

from collections import deque


def max_flow(
    edges: list[tuple[int, int]], capacity: list[int], source: int, sinks: set[int]
) -> int:
    """Return the greatest flow over edges that pass both ways, into any of the sinks.

    Parameters
    ----------
    edges : list of (int, int)
        Ends of each edge.
    capacity : list of int
        Of each edge, either way.
    source : int
        Where it comes from.
    sinks : set of int
        Where it goes.
    """
    left: dict[int, dict[int, int]] = {}
    for (a, b), wide in zip(edges, capacity, strict=True):
        left.setdefault(a, {})[b] = left.get(a, {}).get(b, 0) + wide
        left.setdefault(b, {})[a] = left.get(b, {}).get(a, 0) + wide
    total = 0
    while True:
        before = {source: source}
        queue, end = deque([source]), None
        while queue and end is None:
            here = queue.popleft()
            for there, wide in left.get(here, {}).items():
                if wide > 0 and there not in before:
                    before[there] = here
                    if there in sinks:
                        end = there
                        break
                    queue.append(there)
        if end is None:
            return total
        path, node = [], end
        while node != source:
            path.append((before[node], node))
            node = before[node]
        least = min(left[a][b] for a, b in path)
        for a, b in path:
            left[a][b] -= least
            left[b][a] = left[b].get(a, 0) + least
        total += least
