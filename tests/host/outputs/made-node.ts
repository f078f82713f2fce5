import type { NodeNow } from '../../../host/live/live-source.js';
import { firstEngineCards } from '../../../node/index.js';

export const nowMs = 1_700_000_000_000;
export const probe = (id: string): NodeNow['probes'][number] => ({
  id,
  name: id,
  engine: 'port',
  place: 'wet-elbow',
  mounting: 'strap-on',
  limits: {},
});
export const node = (over: Partial<NodeNow> = {}): NodeNow => ({
  node: 'engine-room',
  connected: true,
  invented: true,
  engines: firstEngineCards,
  probes: [probe('port-elbow'), probe('sea')],
  latest: [
    { probe: 'port-elbow', at: nowMs, temperatureC: 48.24, quality: 'good' },
    { probe: 'sea', at: nowMs, temperatureC: -0.04, quality: 'good' },
  ],
  ageMs: { 'port-elbow': 0, sea: 0 },
  alerts: [],
  sequenceGaps: 0,
  ...over,
});
