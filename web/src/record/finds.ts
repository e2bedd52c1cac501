import type { PhotoTaken } from "../made/job";
import { compare } from "./event";
import type { Job } from "./fold";

/** The photos of a find: several, or the one of a job from before a find had several. */
export interface Pictured {
  readonly photo?: string;
  readonly photos?: readonly string[];
}

/** Their hashes in the order in which they were taken, each once. */
export const photosOf = (find: Pictured | undefined): string[] =>
  [...new Set([find?.photo ?? "", ...(find?.photos ?? [])])].filter(Boolean);

/**
 * Every photo of the first find of an inspection: those in it, then by time those that stand beside it, so
 * that two phones may add photos to one find.
 */
export const photosAt = (entities: Job["entities"], look: string): string[] => {
  const finds = entities[look]?.["finds"] as readonly Pictured[] | undefined;
  const added = Object.values(entities)
    .filter((one) => one["kind"] === "photo" && one["of"] === look && !one["find"])
    .map((one) => one as unknown as PhotoTaken)
    .sort((a, b) => compare(a.at ?? "", b.at ?? "") || compare(a.photo, b.photo));
  return [...new Set([...photosOf(finds?.[0]), ...added.map((one) => one.photo)])];
};

/** The find with these photos and no others. */
export const withPhotos = <T extends Pictured>(find: T, photos: readonly string[]): Omit<T, "photo" | "photos"> & { photos?: string[] } => {
  const { photo: _, photos: __, ...rest } = find;
  return photos.length ? { ...rest, photos: [...new Set(photos)] } : rest;
};

/** One of several answers to what was found, with the photos of all of them: none is lost by picking one. */
export const withAllPhotos = <T extends Pictured>(picked: readonly T[], others: readonly (readonly Pictured[])[]): T[] =>
  picked.map((find, n) => {
    const all = [...new Set([find, ...others.map((one) => one[n])].flatMap(photosOf))];
    return all.length > photosOf(find).length ? (withPhotos(find, all) as unknown as T) : find;
  });
