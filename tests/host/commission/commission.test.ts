import { describe, expect, it } from 'vitest';
import { baselineText } from '../../../host/commission/baseline-text.js';
import { replay } from '../../../host/replay/replay.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { tripsWanted } from '../../../node/commission/lacks.js';
import {
  assess,
  type BaselineFile,
  CommissionBook,
  parseBaseline,
  settingsFromKit,
} from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { kitYaml, recordPlant } from '../replay/plant-history.js';
import { trial } from './sea-trial.js';

const kit = parseKit(kitYaml, 'test kit');
const settings = settingsFromKit(kit);
const both = (plant: Plant, value: number) => {
  plant.setThrottle('port', value);
  plant.setThrottle('starboard', value);
};

/** The boat is moored for seven hours, then makes `trips` such trials, an hour and a half apart. */
function bookAfter(trips: number): CommissionBook {
  const book = new CommissionBook(settings);
  const cycleS = 5400;
  const nightS = 7 * 3600;
  const history = recordPlant(
    new Plant({ seed: 4, seaC: 18, outsideC: 18 }),
    Date.parse('2026-05-01T00:00:00Z'),
    nightS + trips * cycleS,
    (plant, s) => {
      const inCycle = (s - nightS) % cycleS;
      for (const [at, value] of trial) if (s >= nightS && inCycle === at) both(plant, value);
    },
  );
  replay(history, settings, (state) => book.take(state));
  return book;
}

const heard = { confirmedAt: '2026-05-02T00:00:00Z', dipped: [] };

describe('commissioning', () => {
  const six = bookAfter(tripsWanted);

  it('six sea trials fill every bin; with the buzzer unproven that step alone stays open', () => {
    const { steps, elbows } = assess(six, settings, undefined);
    expect(steps.filter((step) => !step.done).map((step) => step.name)).toEqual([
      'Hot dip: the buzzer is proven',
    ]);
    expect(elbows['port-elbow']).toMatchObject({ armed: true, because: [] });
  });

  it('the word about the buzzer and the dips before it are remembered with their date', () => {
    const ids = settings.probes.filter(({ place }) => place === 'wet-elbow').map(({ id }) => id);
    const [step] = assess(new CommissionBook(settings), settings, { ...heard, dipped: ids }).steps;
    expect(step).toMatchObject({ done: true, seen: expect.stringContaining('confirmed on 2026-05-02') });
    const [half] = assess(new CommissionBook(settings), settings, { ...heard, dipped: ids.slice(1) }).steps;
    expect(half).toMatchObject({ done: false, next: expect.stringContaining(`dip ${ids[0]} in boiling`) });
  });

  it('the file written is read back whole, and a guard with it is armed', () => {
    const { elbows } = assess(six, settings, heard);
    const file: BaselineFile = {
      baseline: 1,
      issue: 1,
      boat: kit.boat.name,
      madeAt: '2026-05-02T00:00:00Z',
      learnedFrom: { from: '2026-05-01T00:00:00Z', to: '2026-05-01T18:00:00Z', trips: 6 },
      elbows,
    };
    const text = baselineText(file);
    expect(text).toMatch(/^# What elbowroom learned of this boat/);
    const read = parseBaseline(text, 'baseline.yaml');
    expect(read).toEqual(file);
    const armed = settingsFromKit(kit, read).probes.filter((p) => p.baseline);
    expect(armed.map((p) => p.id)).toEqual(['port-elbow', 'starboard-elbow']);
  });

  it('after one trial nothing is armed, and it says what is lacking', () => {
    const { elbows, steps } = assess(bookAfter(1), settings, heard);
    expect(elbows['port-elbow']?.armed).toBe(false);
    expect(elbows['port-elbow']?.because.join()).toContain(`of ${tripsWanted} trips`);
    expect(steps.find((step) => step.name === 'Trips: port-elbow')?.next).toContain(
      'Make 4 more ordinary trips',
    );
  });

  it('proposes limits above what was seen, never above those of the kit, and none from a history that reached a warning', () => {
    const book = bookAfter(1);
    const notes = book.elbows.get('port-elbow');
    if (!notes) throw new Error('no notes of the port elbow');
    const proposed = (raiseWarningAt: number, raiseAlarmAt: number) => {
      const probes = settings.probes.map((probe) => ({
        ...probe,
        warning: { raiseAt: raiseWarningAt, clearAt: 30, holdS: 2 },
        alarm: { raiseAt: raiseAlarmAt, clearAt: 30, holdS: 1 },
      }));
      const limits = assess(book, { ...settings, probes }, heard).elbows['port-elbow']?.proposedLimits;
      return limits && [limits.warning.raiseAtC, limits.alarm.raiseAtC];
    };
    const roomy = Math.max(50, Math.ceil(notes.highestC + 12));
    expect(proposed(82, 93)).toEqual([roomy, roomy + 11]);
    expect(proposed(notes.highestC + 1, notes.highestC + 5)).toEqual([
      notes.highestC + 1,
      notes.highestC + 5,
    ]);
    expect(proposed(notes.highestC, 93)).toBeUndefined();
  });

  it('with no history at all nothing is fitted and every step is open', () => {
    const { elbows, unfitted, steps } = assess(new CommissionBook(settings), settings, undefined);
    expect(elbows).toEqual({});
    expect(Object.keys(unfitted)).toEqual(['port-elbow', 'starboard-elbow']);
    expect(steps.every((step) => !step.done)).toBe(true);
  });

  it('a baseline file with a wrong word is refused with its line', () => {
    expect(() => parseBaseline('baseline: 2\n', 'baseline.yaml')).toThrow(/baseline.yaml/);
  });
});
