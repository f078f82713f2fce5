/** What was found of each; nearly always nothing, at every pass, and then without a list of its own: `flatMap` is slow. */
export function found<Item, Found>(
  items: readonly Item[],
  find: (item: Item) => readonly Found[] | Found | undefined,
): readonly Found[] {
  let all: Found[] | undefined;
  for (const item of items) {
    const one = find(item);
    if (one === undefined || (Array.isArray(one) && one.length === 0)) continue;
    all ??= [];
    if (Array.isArray(one)) all.push(...one);
    else all.push(one as Found);
  }
  return all ?? nothing;
}
const nothing: readonly never[] = [];
