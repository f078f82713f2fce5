import { describe, expect, it } from 'vitest';
import { soakAllowance, stoppedElbowLimit, withAllowance } from '../../../node/guard/soak-allowance.js';

/** A limit of 75 C, as a plan may propose; the elbow was at 80 C when its engine was started again. */
const limit = { raiseAt: 75, clearAt: 72, holdS: 2 };

/** The first second after the start at which the elbow is above its limit, if it is in two minutes. */
function passesAtS(elbowAt: (s: number) => number, warmS = 0): number | undefined {
  const rest = { warmS, dtS: 0.2, metalCools: false };
  let allowedC = soakAllowance(undefined, { stopped: true, elbowC: elbowAt(0), runningForS: 0, ...rest });
  for (let s = 0.2; s <= 120; s += 0.2) {
    const elbowC = elbowAt(s);
    allowedC = soakAllowance(allowedC, { stopped: false, elbowC, runningForS: s, ...rest });
    if (elbowC >= withAllowance(limit, allowedC).raiseAt) return s;
  }
  return undefined;
}

describe('limits after a hot restart', () => {
  it.each([15, 40, 70])('an elbow that its water cools from 80 to 30 C with %i s passes none', (tauS) => {
    expect(passesAtS((s) => 30 + 50 * Math.exp(-s / tauS))).toBeUndefined();
  });

  it('an elbow whose water does not come: at once when it warms, within a minute when it stays at 80 C', () => {
    expect(passesAtS((s) => 80 + 0.3 * s)).toBeLessThan(60);
    expect(passesAtS(() => 80)).toBeLessThan(60);
  });

  it('a slug of 79 C from a warm exchanger, gone after 20 s, passes no limit of 75 C; one that stays, or passes 82 C, does', () => {
    const slug = (topC: number) => (s: number) => (s < 20 ? 40 + Math.min(topC - 40, 8 * s) : 40);
    expect(passesAtS(slug(79), 300)).toBeUndefined();
    expect(passesAtS(slug(79))).toBeLessThan(6);
    expect(passesAtS(slug(85), 300)).toBeLessThan(7);
    expect(passesAtS((s) => Math.min(79, 40 + 2 * s), 300)).toBeLessThan(60);
  });

  it('water that comes and goes again is not allowed what it was allowed before', () => {
    const at = (s: number) => (s < 40 ? 80 - s : 40 + 2 * (s - 40));
    expect(passesAtS(at)).toBeCloseTo(40 + 35 / 2, 0);
  });

  /** The first second after a seen stop at which a stopped elbow is above its limit for 5 s, if it is in an hour. */
  const stoppedPassesAtS = (
    elbowAt: (s: number) => number,
    coolsAt: (s: number) => boolean,
    hotAt: (s: number) => boolean = () => false,
  ) => {
    let allowedC: number | undefined;
    let heldS = 0;
    for (let s = 0.2; s <= 3600; s += 0.2) {
      const [elbowC, metalCools] = [elbowAt(s), coolsAt(s)];
      const now = {
        stopped: true,
        elbowC,
        metalCools,
        metalHot: hotAt(s),
        runningForS: s,
        warmS: 420,
        dtS: 0.2,
      };
      allowedC = soakAllowance(allowedC, now);
      const { raiseAt, holdS } = withAllowance(stoppedElbowLimit, allowedC);
      heldS = elbowC >= raiseAt ? heldS + 0.2 : 0;
      if (heldS >= holdS) return s;
    }
    return undefined;
  };
  /** 97 C ten minutes after the stop, 0.22 K/s at most. */
  const soaks = (s: number) =>
    s < 600 ? 97 - 53 * (1 - s / 600) ** 2.5 : 44 + 53 * Math.exp((600 - s) / 3000);

  it('an elbow that soaks to 97 C beside a manifold that cools passes none; where nothing shows that it cools, 93 C', () => {
    expect(stoppedPassesAtS(soaks, (s) => s > 60)).toBeUndefined();
    expect(stoppedPassesAtS(soaks, () => false)).toBeLessThan(500);
  });

  it('beside a cooling manifold boiling water sounds within seconds, and 98 C is the end', () => {
    const dipped = (s: number) => (s < 900 ? 60 : 100 - 40 * Math.exp((900 - s) / 3));
    expect(stoppedPassesAtS(dipped, (s) => s > 60)).toBeLessThan(915);
    const ever = (s: number) => 50 + 0.1 * s;
    expect(stoppedPassesAtS(ever, (s) => s > 60)).toBeCloseTo(485, 0);
  });

  it('beside metal hotter than idling gas it may go on to 120 C, and not a kelvin further; once its gas is as an idling engine’s it may cool, and not warm', () => {
    const cooling = (s: number) => s > 60;
    const hot = (s: number) => 112 - 62 * Math.exp(-s / 200);
    expect(stoppedPassesAtS(hot, cooling, cooling)).toBeUndefined();
    const hotUntil = (untilS: number) => (s: number) => cooling(s) && s < untilS;
    expect(
      stoppedPassesAtS((s) => (s < 900 ? hot(s) : 111 - (s - 900) / 60), cooling, hotUntil(900)),
    ).toBeUndefined();
    expect(
      stoppedPassesAtS((s) => (s < 900 ? hot(s) : 111 + (s - 900) / 10), cooling, hotUntil(900)),
    ).toBeLessThan(960);
    const ever = (s: number) => 50 + 0.1 * s;
    expect(stoppedPassesAtS(ever, cooling, cooling)).toBeCloseTo(705, 0);
    const dipped = (s: number) => (s < 900 ? 60 : 100 - 40 * Math.exp((900 - s) / 3));
    expect(stoppedPassesAtS(dipped, cooling, cooling)).toBeLessThan(915);
  });

  it('on a stopped engine 93 C is the limit, and an engine never known to be stopped has its own', () => {
    const now = { elbowC: 60, runningForS: 5, warmS: 0, dtS: 1, metalCools: false };
    expect(soakAllowance(undefined, { ...now, stopped: true })).toBe(93);
    expect(withAllowance(limit, soakAllowance(undefined, { ...now, stopped: false }))).toBe(limit);
  });
});
