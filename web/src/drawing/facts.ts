/** Reading the fields of a job: values with or without a basis, and what stands in by country. */
import { lengthOr, type Typed } from "../geometry/quantity";
import kinds from "../made/kinds.json";
import type { Country, Entities, Entity } from "./scene";

/** A value whichever way it was written: bare, or with its basis. */
export const known = <T>(field: T | { value: T } | null | undefined): T | undefined => {
  if (field === null || field === undefined) return undefined;
  return typeof field === "object" && "value" in (field as object)
    ? (field as { value: T }).value
    : (field as T);
};

export const metres = (field: Typed | { value: Typed } | null | undefined): number | undefined => {
  const value = known<Typed>(field);
  return value === undefined ? undefined : lengthOr(value, undefined);
};

export const ofKind = <K extends string>(
  entities: Entities, kind: K,
): [string, Extract<Entity, { kind: K }>][] =>
  Object.entries(entities).filter(([, one]) => one.kind === kind) as [
    string, Extract<Entity, { kind: K }>,
  ][];

export const countryOf = (entities: Entities, units: string): Country => {
  const told = ofKind(entities, "settings")[0]?.[1].country;
  return told ? (told === "UK" ? "UK" : "US") : units === "m" ? "UK" : "US";
};

export const usual = (name: keyof typeof kinds.defaults, country: Country): number =>
  kinds.defaults[name][country === "UK" ? 0 : 1]!;
