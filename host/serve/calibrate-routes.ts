import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import {
  type Bath,
  boilingBath,
  iceBath,
  pressureTyped,
  referenceBath,
  referenceStandardUncertaintyC,
  ThermometryError,
  usualRules,
} from '../../calibration/index.js';
import { type Clock, type Kit, loadKit } from '../../node/index.js';
import { certificatesInForce } from '../calibrate/certificate-files.js';
import { certificateFolder, Desk, KitChangedError } from '../calibrate/desk.js';
import type { Found } from '../calibrate/found.js';
import { type GuardBand, guardBandOf } from '../calibrate/guard-lines.js';
import { type InKit, type Issued, nameInKit } from '../calibrate/issue-certificates.js';
import { inputOf, NotAThermometerError } from '../calibrate/probe-inputs.js';
import type { KitKeeper } from '../kit-file/kit-keeper.js';
import type { LiveSource } from '../live/live-source.js';
import { metresTyped } from '../wording/typed-units.js';

type Options = {
  readonly keeper: KitKeeper;
  readonly live: LiveSource;
  readonly clock: Clock;
};

const started = z.strictObject({
  probes: z.array(z.string()).min(1).max(32),
  wire: z.enum(['iec-1', 'iec-2', 'astm-special', 'astm-standard']).default('iec-2'),
  /** When a probe counts as settled; the same rules and the same usual values as on the command line. */
  settling: z
    .strictObject({ holdS: z.number().min(5).max(600), trendCPerMin: z.number().min(0.01).max(5) })
    .default(usualRules),
});
const celsius = z.number().min(-40).max(300);
/** As on the command line: a pressure is text, because its unit belongs to it; an altitude is metres or text such as `980 ft`. */
const bathAsked = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('ice'), made: z.enum(['kitchen', 'packed']).default('kitchen') }),
  z.strictObject({
    kind: z.literal('boiling'),
    barometer: z.string().max(40).optional(),
    report: z.string().max(40).optional(),
    altitudeM: z.union([z.number(), z.string().max(40)]),
  }),
  z.strictObject({
    kind: z.literal('reference'),
    temperatureC: celsius,
    thermometer: z.union([
      z.strictObject({ standardUncertaintyC: z.number().min(0.001).max(5) }),
      z.strictObject({
        certificate: z.string().trim().min(1).max(80),
        calibratedOn: z.iso.date(),
        expandedUncertaintyC: z.number().positive().max(10),
        coverageFactor: z.number().min(1).max(5),
        driftCPerYear: z.number().min(0).max(10),
      }),
    ]),
  }),
]);
const certificateNameShape = /^[a-z][a-z0-9-]{0,39}@\d{1,5}$/;

/** Answer of `/api/guard-band`. */
export type BandAnswer = { readonly band: GuardBand | null };

export type Finished = InKit & {
  readonly issued: readonly (Omit<Issued, 'certificate'> & { readonly found: readonly Found[] })[];
};

