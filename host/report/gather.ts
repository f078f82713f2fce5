import { type Certificate, expandedUncertaintyAt } from '../../calibration/index.js';
import { allEngines, type EngineCard, type ProbeCard } from '../../node/index.js';
import { calibrationDue } from '../engine-health/calibration-due.js';
import type { ColdSoak } from '../engine-health/cold-soak.js';
import { type EngineHealth, healthOf, type PairHealth } from '../engine-health/health.js';
import type {
  AlertHistory,
  ClockStep,
  Envelope,
  Gap,
  HoursRun,
  KnownBoat,
  ServiceEntry,
  Span,
  Store,
} from '../store/index.js';

export type ProbeReport = {
  readonly name: string;
  readonly card: ProbeCard;
  readonly envelope: Envelope;
  readonly readings: number;
  /** Seconds in which the probe gave no temperature. */
  readonly missing: number;
  readonly minC?: number;
  readonly meanC?: number;
  readonly maxC?: number;
  readonly hottestAt?: number;
  /** From the hottest moment to the nearest limit; below zero it was passed. */
  readonly roomC?: number;
  /** What the last reading was converted with. */
  readonly certificate?: string;
};

export type AlertReport = Omit<AlertHistory, 'history'> & { readonly acknowledgedAt?: number };

type CertificateReport = {
  readonly name: string;
  readonly probe: string;
  readonly issuedAt: string;
  /** When to calibrate next, sooner than usual where it drifts. */
  readonly dueAt: number;
  readonly drifts: boolean;
  readonly points: readonly { readonly kind: string; readonly temperatureC: number }[];
  /** Expanded uncertainty, 95 %, at some temperatures. */
  readonly uncertainty: readonly { readonly temperatureC: number; readonly expandedC: number }[];
};

type EngineTrend = Pick<EngineHealth, 'engine' | 'pump' | 'effectiveness'> & { readonly learned: boolean };

export type Report = {
  readonly boat: string;
  readonly invented: boolean;
  readonly writtenAt: number;
  readonly span: Span;
  /** In the order of the kit. */
  readonly engines: readonly EngineCard[];
  readonly hours: HoursRun;
  readonly probes: readonly ProbeReport[];
  readonly alerts: readonly AlertReport[];
  readonly gaps: readonly Gap[];
  readonly clockSteps: readonly ClockStep[];
  /** Work of the last year and of the span. */
  readonly service: readonly ServiceEntry[];
  readonly trends: readonly EngineTrend[];
  readonly pairs: readonly PairHealth[];
  readonly certificates: readonly CertificateReport[];
};

/** What a kit file says of the boat, for a store that has only imports in it. */
export type BoatOfKit = {
  readonly boat: string;
  readonly engines: readonly EngineCard[];
  readonly probes: readonly ProbeCard[];
};

/** Enough for a plot of a page's width. */
const mostBuckets = 700;
const yearMs = 365 * 86_400_000;
const trendMs = 180 * 86_400_000;

/** Everything a mechanic needs of a span. Reads the store, changes nothing. */
export const gatherReport = async (
  store: Store,
  span: Span,
  given: {
    readonly nowMs: number;
    readonly certificates: readonly { readonly name: string; readonly certificate: Certificate }[];
    readonly kit?: BoatOfKit;
  },
): Promise<Report> => {
  const nodes = store.nodes();
  const boat = knownBoat(store, given.kit);
  const isAboard = ({ id }: EngineCard) => boat.engines.some((engine) => engine.id === id);
  const health = await healthOf(store, span.to - trendMs, span.to);
  return {
    boat: given.kit?.boat ?? nodes[0]?.boat ?? 'Unnamed boat',
    invented: nodes.some((n) => n.invented),
    writtenAt: given.nowMs,
    span,
    engines: boat.engines,
    hours: store.hoursRun(span, boat),
    probes: probesOf(store, boat, span),
    alerts: store.alerts(span).map(({ node, alert, raisedAt, endedAt, history }) => {
      const acknowledged = history.find((h) => h.alert.acknowledgedAt !== undefined)?.alert.acknowledgedAt;
      return {
        node,
        alert,
        raisedAt,
        ...(endedAt === undefined ? {} : { endedAt }),
        ...(acknowledged === undefined ? {} : { acknowledgedAt: acknowledged }),
      };
    }),
    gaps: store.gaps(span),
    clockSteps: store.clockSteps(span),
    service: store.service.entries({ from: span.from - yearMs, to: Math.max(span.to, given.nowMs) + 1 }),
    trends: health.engines
      .filter(({ engine }) => isAboard(engine))
      .map(({ engine, baseline, effectiveness, pump }) => ({
        engine,
        ...(pump && { pump }),
        learned: baseline !== undefined,
        effectiveness,
      })),
    pairs: health.pairs.filter(({ one, other }) => isAboard(one) && isAboard(other)),
    certificates: given.certificates.map((named) => certificateReport(named, health.coldSoaks)),
  };
};

