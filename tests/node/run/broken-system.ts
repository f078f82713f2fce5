import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import net from 'node:net';

/** One operation of the system that a node asked for, in the order asked. */
export type Operation = {
  readonly name: string;
  readonly on: string;
  /** It answers later, so that it can also fail to answer at all, as on a disk that hangs. */
  readonly later: boolean;
};
/** Which operations fail: only the `n`th, or every one from there on. */
export type Breaking = {
  readonly from: number;
  readonly to: number;
  readonly code: 'EIO' | 'ENOSPC' | 'EACCES' | 'HANGS';
};

/** What takes a file handle or path and does not touch a disk by itself, or ends what was begun. */
const left =
  /^(watchFile|unwatchFile|watch|openAsBlob|createReadStream|createWriteStream|Dirent|Dir|FileReadStream|FileWriteStream|ReadStream|WriteStream|Stats|Utf8Stream|_toUnixTimestamp|globSync|glob|close|closeSync)$/;

type AnyFunction = (...args: never[]) => unknown;
type Table = Record<string, AnyFunction>;

/**
 * Sits between this process and its system: counts every file operation below a folder, every port that is opened and
 * every write to a socket, and makes those fail that a test names. By rule and not by list: whatever `node:fs` exports.
 */
export class BrokenSystem {
  readonly operations: Operation[] = [];
  private readonly folder: string;
  private readonly breaking: Breaking | undefined;
  private readonly handles = new Set<number>();
  private readonly undo: (() => void)[] = [];
  private inside = 0;

  constructor(folder: string, breaking?: Breaking) {
    this.folder = folder;
    this.breaking = breaking;
    this.intercept(fs as unknown as Table);
    this.intercept(fs.promises as unknown as Table);
    this.standPort();
    syncBuiltinESMExports();
  }

  /** What the test itself does, which is neither counted nor broken. */
  apart<T>(work: () => T): T {
    this.inside++;
    try {
      return work();
    } finally {
      this.inside--;
    }
  }

  restore(): void {
    for (const one of this.undo.splice(0)) one();
    syncBuiltinESMExports();
  }

  private replace(table: Table, name: string, by: AnyFunction): void {
    const real = table[name] as AnyFunction;
    table[name] = by;
    this.undo.push(() => {
      table[name] = real;
    });
  }

  private intercept(table: Table): void {
    for (const [name, real] of Object.entries(table)) {
      if (typeof real !== 'function' || left.test(name)) continue;
      const system = this;
      const by = function (this: unknown, ...args: unknown[]): unknown {
        const [on] = args;
        const ours =
          (typeof on === 'string' && on.startsWith(system.folder)) ||
          (typeof on === 'number' && system.handles.has(on));
        // What an operation of Node itself is made of is part of it.
        if (!ours || system.inside > 0) return (real as (...all: unknown[]) => unknown).apply(this, args);
        const done = args.at(-1);
        const later = table === (fs.promises as unknown as Table) || typeof done === 'function';
        const trouble = system.asked(name, String(on).replace(system.folder, ''), later);
        if (trouble?.code === 'HANGS')
          return table === (fs.promises as unknown as Table) ? new Promise(() => {}) : undefined;
        if (trouble && table === (fs.promises as unknown as Table)) return Promise.reject(trouble);
        if (trouble && typeof done === 'function') return void setImmediate(() => done(trouble));
        if (trouble) throw trouble;
        system.inside++;
        try {
          const result = (real as (...all: unknown[]) => unknown).apply(
            this,
            /^open(Sync)?$/.test(name) ? system.noting(args) : args,
          );
          if (name === 'openSync') system.handles.add(result as number);
          return result;
        } finally {
          system.inside--;
        }
      };
      Object.assign(by, real);
      this.replace(table, name, by as AnyFunction);
    }
  }

  /** An asynchronous `open` gives its handle to a callback. */
  private noting(args: unknown[]): unknown[] {
    const done = args.at(-1);
    if (typeof done !== 'function') return args;
    return [
      ...args.slice(0, -1),
      (error: unknown, handle: number) => {
        if (!error) this.handles.add(handle);
        done(error, handle);
      },
    ];
  }

  private standPort(): void {
    const system = this;
    const server = net.Server.prototype as unknown as Table;
    const { listen } = server as { listen: AnyFunction };
    this.replace(server, 'listen', function (this: net.Server, ...args: never[]) {
      const trouble = system.asked('listen', 'a port');
      if (!trouble) return listen.apply(this, args);
      setImmediate(() => this.emit('error', trouble));
      return this;
    } as AnyFunction);
    const socket = net.Socket.prototype as unknown as Table;
    const { write } = socket as { write: AnyFunction };
    this.replace(socket, 'write', function (this: net.Socket, ...args: never[]) {
      // The node's ends of the link, and the log.
      const fd = (this as { fd?: number }).fd;
      const ours = fd === 2 || (this as { server?: unknown }).server !== undefined;
      const trouble = ours ? system.asked('write', fd === 2 ? 'the log' : 'the link') : undefined;
      if (!trouble) return write.apply(this, args);
      if (fd === 2) throw trouble;
      this.destroy(trouble);
      return false;
    } as AnyFunction);
  }

  private asked(name: string, on: string, later = false): NodeJS.ErrnoException | undefined {
    const number = this.operations.push({ name, on, later });
    const { breaking } = this;
    if (breaking?.code === 'HANGS' && !later) return undefined;
    if (!breaking || number < breaking.from || number > breaking.to) return undefined;
    const { code } = breaking;
    return Object.assign(new Error(`${code}: made to fail, ${name} ${on}`), { code, syscall: name });
  }
}
