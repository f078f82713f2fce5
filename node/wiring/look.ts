import { median } from 'simple-statistics';
import type { BoardCounters, BoardStatus } from '../board/status.js';
import type { Fault } from '../channels/fault.js';
import { kindOf } from '../channels/table.js';
import type { Converter } from '../convert/converter.js';
import type { Kit, Probe } from '../kit/schema.js';
import type { RowValues } from '../reading/quantity.js';
import { type Measured, type ProbeId, temperatureOf } from '../reading/reading.js';
import { ReadingTally } from '../reading/reading-tally.js';
import type { Sensed } from '../sense/senses.js';
import type { MonotonicMs } from '../time/clock.js';
import { buzzerFaults } from './buzzer-faults.js';
import { diagnose } from './diagnose.js';
import { misplacedChips } from './misplaced-chips.js';
import type { ProbeLook } from './probe-look.js';
import { ProbeWindow } from './probe-window.js';

export type WiringLook = {
  readonly board: Pick<BoardStatus, 'state' | 'detail' | 'firmware' | 'port' | 'trouble'>;
  readonly engines: readonly { readonly id: string; readonly name: string }[];
  readonly running: Sensed['running'];
  readonly referencePin: Sensed['referencePin'];
  /** The buzzer's current, mA, where the kit reads it back. */
  readonly buzzerMilliamps?: number;
  readonly probes: readonly ProbeLook[];
  /** Faults of no single probe: the board, the link, the supply. */
  readonly faults: readonly Fault[];
};

/** Looks at a kit's wiring over the last seconds. Fed with what was sensed, live or from a recording. */
export class WiringView {
  private readonly kit: Kit;
  private readonly converters: ReadonlyMap<ProbeId, Converter>;
  private readonly windows: ReadonlyMap<ProbeId, ProbeWindow>;
  private readonly tally = new ReadingTally();
  private last: Sensed | undefined;
  private refusedBefore = 0;
  private connectedSinceMs: MonotonicMs | undefined;
  private refusedRecently = 0;
  private buzzerMilliamps: number | undefined;

  constructor(kit: Kit, converters: ReadonlyMap<ProbeId, Converter>) {
    this.kit = kit;
    this.converters = converters;
    this.windows = new Map(kit.probes.map(({ id }) => [id, new ProbeWindow()]));
  }

  take(sensed: Sensed): void {
    this.last = sensed;
    this.buzzerMilliamps = sensed.buzzerMilliamps ?? this.buzzerMilliamps;
    const latestC = new Map<ProbeId, number>();
    for (const sampled of sensed.sampled) {
      const converter = this.converters.get(sampled.probe);
      const coldJunction = converter?.coldJunction;
      const coldJunctionC =
        coldJunction === undefined
          ? undefined
          : (latestC.get(coldJunction) ?? this.windows.get(coldJunction)?.meanC);
      const reading = converter?.convert(sampled, coldJunctionC);
      if (!reading) continue;
      const temperatureC = temperatureOf(reading);
      if (temperatureC !== undefined) latestC.set(sampled.probe, temperatureC);
      this.tally.add(reading);
      this.windows.get(sampled.probe)?.add(sampled, reading);
    }
  }

  /** `unexpected` are chips that answer where the kit has none, by address. */
  look(
    board: BoardStatus,
    counters?: BoardCounters,
    unexpected: ReadonlyMap<number, string> = new Map(),
  ): WiringLook {
    this.countRefused(board, counters?.refused ?? 0);
    const nowMs = this.last?.atMs ?? (0 as MonotonicMs);
    const coldBoatC = this.coldBoatC();
    const around = { nowMs, ...(coldBoatC !== undefined && { coldBoatC }) };
    const probes = this.kit.probes.map((probe) => this.lookAt(probe, around));
    const { state, detail, firmware, port, trouble } = board;
    return {
      board: {
        state,
        detail,
        ...(firmware && { firmware }),
        ...(port && { port }),
        ...(trouble && { trouble }),
      },
      engines: this.kit.engines.map(({ id, name }) => ({ id, name })),
      running: this.last?.running ?? {},
      referencePin: this.last?.referencePin ?? 'none',
      ...(this.buzzerMilliamps !== undefined && { buzzerMilliamps: this.buzzerMilliamps }),
      probes,
      faults: [...this.faultsOfAll(board, probes), ...misplacedChips(this.kit, probes, unexpected)],
    };
  }

  /** What a board sends while it resets and before the handshake is no sign of a bad cable. */
  private countRefused({ state, sinceMs }: BoardStatus, refused: number): void {
    if (state !== 'connected') this.connectedSinceMs = undefined;
    else if (this.connectedSinceMs === sinceMs)
      this.refusedRecently = Math.max(this.refusedRecently, refused - this.refusedBefore);
    else this.connectedSinceMs = sinceMs;
    this.refusedBefore = refused;
  }

