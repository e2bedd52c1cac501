/** The photos of a find: several, or the one of a job from before a find had several. */
export interface Pictured {
  readonly photo?: string;
  readonly photos?: readonly string[];
}

/** Their hashes in the order in which they were taken, each once. */
export const photosOf = (find: Pictured | undefined): string[] =>
  [...new Set([find?.photo ?? "", ...(find?.photos ?? [])])].filter(Boolean);

/** The find with these photos and no others. */
export const withPhotos = <T extends Pictured>(find: T, photos: readonly string[]): Omit<T, "photo" | "photos"> & { photos?: string[] } => {
  const { photo: _, photos: __, ...rest } = find;
  return photos.length ? { ...rest, photos: [...new Set(photos)] } : rest;
};