/** The guided calibration and the certificates that lie beside the kit. The answer stops listening to the readings. */
export const calibrateRoutes = async (
  app: FastifyInstance,
  { keeper, live, clock }: Options,
): Promise<() => void> => {
  const { kitPath } = keeper;
  const folder = certificateFolder(dirname(kitPath));
  const desk = new Desk(folder, clock);
  let lastProbes: Kit['probes'] = [];
  let node: string | undefined;
  /** As the kit file has them, or had them last: a file that broke since must not cost the certificates. */
  const kitProbes = (): Kit['probes'] => {
    try {
      ({ probes: lastProbes, node } = loadKit(kitPath));
    } catch {
      // What is wrong with the file is said when the certificates are to be named in it.
    }
    return lastProbes;
  };
  kitProbes();
  // Two boards may have a probe of one id, such as sea-water: only that of this kit is in the bath.
  const isOfThisKit = (from: string) => from === node || !live.nodes().some((known) => known.node === node);
  const stop = live.on((from, message) => {
    if (message.kind === 'readings' && message.rate === 'second' && isOfThisKit(from))
      desk.hear(message.rows);
  });

  let inForce: Awaited<ReturnType<typeof certificatesInForce>> = {};
  const state = () => desk.state(inForce);
  app.get('/api/calibration', state);

  app.post('/api/calibration/start', async (request) => {
    const { probes, wire, settling } = started.parse(request.body);
    const chosen = loadKit(kitPath).probes.filter((probe) => probes.includes(probe.id));
    const unknown = probes.find((id) => !chosen.some((probe) => probe.id === id));
    if (unknown !== undefined) throw new NotAThermometerError(`The kit has no probe ${unknown}.`);
    await desk.start(Object.fromEntries(chosen.map((probe) => [probe.id, inputOf(probe, wire)])), settling);
    return state();
  });
  app.post('/api/calibration/bath', async (request) => {
    const asked = bathAsked.parse(request.body);
    const today = new Date(clock.wallMs()).toISOString();
    inForce = await certificatesInForce(kitProbes(), dirname(kitPath));
    await desk.begin(kitProbes(), (number) => bathOf(asked, number, today));
    return state();
  });
  app.post('/api/calibration/take', async () => {
    await desk.take();
    return state();
  });
  app.post('/api/calibration/leave', async () => {
    await desk.leave();
    return state();
  });
  app.post('/api/calibration/finish', async (): Promise<Finished> => {
    const issued = await desk.finish(kitProbes());
    const inKit = await nameInKit(issued, keeper);
    return { issued: issued.map(({ certificate: _, ...shown }) => shown), ...inKit };
  });

  /** Null for a probe without a certificate. */
  app.get<{ Querystring: { probe?: string } }>('/api/guard-band', async ({ query }): Promise<BandAnswer> => {
    const probes = kitProbes().filter(({ id }) => id === query.probe);
    const found = (await certificatesInForce(probes, dirname(kitPath)))[query.probe ?? ''];
    return { band: found ? guardBandOf(found) : null };
  });

  app.get('/api/certificates', () => {
    try {
      return readdirSync(folder)
        .filter((name) => name.endsWith('.json'))
        .map((name) => name.slice(0, -'.json'.length))
        .filter((name) => certificateNameShape.test(name))
        .sort();
    } catch {
      return [];
    }
  });
  app.get<{ Params: { name: string; form: string } }>('/api/certificates/:name/:form', (request, reply) => {
    const { name, form } = request.params;
    const type = form === 'text' ? 'txt' : form === 'picture' ? 'svg' : undefined;
    if (!type || !certificateNameShape.test(name))
      return reply
        .code(404)
        .send({ error: 'no-certificate', message: `There is no certificate ${name} as ${form}.` });
    try {
      const body = readFileSync(join(folder, `${name}.${type}`), 'utf8');
      return reply.type(type === 'svg' ? 'image/svg+xml' : 'text/plain; charset=utf-8').send(body);
    } catch {
      return reply
        .code(404)
        .send({ error: 'no-certificate', message: `There is no certificate ${name} in ${folder}.` });
    }
  });
  return stop;
};

const names = { barometer: 'Barometer', report: 'Weather report', altitude: 'the altitude' } as const;

const bathOf = (asked: z.infer<typeof bathAsked>, number: number, today: string): Bath => {
  switch (asked.kind) {
    case 'ice':
      return iceBath(number, asked.made);
    case 'boiling': {
      const altitudeM = altitudeOf(asked.altitudeM);
      return boilingBath(
        pressureTyped({ ...asked, altitudeM }, names) ?? { from: 'altitude', altitudeM },
        number,
      );
    }
    case 'reference': {
      const { thermometer, temperatureC } = asked;
      if ('standardUncertaintyC' in thermometer)
        return referenceBath(temperatureC, thermometer.standardUncertaintyC, number);
      const u = referenceStandardUncertaintyC(thermometer, today);
      return referenceBath(temperatureC, u, number, thermometer);
    }
  }
};

/** Metres of `300` or `980 ft`, between the lowest shore and the highest lake with boats. */
const altitudeOf = (asked: number | string): number => {
  const altitudeM = metresTyped(String(asked));
  if (altitudeM === undefined)
    throw new ThermometryError(
      'not-physical',
      `Altitude: "${asked}" is no height. Write it like 3 or 980ft.`,
    );
  if (altitudeM >= -450 && altitudeM <= 5000) return altitudeM;
  throw new ThermometryError('not-physical', `Altitude: no boat floats at ${altitudeM} m.`);
};

/** For the page's own error answer: a mistake of the person in a calibration. */
export const isBadRequest = (error: unknown): boolean =>
  [z.ZodError, ThermometryError, NotAThermometerError, KitChangedError].some((kind) => error instanceof kind);
