import { isMap, isNode, isScalar, isSeq, type Node } from 'yaml';

type Path = readonly PropertyKey[];

/**
 * Where in the text a value is, as a character offset: the value itself, or with `key` that key inside it.
 * When the path leads nowhere (a value left out), the nearest thing above it.
 */
export const positionOf = (root: unknown, path: Path, key?: string): number => {
  let node: unknown = root;
  let start = startOf(node) ?? 0;
  for (const step of path) {
    if (isMap(node)) {
      const pair = node.items.find((item) => isScalar(item.key) && item.key.value === step);
      if (!pair) return start;
      start = startOf(pair.value) ?? startOf(pair.key) ?? start;
      node = pair.value;
    } else if (isSeq(node) && typeof step === 'number') {
      const item = node.items[step];
      if (item === undefined) return start;
      start = startOf(item) ?? start;
      node = item;
    } else return start;
  }
  if (key !== undefined && isMap(node)) {
    const pair = node.items.find((item) => isScalar(item.key) && item.key.value === key);
    return startOf(pair?.key) ?? start;
  }
  return start;
};

const startOf = (node: unknown): number | undefined => (isNode(node) ? (node as Node).range?.[0] : undefined);
