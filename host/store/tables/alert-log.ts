import type { AlertRow } from '../../../node/index.js';
import type { File } from './open-file.js';

export type AlertChange = { readonly at: number; readonly alert: AlertRow };

/** One alert from its raising to its end, with every change in between. */
export type AlertHistory = {
  readonly node: string;
  /** As it was last seen. */
  readonly alert: AlertRow;
  readonly raisedAt: number;
  /** When its condition ended, whether or not anybody has acknowledged it yet; absent while it lasts. */
  readonly endedAt?: number;
  readonly history: readonly AlertChange[];
};

type Active = { readonly id: number; readonly text: string };

/** When the condition of a row ended; undefined while it lasts, or where the node no longer says. */
const overAt = ({ state, rectifiedAt }: AlertRow): number | undefined =>
  state === 'rectified' ? rectifiedAt : undefined;
const rowOf = (active: Active): AlertRow => JSON.parse(active.text) as AlertRow;

/**
 * Stores the alerts that each node reported. A node always lists all that are active or in view, so an absent one has
 * ended. An alert that was over and is active again is another event, and another record, also where no one had
 * acknowledged the first.
 */
export class AlertLog {
  private readonly file: File;
  /** By node, then alert id: what is active according to the file. */
  private active = new Map<string, Map<string, Active>>();

  constructor(file: File) {
    this.file = file;
    this.reload();
  }

  /** Reads again what is active: at the start, and after a commit that failed. */
  reload(): void {
    this.active = new Map();
    const rows = this.file
      .prepare(
        `SELECT id, node, alertId, (SELECT row FROM alertChange WHERE alert = id ORDER BY at DESC LIMIT 1) AS text
         FROM alert WHERE endedAt IS NULL`,
      )
      .all() as { id: number; node: string; alertId: string; text: string }[];
    for (const { id, node, alertId, text } of rows) this.ofNode(node).set(alertId, { id, text });
  }

  /** Takes the whole list of a node. Call inside a transaction. */
  take(node: string, at: number, alerts: readonly AlertRow[]): void {
    const before = this.ofNode(node);
    for (const alert of alerts) this.note(node, at, alert, before);
    const active = new Set(alerts.map((alert) => alert.id));
    for (const [alertId, known] of before)
      if (!active.has(alertId)) {
        this.end(known, at);
        before.delete(alertId);
      }
  }

  /** Ended when its condition ended; `at` is only for one that a node no longer lists. */
  private end(known: Active, at: number): void {
    this.file.prepare('UPDATE alert SET endedAt = ? WHERE id = ?').run(overAt(rowOf(known)) ?? at, known.id);
  }

  /** Keeps a whole history at once, such as an invented one. Call inside a transaction. */
  addHistory({ node, alert, raisedAt, endedAt, history }: AlertHistory): void {
    const id = this.insert(node, alert.id, raisedAt, endedAt ?? null);
    for (const change of history) this.change(id, change.at, JSON.stringify(change.alert));
    if (history.at(-1)?.alert !== alert) this.change(id, endedAt ?? raisedAt, JSON.stringify(alert));
    if (endedAt === undefined) this.reload();
  }

  activeOf(node: string): readonly AlertRow[] {
    return [...this.ofNode(node).values()].map(({ text }) => JSON.parse(text) as AlertRow);
  }

  /** Alerts that were active at any moment of the span, newest first. */
  between(from: number, to: number): readonly AlertHistory[] {
    const rows = this.file
      .prepare(
        `SELECT id, node, raisedAt, endedAt FROM alert
         WHERE raisedAt < ? AND (endedAt IS NULL OR endedAt >= ?) ORDER BY raisedAt DESC, id DESC`,
      )
      .all(to, from) as { id: number; node: string; raisedAt: number; endedAt: number | null }[];
    const changes = this.file.prepare('SELECT at, row FROM alertChange WHERE alert = ? ORDER BY at');
    return rows.map(({ id, node, raisedAt, endedAt }) => {
      const history = (changes.all(id) as { at: number; row: string }[]).map(({ at, row }) => ({
        at,
        alert: JSON.parse(row) as AlertRow,
      }));
      const alert = history.at(-1)?.alert as AlertRow;
      const ended = endedAt ?? overAt(alert);
      return { node, alert, raisedAt, ...(ended !== undefined && { endedAt: ended }), history };
    });
  }

  private note(node: string, at: number, alert: AlertRow, before: Map<string, Active>): void {
    const text = JSON.stringify(alert);
    let known = before.get(alert.id);
    if (known?.text === text) return;
    if (known && overAt(rowOf(known)) !== undefined && alert.state !== 'rectified') {
      this.end(known, at);
      known = undefined;
    }
    const id = known?.id ?? this.insert(node, alert.id, alert.since, null);
    this.change(id, at, text);
    before.set(alert.id, { id, text });
  }

  private insert(node: string, alertId: string, raisedAt: number, endedAt: number | null): number {
    return Number(
      this.file
        .prepare('INSERT INTO alert(node, alertId, raisedAt, endedAt) VALUES (?, ?, ?, ?)')
        .run(node, alertId, raisedAt, endedAt).lastInsertRowid,
    );
  }

  private change(alert: number, at: number, text: string): void {
    this.file.prepare('INSERT OR REPLACE INTO alertChange VALUES (?, ?, ?)').run(alert, at, text);
  }

  private ofNode(node: string): Map<string, Active> {
    const known = this.active.get(node);
    if (known) return known;
    const fresh = new Map<string, Active>();
    this.active.set(node, fresh);
    return fresh;
  }
}
