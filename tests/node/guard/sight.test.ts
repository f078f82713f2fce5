import { describe, expect, it } from 'vitest';
import { annunciation, warningSound } from '../../../node/annunciator/annunciation.js';
import { resumeGuard } from '../../../node/guard/guard-state.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith } from '../kit-with.js';
import {
  type At,
  elbow,
  gas,
  moored,
  one,
  open,
  type Shown,
  sea,
  two,
  Watch,
  well,
  wired,
} from './watched-boat.js';

describe('an engine that runs while no probe shows its cooling', () => {
  it.each<Shown>(['open', 'short', 'reversed', 'no-answer', 'implausible', 'canary-astray', 'contradicting'])(
    'with an elbow that is %s sounds a warning after 24 s, stops the heartbeat, and is an alarm 2 minutes later',
    (reason) => {
      const watch = new Watch(one).run(100, well).run(20, () => ({ elbow: reason, gas: 300, sea: 18 }));
      expect(watch.alert()).toBeUndefined();
      expect(watch.heartStoppedS).toBe(0);
      // A missing reading is bridged for 4 s; then the 20 s begin.
      watch.run(5, () => ({ elbow: reason, gas: 300, sea: 18 }));
      expect(watch.alert()).toMatchObject({ priority: 'warning', state: 'unacknowledged', engine: 'port' });
      expect(annunciation(watch.alerts, watch.state.atMs)).toMatchObject({
        buzzer: warningSound,
        heartStops: true,
      });
      watch.run(118, () => ({ elbow: reason, gas: 300, sea: 18 }));
      expect(watch.alert()?.priority).toBe('warning');
      watch.run(2, () => ({ elbow: reason, gas: 300, sea: 18 }));
      expect(watch.alert()).toMatchObject({ priority: 'alarm', escalated: true });
    },
  );

  it('is no matter while the engine is stopped, and sounds within a second of its start', () => {
    const watch = new Watch(one).run(200, moored, { running: false });
    expect(watch.alerts.map(({ id, priority }) => [id, priority])).toEqual([
      ['probe-fault:elbow', 'caution'],
    ]);
    watch.run(1, open);
    expect(watch.alert()).toMatchObject({ priority: 'warning', state: 'unacknowledged' });
    watch.run(1, open, { running: false });
    expect(watch.alert()?.state).toBe('rectified');
  });

  it('sounds at once where the elbow was rising when it was lost', () => {
    const watch = new Watch(one).run(100, well).run(25, (s) => ({ elbow: 40 + s, gas: 300, sea: 18 }));
    watch.run(4.5, open);
    expect(watch.alert()?.state).toBe('unacknowledged');
  });

  it('is not blind for a plug that is away for 15 s, nor for bursts of 8 s three times in five minutes', () => {
    const watch = new Watch(one).run(100, well).run(15, open).run(100, well);
    watch.run(300, (s) =>
      s % 100 < 8 ? { elbow: 40 + 50 * Math.sin(s * 977), gas: 300, sea: 18 } : well(s),
    );
    expect(watch.alert()).toBeUndefined();
  });

  it('is blind by a contact so loose that more is lost than can be judged, and one alert holds it all', () => {
    const loose: At = (s) => ({ elbow: s % 10 < 5 ? 40 + 50 * Math.sin(s * 977) : 40, gas: 300, sea: 18 });
    const watch = new Watch(one).run(100, well).run(240, loose);
    expect(watch.alert()).toMatchObject({ state: 'unacknowledged' });
    expect(watch.heard.filter((sound) => sound.startsWith('alert'))).toHaveLength(1);
  });

  it('is blind by an elbow far colder than the sea that flows through it', () => {
    const watch = new Watch(one)
      .run(200, well)
      .run(60, (s) => ({ elbow: 5 + 35 * Math.exp(-(s % 60) / 5), gas: 300, sea: 18 }));
    expect(watch.alert()?.message).toMatch(/Probe 0 reads 5 C, colder than the water that cools it\.$/);
  });

  it('stays a caution while another probe on the same elbow is believed', () => {
    const watch = new Watch(two).run(100, well).run(300, open);
    expect(watch.alerts.map(({ id, priority }) => [id, priority])).toEqual([
      ['probe-fault:elbow', 'caution'],
    ]);
    watch.run(30, () => ({ elbow: 'open', second: 'short', gas: 300, sea: 18 }));
    expect(watch.alert()?.message).toMatch(/reads as an open circuit; Probe 1 reads as a short circuit\.$/);
  });

  it('ends by itself half a minute after the probe is back', () => {
    const watch = new Watch(one).run(100, well).run(60, open).run(29, well);
    expect(watch.alert()?.state).toBe('unacknowledged');
    expect(watch.run(5, well).alert()?.state).toBe('rectified');
  });
});

