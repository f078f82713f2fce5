import { type Document, isAlias, isMap, isNode, isSeq, parseDocument, type YAMLMap } from 'yaml';

export type Limit = { readonly raiseAtC: number; readonly clearAtC: number; readonly holdS: number };
export type Limits = { readonly warning?: Limit; readonly alarm?: Limit };

/**
 * The kit text with other setpoints for one probe; comments and order stay as the owner wrote them. Limits that
 * several probes share by an anchor are written out for each first, so that only the named one changes. Answers
 * `undefined` when no probe has that id. The caller checks the result against the schema.
 */
export const withLimits = (text: string, probeId: string, limits: Limits): string | undefined => {
  const document = parseDocument(text);
  const probes = document.get('probes');
  if (!isSeq(probes)) return undefined;
  const maps = probes.items.filter(isMap);
  const probe = maps.find((item) => item.get('id') === probeId);
  if (!probe) return undefined;
  writeOutShared(document, maps);
  const kept = Object.fromEntries(Object.entries(limits).filter(([, limit]) => limit !== undefined));
  const node = document.createNode(kept) as YAMLMap;
  for (const { value } of node.items) if (isMap(value)) value.flow = true;
  probe.set('limits', node);
  return String(document);
};

/** The kit text with another certificate for each named probe. */
export const withCertificates = (text: string, paths: Readonly<Record<string, string>>): string => {
  const document = parseDocument(text);
  const probes = document.get('probes');
  for (const probe of isSeq(probes) ? probes.items.filter(isMap) : []) {
    const path = paths[String(probe.get('id'))];
    if (path !== undefined) probe.set('certificate', path);
  }
  return String(document);
};

const writeOutShared = (document: Document, probes: readonly YAMLMap[]): void => {
  for (const probe of probes) {
    const limits = probe.get('limits', true) as unknown;
    if (!isAlias(limits)) continue;
    const resolved = limits.resolve(document);
    if (isNode(resolved)) {
      const copy = resolved.clone() as YAMLMap;
      delete copy.anchor;
      probe.set('limits', copy);
    }
  }
  for (const probe of probes) {
    const limits = probe.get('limits', true) as unknown;
    if (isMap(limits)) delete limits.anchor;
  }
};
