import { dirname } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { ThermometryError, toleranceClass, usualRules } from '../../calibration/index.js';
import { type Clock, type Kit, loadKit } from '../../node/index.js';
import { certificatesInForce } from '../calibrate/certificate-files.js';
import { certificateFolder, Desk, KitChangedError } from '../calibrate/desk.js';
import type { Found } from '../calibrate/found.js';
import { type GuardBand, guardBandOf } from '../calibrate/guard-lines.js';
import { type InKit, type Issued, nameInKit } from '../calibrate/issue-certificates.js';
import { inputOf, NotAThermometerError } from '../calibrate/probe-inputs.js';
import type { KitKeeper } from '../kit-file/kit-keeper.js';
import type { LiveSource } from '../live/live-source.js';
import { bathOf, bathRequest } from './bath-request.js';
import { certificateRoutes } from './certificate-routes.js';

type Options = {
  readonly keeper: KitKeeper;
  readonly live: LiveSource;
  readonly clock: Clock;
};

const started = z.strictObject({
  probes: z.array(z.string()).min(1).max(32),
  wire: toleranceClass.default('iec-2'),
  /** When a probe counts as settled; the same rules and the same usual values as on the command line. */
  settling: z
    .strictObject({ holdS: z.number().min(5).max(600), trendCPerMin: z.number().min(0.01).max(5) })
    .default(usualRules),
});
/** Answer of `/api/guard-band`. */
export type BandAnswer = { readonly band: GuardBand | null };

export type Finished = InKit & {
  readonly issued: readonly (Omit<Issued, 'certificate'> & { readonly found: readonly Found[] })[];
};

/** The guided calibration. What it returns stops listening to the readings. */
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
      // What is wrong with the file is reported when the certificates are written into it.
    }
    return lastProbes;
  };
  kitProbes();
  // Two boards may have a probe of one id, such as sea-water: only that of this kit is in the bath.
  const isOfThisKit = (from: string) => from === node || !live.nodes().some((known) => known.node === node);
  const stop = live.on((from, message) => {
    if (message.kind === 'readings' && message.rate === 'second' && isOfThisKit(from))
      desk.receive(message.rows);
  });

  await certificateRoutes(app, folder);

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
    const requested = bathRequest.parse(request.body);
    const today = new Date(clock.wallMs()).toISOString();
    inForce = await certificatesInForce(kitProbes(), dirname(kitPath));
    await desk.begin(kitProbes(), (number) => bathOf(requested, number, today));
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

  return stop;
};

/** For the page's own error answer: a mistake of the person in a calibration. */
export const isBadRequest = (error: unknown): boolean =>
  [z.ZodError, ThermometryError, NotAThermometerError, KitChangedError].some((kind) => error instanceof kind);
