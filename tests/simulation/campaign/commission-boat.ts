import type { Random } from '../../../node/bench/plant/random.js';
import { assess } from '../../../node/commission/assess.js';
import { CommissionBook } from '../../../node/commission/commission-book.js';
import { armedBaseline, type BaselineFile, unarmedBounds } from '../../../node/guard/baseline-file.js';
import { type GuardState, guard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings, ProbeSettings } from '../../../node/guard/settings.js';
import { campaignSettings } from './campaign-settings.js';
import type { DrawnBoat } from './drawn-boat.js';
import type { PumpLearner } from './learn-pumps.js';
import { followLegs, ordinaryHour } from './voyage.js';

/** What commissioning left a boat with. */
export type CommissionedBoat = {
  /** The probes as the owner's files have them: with what was learned where it is armed. */
  readonly probes: readonly ProbeSettings[];
  readonly elbows: readonly { readonly armed: boolean; readonly because: readonly string[] }[];
};

/**
 * Takes a boat on `trips` ordinary trips and commissions her as her owner does, through the same book and the same
 * assessment. `takesProposals`: the owner copies the proposed limits into the kit. What pressure probes read is learned on
 * the same trips, beside it.
 */
export function commissionBoat(
  boat: DrawnBoat,
  trips: number,
  random: Random,
  takesProposals: boolean,
  pumps?: PumpLearner,
): CommissionedBoat {
  const settings: GuardSettings = campaignSettings(boat.probes, boat.mode);
  const book = new CommissionBook(settings);
  for (let trip = 0; trip < trips; trip++) {
    const plant = boat.moored('commissioning');
    const legs = ordinaryHour(random);
    // What follows the last leg under way teaches nothing.
    const homeAtS = legs.findLast((leg) => leg.throttle.port > 0)?.untilS ?? 0;
    let state: GuardState = startGuard(boat.atMs);
    pumps?.putToSea();
    for (let s = 0; s < homeAtS && followLegs(plant, legs, s); s += 0.2) {
      const input = boat.pass();
      state = guard(state, input, settings).state;
      book.take(state);
      pumps?.pass(input);
    }
  }
  const { elbows, unfitted } = assess(book, settings, undefined);
  const file = { baseline: 1, elbows } as Pick<BaselineFile, 'baseline' | 'elbows'> as BaselineFile;
  const probes = boat.probes.map((probe): ProbeSettings => {
    if (probe.place !== 'wet-elbow') return probe;
    const baseline = armedBaseline(file, probe.id, settings.tuning.leadS[probe.mounting]);
    const limits = takesProposals ? elbows[probe.id]?.proposedLimits : undefined;
    const bounds = unarmedBounds(file, probe.id);
    return {
      ...probe,
      ...(baseline && { baseline }),
      ...(bounds && { bounds }),
      ...(limits && asLatches(limits)),
    };
  });
  const wet = boat.probes.filter((probe) => probe.place === 'wet-elbow');
  return {
    probes,
    elbows: wet.map(({ id }) => ({
      armed: elbows[id]?.armed ?? false,
      because: elbows[id]?.because ?? unfitted[id] ?? [],
    })),
  };
}

type Limits = NonNullable<BaselineFile['elbows'][string]['proposedLimits']>;

const asLatches = (limits: Limits): Pick<ProbeSettings, 'alarm' | 'warning'> => {
  const latch = ({ raiseAtC, clearAtC, holdS }: Limits['alarm']) => ({
    raiseAt: raiseAtC,
    clearAt: clearAtC,
    holdS,
  });
  return { alarm: latch(limits.alarm), warning: latch(limits.warning) };
};
