import { engineOrAll, type ProbeCard, type Quantity } from '../../../node/index.js';
import type { File } from './open-file.js';

/** Once a second always; `episode` is the full rate kept around an alert. */
export type Rate = 'second' | 'episode';

export type StoredProbe = {
  readonly id: number;
  /** Unique over all nodes: the probe's id, or node/probe where an earlier node has a probe of that id. */
  readonly name: string;
  /** Absent for imported readings until a node comes that has the probe. */
  readonly node?: string;
  readonly probe: string;
  readonly card?: ProbeCard;
  /** The quantity of its readings, for ever: a probe that measures something else needs an id of its own. */
  readonly quantity: Quantity;
};

export type Series = { readonly id: number; readonly probe: StoredProbe; readonly rate: Rate };

/** Probes, series and certificates: words outside, small numbers in the rows. */
export class Names {
  /** By number; 0 is the nominal curve. */
  certificates: string[] = [''];
  private probes: StoredProbe[] = [];
  private series = new Map<string, Series>();
  private readonly certificateIds = new Map<string, number>();
  private readonly file: File;

  constructor(file: File) {
    this.file = file;
    this.reload();
  }

  /** Reads the lists again: after a commit that failed, or because another process may have added to them. */
  reload(): void {
    const quantityOf = this.quantities();
    this.probes = (
      this.file.prepare('SELECT id, name, node, probe, card FROM probe ORDER BY id').all() as ProbeRow[]
    ).map((row) => asProbe(row, quantityOf.get(row.id) ?? 'temperature'));
    this.series.clear();
    this.certificates = [''];
    this.certificateIds.clear();
    for (const { id, name } of this.file.prepare('SELECT id, name FROM certificate').all() as {
      id: number;
      name: string;
    }[]) {
      this.certificates[id] = name;
      this.certificateIds.set(name, id);
    }
  }

  all(): readonly StoredProbe[] {
    return this.probes;
  }

  /** By the unique name; looks in the file once more before it reports it missing. */
  find(name: string): StoredProbe | undefined {
    const known = this.probes.find((p) => p.name === name);
    if (known) return known;
    this.reload();
    return this.probes.find((p) => p.name === name);
  }

  /** The probe of a node, made on first sight. A probe that was only imported so far becomes this node's. */
  ofNode(node: string, probe: string): StoredProbe {
    const known = this.probes.find((p) => p.node === node && p.probe === probe);
    if (known) return known;
    const imported = this.find(probe);
    if (imported && imported.node === undefined)
      this.file.prepare('UPDATE probe SET node = ? WHERE id = ?').run(node, imported.id);
    else this.add(imported ? `${node}/${probe}` : probe, node, probe);
    this.reload();
    return this.probes.find((p) => p.node === node && p.probe === probe) as StoredProbe;
  }

  /** The probe an imported line means; `port-elbow` or `engine-room/port-elbow`. */
  ofImport(name: string, node: string | undefined): StoredProbe {
    const known = this.find(name);
    if (known) return known;
    const slash = name.indexOf('/');
    this.add(name, node ?? (slash > 0 ? name.slice(0, slash) : null), name.slice(slash + 1));
    this.reload();
    return this.probes.find((p) => p.name === name) as StoredProbe;
  }

  /** Stores what a node reports about a probe, where it differs from what is kept. */
  setCard(probe: StoredProbe, card: ProbeCard): void {
    const text = JSON.stringify(card);
    if (probe.card && JSON.stringify(probe.card) === text) return;
    this.file.prepare('UPDATE probe SET card = ? WHERE id = ?').run(text, probe.id);
    this.reload();
  }

  /**
   * Whether readings of this quantity may be kept under this probe. The first value of a probe settles what it
   * measures; later ones of another quantity would be stored under the wrong one.
   */
  takes(probe: StoredProbe, quantity: Quantity): boolean {
    if (probe.quantity === quantity) return true;
    const has = this.file
      .prepare(
        'SELECT EXISTS (SELECT 1 FROM series s WHERE s.probe = ? AND (EXISTS (SELECT 1 FROM recent WHERE series = s.id AND milliCelsius IS NOT NULL) OR EXISTS (SELECT 1 FROM block WHERE series = s.id AND n > 0)))',
      )
      .pluck()
      .get(probe.id);
    if (has === 1) return false;
    this.file
      .prepare('INSERT INTO quantity VALUES (?, ?) ON CONFLICT DO UPDATE SET quantity = excluded.quantity')
      .run(probe.id, quantity);
    this.reload();
    return true;
  }

  /** Only quantities other than temperature are in the table; a file of the first layout has none. */
  private quantities(): ReadonlyMap<number, Quantity> {
    if (this.file.pragma('user_version', { simple: true }) === 1) return new Map();
    const rows = this.file.prepare('SELECT probe, quantity FROM quantity').all() as QuantityRow[];
    return new Map(rows.map(({ probe, quantity }) => [probe, quantity]));
  }

  seriesOf(probe: StoredProbe, rate: Rate): Series {
    return this.existingSeries(probe, rate) ?? this.addSeries(probe, rate);
  }

  existingSeries(probe: StoredProbe, rate: Rate): Series | undefined {
    const key = `${probe.id} ${rate}`;
    const known = this.series.get(key);
    if (known) return known;
    const id = this.file
      .prepare('SELECT id FROM series WHERE probe = ? AND rate = ?')
      .pluck()
      .get(probe.id, rate) as number | undefined;
    if (id === undefined) return undefined;
    const series = { id, probe, rate };
    this.series.set(key, series);
    return series;
  }

  allSeries(): readonly Series[] {
    const rates: readonly Rate[] = ['second', 'episode'];
    return this.probes.flatMap((probe) => rates.flatMap((rate) => this.existingSeries(probe, rate) ?? []));
  }

  certificateId(name: string | undefined): number {
    if (name === undefined) return 0;
    const known = this.certificateIds.get(name);
    if (known !== undefined) return known;
    this.file.prepare('INSERT OR IGNORE INTO certificate(name) VALUES (?)').run(name);
    this.reload();
    return this.certificateIds.get(name) ?? 0;
  }

  private add(name: string, node: string | null, probe: string): void {
    this.file.prepare('INSERT INTO probe(name, node, probe) VALUES (?, ?, ?)').run(name, node, probe);
  }

  private addSeries(probe: StoredProbe, rate: Rate): Series {
    this.file.prepare('INSERT OR IGNORE INTO series(probe, rate) VALUES (?, ?)').run(probe.id, rate);
    return this.existingSeries(probe, rate) as Series;
  }
}

type QuantityRow = { probe: number; quantity: Quantity };
type ProbeRow = { id: number; name: string; node: string | null; probe: string; card: string | null };

const asProbe = ({ id, name, node, probe, card }: ProbeRow, quantity: Quantity): StoredProbe => ({
  id,
  name,
  probe,
  quantity,
  ...(node !== null && { node }),
  ...(card !== null && { card: cardOf(card) }),
});

const cardOf = (text: string): ProbeCard => {
  const card = JSON.parse(text) as ProbeCard;
  return { ...card, engine: engineOrAll(card.engine) };
};
