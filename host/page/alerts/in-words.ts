import type { AlertNow, ProbeNow } from '../../serve/now.js';
import { engines } from '../link/engines.js';
import { link, now } from '../link/stream.js';
import type { Trend } from '../look/arrow.js';
import { degrees } from '../look/degrees.js';
import { trendOf } from '../look/trend.js';

export const keyOf = ({ node, id }: AlertNow): string => `${node}/${id}`;
export const cardId = (alert: AlertNow): string => `alert ${keyOf(alert)}`.replace(/[^\w-]+/g, '-');

/** Whose alert it is, in full and in few letters: an engine, else its probe, else nothing. */
export const whose = ({
  id,
  engine,
  probe,
}: AlertNow): { readonly name: string; readonly shortName: string } => {
  const found = engines().find((one) => one.id === engine);
  if (found) return found;
  const name = engine ?? now.value?.probes.find((one) => one.id === probe)?.name ?? '';
  return { name, shortName: name || id.replace(/:.*/, '').replaceAll('-', ' ') };
};

export type ReadingNow = { readonly degrees: string; readonly limit?: string; readonly trend: Trend };

/** The real temperature of its probe against its limit, both in whole degrees; dashes when it is not known. */
export const readingOf = ({ node, probe, evidence }: AlertNow): ReadingNow | undefined => {
  const seen = now.value?.probes.find((p) => p.id === probe && p.node === node);
  if (!seen) return undefined;
  const limitC = limitOf(seen) ?? evidence.thresholds.raiseAtC;
  const known = link.value === 'live' && seen.quality === 'good' && seen.temperatureC !== undefined;
  return {
    degrees: known ? `${degrees(seen.temperatureC ?? 0, 0)}°` : '––',
    ...(limitC !== undefined && { limit: `${degrees(limitC, 0)}°` }),
    trend: known ? trendOf(seen) : 'unknown',
  };
};

/** The alarm limit, or the warning limit of a probe that has no other. */
export const limitOf = ({ limits }: Pick<ProbeNow, 'limits'>): number | undefined =>
  (limits.alarm ?? limits.warning)?.raiseAtC;

/** Active, of all nodes, as the host orders them: the worst first. */
export const activeAlerts = (): readonly AlertNow[] =>
  now.value?.alerts.filter(({ state }) => state !== 'rectified') ?? [];

/** Why this alert can be neither acknowledged nor silenced from here at this moment. */
export const outOfReach = ({ node }: AlertNow): string | undefined => {
  if (link.value !== 'live') return 'No contact with the host: this page cannot acknowledge or silence.';
  if (node !== 'host' && !now.value?.nodes.find((one) => one.node === node)?.connected)
    return `No contact with ${node}: this page cannot acknowledge or silence.`;
  return undefined;
};
