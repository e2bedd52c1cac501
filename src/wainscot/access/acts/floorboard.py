"""Lift a floorboard.  Boards lie across the joists, so one board shows a few bays side by side."""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.access.model import Act, Reach, Target
from wainscot.access.scene import Scene
from wainscot.sources import judged

BAYS_SHOWN = 3


def _find(scene: Scene) -> Iterator[Target]:
    # What lies under the bays is not in their row: a board shows it by itself.
    rows: dict[tuple[str, str], list[int]] = {}
    finishes: dict[str, str] = {}
    for void, face in scene.faces("floor"):
        rows.setdefault((face.room, scene.graph.kinds[void]), []).append(void)
        finishes[face.room] = face.finish
    for (room, kind), voids in rows.items():
        row = sorted(voids, key=scene.centre)
        for start in range(0, len(row), BAYS_SHOWN):
            shown = row[start : start + BAYS_SHOWN]
            labels = [scene.graph.labels[void] for void in shown]
            bays = f" {labels[0]}" if len(labels) == 1 else f"s {labels[0]} to {labels[-1]}"
            yield Target(
                where=f"{kind}{bays}, {scene.room_names[room]}",
                key="+".join(scene.graph.keys[void] for void in shown),
                reaches=tuple(Reach(void, 0.5) for void in shown),
                room=room,
                finish=finishes[room],
                area=0.12,
                at=scene.centre(shown[len(shown) // 2]),
            )


ACT = Act(
    name="floorboard up",
    sentence="Lift one floorboard and look both ways along {where}",
    method="eye and lamp",
    minutes=judged(35.0, "min", "covering back, nails punched, board up and down"),
    find=_find,
    repair={"": judged(20.0, "min", "board refixed, covering back")},
    disturbance="cut",
    from_part="floor",
)
