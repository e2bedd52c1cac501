/** Places in words. */
import { placePoint } from "../../drawing/scene";
import { targets, type Target } from "../../drawing/places";
import { desk } from "../desk.svelte";

/** ``Bay 3, Kitchen north wall``. */
export const longName = (one: Target): string => {
  const way = one.facing ? desk.t(one.facing as "n") : "";
  const values = { n: one.name, name: one.name, room: one.room, way };
  const key = {
    entry: "entryName", fixture: "fixtureName", bay: "bayName", wall: "wallName",
    room: "inRoom", floor: "underFloor", ceiling: "aboveCeiling", void: "voidName",
  } as const;
  return desk.t(key[one.what], values);
};

/** ``bay 3``, for a column 72 wide. */
export const shortName = (one: Target): string => desk.t(`short_${one.what}`, { n: one.name, name: one.label ?? one.name });

/** Where an inspection was made, in words; empty where it lies in nothing that is drawn. */
export const whereOf = (id: string): string => {
  const one = desk.entities[id];
  if (one?.kind !== "inspection" || !one.place) return "";
  const { scene, storey } = desk;
  const at = placePoint(one.place, desk.entities, storey, scene);
  if (!at) return "";
  const found = targets(scene, storey, at, 0.05);
  const { part, of } = one.place;
  const sided = of?.includes("/") || ["wall", "opening"].includes(desk.entities[of ?? ""]?.kind ?? "");
  const inWall = (each: Target): boolean => each.what === "bay" || each.what === "wall";
  const same = found.find((each) =>
    sided ? inWall(each) : of ? each.place.of === of : each.place.part === part && (part !== "wall" || inWall(each)),
  );
  return same ? longName(same) : "";
};