/** Names of the probes of which the store knows neither name nor place nor limits: they came by import. */
export const namelessProbes = (store: Store, kit?: BoatOfKit): readonly string[] =>
  store
    .probes()
    .filter(({ probe, card }) => !card && !kit?.probes.some(({ id }) => id === probe))
    .map(({ name }) => name);

const knownBoat = (store: Store, kit: BoatOfKit | undefined): KnownBoat => ({
  engines: kit?.engines ?? store.engines(),
  probes: store.probes().map((stored) => {
    const { name, probe } = stored;
    const nameless = { id: probe, name, engine: allEngines, place: '', mounting: '', limits: {} };
    return { ...stored, card: kit?.probes.find(({ id }) => id === probe) ?? stored.card ?? nameless };
  }),
});

const probesOf = (store: Store, { probes }: KnownBoat, span: Span): readonly ProbeReport[] => {
  const last = new Map(
    store.lastReadings().map(({ node, row }) => [`${node} ${row.probe}`, row.certificate]),
  );
  return probes.flatMap(({ name, node, probe, card, quantity }) => {
    if (!card || quantity !== 'temperature') return [];
    const envelope = store.envelope({ probe: name, ...span, atMost: mostBuckets });
    const certificate = last.get(`${node} ${probe}`);
    return [
      {
        name,
        card,
        envelope,
        ...extremesOf(envelope, card),
        ...(certificate === undefined ? {} : { certificate }),
      },
    ];
  });
};

const extremesOf = (envelope: Envelope, { limits }: ProbeCard) => {
  const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
  const readings = sum(envelope.n);
  const missing = sum(envelope.missing);
  const known = envelope.at.flatMap((at, i) => {
    const [minC, meanC, maxC] = [envelope.minC[i], envelope.meanC[i], envelope.maxC[i]];
    return minC === undefined || meanC === undefined || maxC === undefined
      ? []
      : [{ at, minC, meanC, maxC, n: envelope.n[i] ?? 0 }];
  });
  const hottest = known.reduce<(typeof known)[number] | undefined>(
    (best, bucket) => (best && best.maxC >= bucket.maxC ? best : bucket),
    undefined,
  );
  if (!hottest) return { readings, missing };
  const raises = [limits.warning?.raiseAtC, limits.alarm?.raiseAtC].filter((t) => t !== undefined);
  return {
    readings,
    missing,
    minC: Math.min(...known.map((b) => b.minC)),
    meanC: sum(known.map((b) => b.meanC * b.n)) / readings,
    maxC: hottest.maxC,
    hottestAt: hottest.at,
    ...(raises.length === 0 ? {} : { roomC: Math.min(...raises) - hottest.maxC }),
  };
};

/** Where the alarms are, beside the fixed points. */
const shownAtC = { thermistor: [0, 75, 100], other: [100, 300, 500] } as const;

const certificateReport = (
  { name, certificate }: { readonly name: string; readonly certificate: Certificate },
  soaks: readonly ColdSoak[],
): CertificateReport => {
  const { why, dueAt = 0 } = calibrationDue(certificate.probe, certificate, soaks);
  const temperatures = certificate.sensor.kind === 'thermistor' ? shownAtC.thermistor : shownAtC.other;
  return {
    name,
    probe: certificate.probe.name,
    issuedAt: certificate.issuedAt,
    dueAt,
    drifts: why === 'drift',
    points: certificate.points.map(({ kind, temperatureC }) => ({ kind, temperatureC })),
    uncertainty: temperatures.map((temperatureC) => ({
      temperatureC,
      expandedC: expandedUncertaintyAt(certificate, temperatureC),
    })),
  };
};
