import type { Change } from '../../../host/outputs/messages/message.js';
import type { AlertRow } from '../../../node/index.js';

export const t0 = 1_700_000_000_000;
/** An alarm of the port engine, with what is different about it. */
export const alert = (over: Partial<AlertRow> = {}): AlertRow => ({
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'alarm',
  state: 'unacknowledged',
  engine: 'port',
  since: t0,
  message: 'Port wet elbow above 75 C',
  evidence: { values: { temperatureC: 76 }, thresholds: { raiseAtC: 75 }, roomC: -1 },
  actions: ['Throttle to idle.', 'Stop the engine when it is safe.'],
  ...over,
});
export const change = (over: Partial<AlertRow> = {}, at = t0): Change => ({
  kind: 'raised',
  node: 'n',
  at,
  alert: alert(over),
});
