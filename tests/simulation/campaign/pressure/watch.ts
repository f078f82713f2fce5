import type { TwinId } from '../../../../node/bench/plant/twins.js';
import { type GuardInput, type GuardState, guard, startGuard } from '../../../../node/guard/guard.js';
import type { GuardSettings } from '../../../../node/guard/settings.js';
import type { Reading } from '../../../../node/reading/reading.js';

export const fits = ['temperature', 'with pressure'] as const;
export type Fit = (typeof fits)[number];

/** The guard of one boat with one set of probes. */
export class Watch {
  state: GuardState;
  private readonly settings: GuardSettings;
  private readonly known: ReadonlySet<string>;

  constructor(settings: GuardSettings, atMs: GuardInput['nowMs']) {
    this.settings = settings;
    this.known = new Set(settings.probes.map(({ id }) => id));
    this.state = startGuard(atMs);
  }

  /** The engines whose cooling an alert is about now, and the gravest priority of each. */
  pass(input: GuardInput, gauges: readonly Reading[]): ReadonlyMap<TwinId, 'warning' | 'alarm'> {
    const readings = [...input.readings, ...gauges.filter(({ probe }) => this.known.has(probe))];
    const { state, alerts } = guard(this.state, { ...input, readings }, this.settings);
    this.state = state;
    const found = new Map<TwinId, 'warning' | 'alarm'>();
    for (const { id, engine, priority, state: life } of alerts)
      if (life !== 'rectified' && id.startsWith('cooling') && priority !== 'caution')
        found.set(engine as TwinId, priority);
    return found;
  }
}
