import type { Evidence } from '../../../node/alerts/alert.js';
import { type TwinId as Engine, twins as engines } from '../../../node/bench/plant/twins.js';
import { type GuardInput, type GuardState, guard, startGuard } from '../../../node/guard/guard.js';
import type { ProbeSettings } from '../../../node/guard/settings.js';
import type { Reading } from '../../../node/reading/reading.js';
import { campaignSettings } from './campaign-settings.js';
import { rememberedPumps } from './learn-pumps.js';
import type { WatcherName } from './record.js';
import type { EngineMode } from './twin-settings.js';

export type Level = {
  readonly priority: 'none' | 'warning' | 'alarm';
  readonly rule: string;
  readonly evidence?: Evidence;
};
const quiet: Level = { priority: 'none', rule: '' };

/** A plain switch on the elbow: this hot for this long. */
const switchC = 93;
const switchHoldS = 1;

/** The watchers side by side on one boat and voyage, all given the same readings. */
export class Watchers {
  readonly levels: Readonly<Record<WatcherName, Record<Engine, Level>>> = {
    switch: { port: quiet, starboard: quiet },
    limits: { port: quiet, starboard: quiet },
    learned: { port: quiet, starboard: quiet },
    pressure: { port: quiet, starboard: quiet },
  };
  private readonly hotS: Record<Engine, number> = { port: 0, starboard: 0 };
  private readonly guards: {
    readonly limits: Guarded;
    readonly learned: Guarded;
    readonly pressure?: Guarded;
  };

  /** `pumps`: the pressure probes, and a guard that has learned what they read; their watcher is aboard only then. */
  constructor(
    probes: readonly ProbeSettings[],
    atMs: GuardInput['nowMs'],
    mode: EngineMode,
    pumps?: { readonly probes: readonly ProbeSettings[]; readonly learned: GuardState },
  ) {
    const start = startGuard(atMs);
    this.guards = {
      limits: new Guarded(
        probes.map(({ baseline: _, bounds: __, ...probe }) => probe),
        start,
        mode,
      ),
      learned: new Guarded(probes, start, mode),
      ...(pumps && {
        pressure: new Guarded([...probes, ...pumps.probes], rememberedPumps(pumps.learned, atMs), mode),
      }),
    };
  }

  /** What the guard with the pressure probes knows now. */
  get learnedPumps(): GuardState | undefined {
    return this.guards.pressure?.state;
  }

  /** Engines whose gas the commissioned guard now finds hotter than any it learned. */
  overloaded(engine: Engine): boolean {
    return this.guards.learned.finds(`load:${engine}`);
  }

  /** Gives the cautions about probes that the commissioned guard has raised in this pass. */
  pass(
    input: GuardInput,
    dtS: number,
    pressures: readonly Reading[] = [],
  ): readonly { readonly rule: string; readonly probe: string }[] {
    for (const name of ['limits', 'learned', 'pressure'] as const)
      for (const engine of engines) this.levels[name][engine] = quiet;
    for (const { result, probe } of input.readings) {
      const engine = engines.find((e) => probe === `${e}-elbow`);
      if (!engine || result.kind !== 'measured' || result.quantity !== 'temperature') continue;
      this.hotS[engine] = result.temperatureC >= switchC ? this.hotS[engine] + dtS : 0;
      const on = this.hotS[engine] >= switchHoldS;
      this.levels.switch[engine] = on ? { priority: 'alarm', rule: 'switch' } : quiet;
    }
    this.guards.limits.pass(input, this.levels.limits);
    this.guards.pressure?.pass(
      { ...input, readings: [...input.readings, ...pressures] },
      this.levels.pressure,
    );
    return this.guards.learned.pass(input, this.levels.learned);
  }
}

class Guarded {
  state: GuardState;
  private readonly settings;

  constructor(probes: readonly ProbeSettings[], start: GuardState, mode: EngineMode) {
    this.settings = campaignSettings(probes, mode);
    this.state = start;
  }

  finds(id: string): boolean {
    return this.state.entries.some(({ alert }) => alert.id === id && alert.state !== 'rectified');
  }

  pass(input: GuardInput, levels: Record<Engine, Level>) {
    const before = this.state.entries;
    this.state = guard(this.state, input, this.settings).state;
    const { entries } = this.state;
    for (const { alert } of entries) {
      const { id, priority, rule, state, evidence } = alert;
      const engine = engines.find((e) => id === `cooling:${e}`);
      if (engine && state !== 'rectified' && priority !== 'caution')
        levels[engine] = { priority, rule, evidence };
    }
    if (entries === before) return [];
    return entries.flatMap(({ alert: { id, rule, probe, state } }) =>
      probe !== undefined &&
      (id.startsWith('probe-fault') || id.startsWith('blind')) &&
      state !== 'rectified' &&
      !before.some((b) => b.alert.id === id && b.alert.rule === rule && b.alert.state !== 'rectified')
        ? [{ rule, probe }]
        : [],
    );
  }
}
