import type { ElbowBaseline } from '../../guard/baseline.js';
import { fitBaseline, type NormalSecond } from '../../guard/fit-baseline.js';
import { elbowViewOf, type GuardState, guard, startGuard } from '../../guard/guard.js';
import type { GuardSettings } from '../../guard/settings.js';
import { learnedTuning } from '../../guard/tuning.js';
import type { Random } from '../plant/random.js';
import { type DrawnBoat, passS } from './drawn-boat.js';
import { twinSettings } from './twin-settings.js';
import { followLegs, seaTrial } from './voyage.js';

/** Takes a boat through `trips` healthy sea trials and learns each elbow, as an owner would; once for each lead in s. */
export function commissionBoat(
  boat: DrawnBoat,
  trips: number,
  random: Random,
  leadsS: readonly number[],
): readonly ReadonlyMap<string, ElbowBaseline>[] {
  const settings: GuardSettings = {
    probes: boat.probes,
    engines: twinSettings(true),
    escalateAfterS: 120,
    tuning: learnedTuning,
  };
  const elbows = boat.probes.filter((p) => p.place === 'wet-elbow');
  const seconds = new Map<string, NormalSecond[]>(elbows.map((p) => [p.id, []]));
  for (let trip = 0; trip < trips; trip++) {
    const plant = boat.moored();
    const legs = seaTrial(random, trip % 2 === 1);
    let state: GuardState = startGuard(boat.atMs);
    for (let pass = 0; followLegs(plant, legs, pass * passS); pass++) {
      state = guard(state, boat.pass(), settings).state;
      if (pass % 5 !== 0) continue;
      for (const probe of elbows) {
        const second = normalSecond(state, probe.id, settings);
        if (second) seconds.get(probe.id)?.push(second);
      }
    }
  }
  return leadsS.map(
    (leadS) => new Map(elbows.map((p) => [p.id, fitBaseline(seconds.get(p.id) ?? [], leadS)])),
  );
}

/** What commissioning notes of an elbow at this pass; nothing while the engine stands or just started. */
function normalSecond(state: GuardState, probeId: string, settings: GuardSettings): NormalSecond | undefined {
  const view = elbowViewOf(state, probeId, settings);
  if (view?.phase !== 'running' || view.settling || view.sinceStartS < settings.tuning.graceS)
    return undefined;
  const { seaC, exhaust, elbowC, slopeCPerS, sinceStartS } = view;
  if (seaC === undefined || !exhaust) return undefined;
  return { riseK: elbowC - seaC, slopeCPerS, exhaust, sinceStartS };
}