describe('a blindness that was acknowledged', () => {
  const acknowledged = () => {
    const watch = new Watch(one).run(100, well).run(30, open);
    expect(watch.do('acknowledge')?.ok).toBe(true);
    watch.heartStoppedS = 0;
    watch.heard.length = 0;
    return watch;
  };

  it('is quiet, lets the heart beat, and is called to mind every ten minutes while the engine runs', () => {
    const watch = acknowledged().run(1900, open);
    expect(watch.heartStoppedS).toBe(0);
    expect(watch.heard).toEqual([
      'reminder 730',
      'quiet 731',
      'reminder 1330',
      'quiet 1331',
      'reminder 1930',
      'quiet 1931',
    ]);
    expect(watch.alert()?.state).toBe('acknowledged');
    watch.heard.length = 0;
    expect(watch.run(1900, moored, { running: false }).heard).toEqual([]);
    expect(watch.alert()).toBeUndefined();
  });

  it('is asked again when the engine starts again', () => {
    const watch = acknowledged().run(3, open, { running: false }).run(1, open);
    expect(watch.alert()).toMatchObject({ state: 'unacknowledged', priority: 'warning' });
  });

  it('is asked again when another probe is lost, once', () => {
    const without: At = () => ({ elbow: 'open', gas: 'open', sea: 18 });
    const watch = acknowledged().run(10, without);
    expect(watch.alert()?.state).toBe('unacknowledged');
    watch.do('acknowledge');
    watch.run(30, open).run(30, without);
    expect(watch.alert()?.state).toBe('acknowledged');
  });

  it('is asked again after a restart of the node', () => {
    const watch = acknowledged().run(10, open);
    watch.state = resumeGuard(JSON.parse(JSON.stringify(watch.state)), asMonotonicMs(500_000), 5_000).state;
    expect(watch.run(10, open).alert()?.state).toBe('acknowledged');
    expect(watch.run(20, open).alert()?.state).toBe('unacknowledged');
  });

  it('cannot be shelved; and silence gives the circuit 30 s of rest as it does the buzzer', () => {
    const watch = new Watch(one).run(100, well).run(30, open);
    expect(watch.do('shelve')).toMatchObject({ ok: false, detail: expect.stringContaining('every 10 min') });
    watch.do('silence');
    watch.heartStoppedS = 0;
    expect(watch.run(29, open).heartStoppedS).toBe(0);
    expect(watch.run(5, open).heartStoppedS).toBeGreaterThan(2);
  });

  it('stays as it was while the board is away, and does not ask again when it is back', () => {
    const watch = acknowledged().run(20, () => ({}), { board: 'lost' });
    expect(watch.alert()?.state).toBe('acknowledged');
    expect(watch.run(60, open).alert()?.state).toBe('acknowledged');
  });
});