  private lookAt(probe: Probe, around: { nowMs: MonotonicMs; coldBoatC?: number }): ProbeLook {
    const window = this.windows.get(probe.id) ?? new ProbeWindow();
    const { sampled, reading } = window.last ?? {};
    const sample = sampled?.sample;
    const signal = reading?.signal;
    const { noiseC } = window;
    const kind = kindOf(probe.channel);
    return {
      probe: probe.id,
      name: probe.name,
      input: kind.inputName(probe.channel),
      ...(sample?.kind === 'counts' && {
        counts: sample.counts,
        fullScale: sample.fullScale,
        volts: (sample.counts / sample.fullScale) * kind.supplyVolts(probe.channel),
      }),
      ...(sample?.kind === 'volts' && { volts: sample.volts }),
      ...(signal?.rawUnit === 'ohm' && { ohms: signal.raw }),
      ...(signal?.rawUnit === 'microvolt' && { microvolts: signal.raw }),
      ...(signal?.coldJunctionC !== undefined && { coldJunctionC: signal.coldJunctionC }),
      ...(reading?.result.kind === 'measured' && valuesOf(reading.result)),
      ...(noiseC !== undefined && { noiseC }),
      readingsPerS: window.goodPerS,
      counted: this.tally.of(probe.id),
      quality: window.quality ?? 'nothing-yet',
      ...(reading?.certificate && { certificate: reading.certificate }),
      faults: diagnose(probe, window, around),
    };
  }

  /**
   * What everything aboard should read when no engine has run for hours: the median, where no exhaust is warm and no
   * running input says otherwise. A wrong resistor only shows against this.
   */
  private coldBoatC(): number | undefined {
    if (Object.values(this.last?.running ?? {}).some(Boolean)) return undefined;
    const gas = this.kit.probes.filter(({ place }) => place === 'dry-exhaust' || place === 'before-turbo');
    const terminals = gas.flatMap(({ id }) => {
      const reading = this.windows.get(id)?.last?.reading;
      const coldC = reading?.signal?.coldJunctionC;
      const temperatureC = reading && temperatureOf(reading);
      return temperatureC !== undefined && coldC !== undefined
        ? [{ coldC, aboveC: temperatureC - coldC }]
        : [];
    });
    if (terminals.length === 0 || terminals.some(({ aboveC }) => Math.abs(aboveC) > 12)) return undefined;
    return median(terminals.map(({ coldC }) => coldC));
  }

  private faultsOfAll(board: BoardStatus, probes: readonly ProbeLook[]): Fault[] {
    const faults: Fault[] = [];
    if (board.state !== 'connected')
      faults.push({ fault: board.trouble ?? board.state, message: board.detail, check: boardCheck });
    if (this.refusedRecently > 0)
      faults.push({
        fault: 'garbled-link',
        message: `${this.refusedRecently} messages or stray bytes from the board made no sense and were refused.`,
        check: 'Use a short, shielded USB cable away from the alternator, starter and inverter leads.',
      });
    if (this.last?.referencePin === 'off')
      faults.push({
        fault: 'canary-astray',
        message: 'The reference pin is not at its known voltage: what the board converts cannot be believed.',
        check: 'Measure 5 V at the board under load, and the two resistors of the reference pin.',
      });
    faults.push(...buzzerFaults(this.kit, this.buzzerMilliamps));
    const onBoard = this.kit.probes.filter(({ channel }) => 'pin' in channel).map(({ id }) => id);
    const ofBoard = probes.filter(({ probe }) => onBoard.includes(probe));
    if (ofBoard.length > 1 && ofBoard.every(({ quality }) => quality === 'stale'))
      faults.push({
        fault: 'sampling-stopped',
        message:
          'The board answers, but none of its analogue inputs reports any more: its sampling has stopped.',
        check: 'Reset the board. If it happens again, flash the stock firmware again: elbowroom flash',
      });
    const dividers = probes.filter((look) =>
      this.kit.probes.some((p) => p.id === look.probe && kindOf(p.channel).circuit === 'divider'),
    );
    const sameWay = new Set(dividers.map(({ quality }) => quality));
    if (dividers.length > 1 && sameWay.size === 1 && (sameWay.has('open') || sameWay.has('short')))
      faults.push({
        fault: 'all-dividers',
        message: `All ${dividers.length} thermistor dividers fail the same way, so it is hardly the probes.`,
        check:
          'Check what they share: their 5 V supply, their ground, and resistorOhms and thermistorSide in the kit file.',
      });
    return faults;
  }
}

const valuesOf = ({ kind: _, quantity: __, ...values }: Measured): RowValues => values;

const boardCheck =
  'Check the USB cable and its port, then: elbowroom flash puts the stock firmware on the board.';
