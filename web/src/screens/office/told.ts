/** How the office machine's places of a name, `seal_x1.by`, are told: by what stands there, with how often. */
export const countsOf = (places: readonly string[]): [field: string, times: number][] => {
  const counts = new Map<string, number>();
  for (const one of places) {
    const field = one.slice(one.lastIndexOf(".") + 1);
    counts.set(field, (counts.get(field) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
};
