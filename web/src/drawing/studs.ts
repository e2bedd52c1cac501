/** Where the studs of a wall stand, as somebody found them: from the left corner of the face that is drawn. */
import { wallSaid, type Writing } from "./assumed";
import { metres } from "./facts";
import type { Entities, WallShape } from "./scene";
import { placeOn, pointOn, type Side } from "../geometry/outline";
import { asTyped, length, type Typed } from "../geometry/quantity";
import type { Wall } from "../made/job";

export type Known = "measured" | "estimated";
export interface Studs {
  /** Middle of the first stud from the left corner, as typed or worked out; undefined where nobody said. */
  readonly first: Typed | undefined;
  readonly known: Known | undefined;
  /** Somebody looked where they stand: a cut can be judged. */
  readonly found: boolean;
  /** The spacing was measured and the first stud was not asked for yet. */
  readonly asked: boolean;
}
type Fact = Typed | { value: Typed; basis?: string | undefined } | null | undefined;

/** A bare value counts as seen; so says the program too. */
const looked = (fact: Fact): boolean => {
  if (fact === null || fact === undefined) return false;
  return typeof fact !== "object" || ["seen", "measured"].includes(fact.basis ?? "seen");
};

/** A distance along one face as one along the other, from its own left corner. [m] */
export const turnedTo = (to: Side, from: Side, along: number): number => placeOn(to, pointOn(from, along)).along;

export const studsOf = (entities: Entities, wall: WallShape): Studs => {
  const said = wallSaid(entities, wall)?.[1];
  const fact = said?.first_stud as Fact;
  const own = `${said?.room}/${said?.side}` === wall.id;
  const typed = fact !== null && typeof fact === "object" ? fact.value : fact;
  const first = typed === null || typed === undefined || own || !wall.facing
    ? typed ?? undefined
    : Math.round(1e4 * turnedTo(wall.side, wall.facing, metres(typed) ?? 0)) / 1e4;
  const measured = looked(said?.stud_spacing as Fact);
  return {
    first, known: first === undefined ? undefined : looked(fact) ? "measured" : "estimated",
    found: measured && looked(fact), asked: wall.build === "stud" && measured && first === undefined,
  };
};

/** What a word on the first stud writes; without a length it is not known any more. */
export const sayFirst = (
  entities: Entities, wall: WallShape, typed: string | undefined, basis: Known, newId: (what: string) => string,
): Writing => {
  const [key, said] = wallSaid(entities, wall) ?? [newId("wall"), undefined];
  const { first_stud: _, ...rest } = { kind: "wall", room: wall.side.room, side: wall.side.name, ...said } as Wall;
  if (typed === undefined) return { [key]: rest as unknown as Record<string, unknown> };
  const own = `${rest.room}/${rest.side}` === wall.id;
  const value = own || !wall.facing ? typed : asTyped(within(turnedTo(wall.facing, wall.side, length(typed, false)), metres(rest.stud_spacing as Fact)));
  return { [key]: { ...rest, first_stud: { value, basis } } as unknown as Record<string, unknown> };
};

/** From the far corner any stud of the row is as good: the one nearest to it. */
const within = (along: number, spacing = 0): number => (spacing > 0.05 ? along - Math.floor(along / spacing) * spacing : Math.max(0, along));
