import { z } from 'zod';
import { toleranceClass } from '../../calibration/index.js';
import { alikeSchema, enginesOf, engineTroubles, plannedEngines, slug } from '../../node/index.js';
import { celsiusOrTyped, metresOrTyped, squareMmOrTyped } from '../wording/typed-units.js';
import { runningSources } from './sketch/outputs-and-inputs.js';

const share = z.number().min(0).max(20);

/** Rubber exhaust hose bears 100 to 121 C (common practice, no source); below 25 C a summer's day would alarm. */
const elbowLimit = celsiusOrTyped(
  z
    .number()
    .min(25)
    .max(121, 'above what exhaust hose bears, 121 C; if that was Fahrenheit, write its unit: 167 F'),
);

const limitPair = z
  .strictObject({ warnAtC: elbowLimit, alarmAtC: elbowLimit })
  .refine((l) => l.warnAtC < l.alarmAtC, { message: 'warnAtC must be below alarmAtC', path: ['warnAtC'] });

/** What the owner says before a part is bought. Everything but the boat's name has a usual answer. */
export const answersSchema = z
  .strictObject({
    /** Version of this file's layout. */
    plan: z.literal(1),
    boat: z.string().min(1).max(60),
    /** In the order of every screen. */
    engines: plannedEngines.default([{ id: 'main-engine', name: 'Main engine', kind: 'propulsion' }]),
    /** Engines to compare with each other; all propulsion engines unless said otherwise. */
    alike: alikeSchema,
    /** Where a boat has two boards, each has its own plan, node name and link. */
    node: slug.default('engine-room'),
    linkPort: z.number().int().min(1).max(65_535).default(8472),
    board: z.enum(['uno', 'nano', 'mega']).default('uno'),
    supplyVolts: z.number().min(3).max(5.5).default(5),
    thermistor: z
      .strictObject({
        r25Ohms: z.number().min(1000).max(200_000).default(10_000),
        betaK: z.number().min(2500).max(5000).default(3977),
        r25TolerancePercent: share.default(1),
        betaTolerancePercent: share.default(0.75),
      })
      .default({ r25Ohms: 10_000, betaK: 3977, r25TolerancePercent: 1, betaTolerancePercent: 0.75 }),
    /** In place of the thermistors, always on an ADS1115: its steps are too small for the board's ten bits. */
    platinum: z
      .strictObject({
        r0Ohms: z.union([z.literal(100), z.literal(500), z.literal(1000)]).default(1000),
        grade: z.enum(['AA', 'A', 'B']).default('B'),
      })
      .optional(),
    wetElbow: z
      .strictObject({
        mounting: z.enum(['strap-on', 'well']).default('strap-on'),
        /** A second probe on each elbow: either one guards while the other is at fault. */
        second: z.enum(['strap-on', 'well']).optional(),
        limits: limitPair.default({ warnAtC: 68, alarmAtC: 75 }),
      })
      .default({ mounting: 'strap-on', limits: { warnAtC: 68, alarmAtC: 75 } }),
    exhaustGas: z
      .strictObject({
        amplifier: z.enum(['mcp9601', 'ad8495', 'none']).default('mcp9601'),
        wireClass: toleranceClass.default('iec-1'),
        warnAtC: celsiusOrTyped(z.number().min(100).max(900)).default(480),
        /** A second thermocouple before the turbocharger. */
        beforeTurbo: z.boolean().default(false),
        beforeTurboWarnAtC: celsiusOrTyped(z.number().min(100).max(1000)).default(620),
      })
      .default({
        amplifier: 'mcp9601',
        wireClass: 'iec-1',
        warnAtC: 480,
        beforeTurbo: false,
        beforeTurboWarnAtC: 620,
      }),
    /** Where thermistors are read: auto takes the board's converter and an ADS1115 only where it must. */
    converter: z.enum(['auto', 'board', 'ads1115']).default('auto'),
    seaWaterProbe: z.boolean().default(true),
    engineRoomProbe: z.boolean().default(true),
    /** One opto-coupler per engine: separates a stopped engine from an idling one without water. */
    runningInputs: z.boolean().default(true),
    /** A pressure transducer behind each raw-water pump: it sees the water itself. */
    rawWaterPressure: z.boolean().default(false),
    /** What lights it. All but the ignition show that the engine turns. */
    runningSource: z.enum(runningSources).default('oil-pressure'),
    ratedKw: z.number().min(1).max(2000).optional(),
    cable: z
      .strictObject({
        /** From the board to the farthest probe, one way. */
        metres: metresOrTyped(z.number().min(0.2).max(50)).default(4),
        squareMm: squareMmOrTyped(z.number().min(0.1).max(2.5)).default(0.5),
      })
      .default({ metres: 4, squareMm: 0.5 }),
    /** Reads the buzzer's current back: what it takes by its data sheet. The circuit carries 100 mA at most. */
    buzzerMilliamps: z.number().min(5).max(100).optional(),
    sampleHz: z.number().min(1).max(10).default(10),
  })
  .superRefine(({ engines, alike, platinum, converter }, context) => {
    if (platinum && converter === 'board')
      context.addIssue({
        code: 'custom',
        path: ['converter'],
        message: 'a platinum element is read over an ADS1115; write converter: auto',
      });
    for (const { path, message } of engineTroubles(enginesOf(engines, alike), {}))
      context.addIssue({ code: 'custom', path: [...path], message });
  });

export type PlanAnswers = z.infer<typeof answersSchema>;