describe('an elbow that is lost while the running input says stopped', () => {
  const lostAtStop = (gasC: At) => (s: number) => ({
    elbow: 'open' as const,
    gas: gasC(s).gas ?? 0,
    sea: 18,
  });
  const underWay = () => new Watch(one).run(100, well).run(100, well, { running: true });

  it.each([
    // One cut cable takes the elbow and the input; a fuel solenoid may also fail to stop the engine.
    ['at cruise', 300, 31],
    ['at idle', 150, 121],
  ])('and whose gas does not fall %s sounds, although the input was seen to work', (_, gasC, withinS) => {
    const watch = underWay().run(600, () => ({ elbow: 40, gas: gasC, sea: 18 }));
    const cut = lostAtStop(() => ({ gas: gasC }));
    watch.run(withinS - 5, cut, { running: false });
    expect(watch.alert()).toBeUndefined();
    expect(watch.run(20, cut, { running: false }).alert()).toMatchObject({ state: 'unacknowledged' });
    expect(watch.heartStoppedS).toBeGreaterThan(5);
  });

  it('and whose gas cools as metal does, by 63 % in an hour, is a caution', () => {
    const cooling = lostAtStop((s) => ({ gas: 40 + 220 * Math.exp(-s / 3600) }));
    const watch = underWay().run(1800, cooling, { running: false });
    expect(watch.alert()).toBeUndefined();
    expect(watch.alert('probe-fault:elbow')?.priority).toBe('caution');
  });
});

describe('an engine on which the kit has no probe that shows its cooling', () => {
  const unguarded = settingsFromKit(kitWith([gas, sea], wired));
  const cold: At = () => ({ gas: 25, sea: 18 });
  const hot: At = () => ({ gas: 300, sea: 18 });

  it('sounds three pips at each start, stays in sight, never grows, and lets the heart beat', () => {
    const watch = new Watch(unguarded).run(60, cold, { running: false });
    expect(watch.alerts).toEqual([]);
    watch.run(300, hot);
    expect(watch.alert('set-up:unguarded-port')).toMatchObject({
      priority: 'warning',
      state: 'unacknowledged',
      instruction: 'Watch its own gauges',
    });
    watch.run(60, cold, { running: false }).run(10, hot);
    expect(watch.heard).toEqual(['alert 60', 'quiet 62', 'alert 420', 'quiet 422']);
    expect(watch.heartStoppedS).toBe(0);
  });
});

describe('without a running input', () => {
  const blind = settingsFromKit(kitWith([elbow, gas, sea]));
  const bare = settingsFromKit(kitWith([elbow, sea]));

  it('a warm elbow that is lost sounds although a gas probe, perhaps fallen out, is cold; a cold elbow does not', () => {
    const fallen: At = () => ({ elbow: 45, gas: 30, sea: 18 });
    const lost: At = () => ({ elbow: 'open', gas: 30, sea: 18 });
    const watch = new Watch(blind).run(100, fallen).run(26, lost);
    expect(watch.alert()).toMatchObject({ state: 'unacknowledged' });
    // An hour later the elbow would be cold on any engine that is stopped.
    expect(watch.run(3700, lost).alert()?.state ?? 'gone').not.toBe('unacknowledged');
    const moored = new Watch(blind).run(100, () => ({ elbow: 25, gas: 30, sea: 18 })).run(300, lost);
    expect(moored.alert()).toBeUndefined();
  });

  it('and without gas an elbow that does not change while it is warm sounds after 20 min; at the water’s warmth it does not', () => {
    const stillAt = (elbowC: number) => {
      const watch = new Watch(bare).run(100, () => ({ elbow: elbowC, sea: 18 }));
      watch.still = true;
      return watch.run(1300, () => ({ elbow: elbowC, sea: 18 })).alert();
    };
    expect(stillAt(45)).toMatchObject({ state: 'unacknowledged' });
    expect(stillAt(19)).toBeUndefined();
  });

  it('an engine may run until its exhaust gas is cold', () => {
    const watch = new Watch(blind).run(100, () => ({ elbow: 'open', gas: 25, sea: 18 }));
    expect(watch.alert()).toBeUndefined();
    expect(watch.run(30, () => ({ elbow: 'open', gas: 120, sea: 18 })).alert()?.state).toBe('unacknowledged');
  });

  it('one whose gas is not known may run', () => {
    const watch = new Watch(blind).run(40, () => ({ elbow: 'open', gas: 'open', sea: 18 }));
    expect(watch.alert()?.state).toBe('unacknowledged');
  });
});
