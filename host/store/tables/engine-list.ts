import { type EngineCard, firstEngineCards } from '../../../node/index.js';
import type { File } from './open-file.js';

/** The engines that each node reported. */
export class EngineList {
  private readonly file: File;

  constructor(file: File) {
    this.file = file;
  }

  /** Call inside a transaction. */
  set(node: string, engines: readonly EngineCard[]): void {
    this.file
      .prepare('INSERT INTO engineList VALUES (?, ?) ON CONFLICT DO UPDATE SET cards = excluded.cards')
      .run(node, JSON.stringify(engines));
  }

  /** Of one node; what every node had when the kit had no list. */
  of(node: string): readonly EngineCard[] {
    const cards = this.isThere()
      ? (this.file.prepare('SELECT cards FROM engineList WHERE node = ?').pluck().get(node) as
          | string
          | undefined)
      : undefined;
    return cards === undefined ? firstEngineCards : (JSON.parse(cards) as EngineCard[]);
  }

  /** A store that is only read is not changed, so it may lack the table. */
  private isThere(): boolean {
    const query = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'engineList'";
    return this.file.prepare(query).pluck().get() === 1;
  }
}
