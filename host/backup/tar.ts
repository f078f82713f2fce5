import type { Readable } from 'node:stream';
import { RoomError } from '../../node/index.js';

/** Blocks of POSIX ustar (IEEE Std 1003.1, pax, "ustar Interchange Format"), so that any tar opens a backup. */
const blockBytes = 512;
const mostNameBytes = 100;
const mostFileBytes = 8 ** 11 - 1;

/** The header of one regular file. Throws for a name or a size that the format cannot hold. */
export const tarHeader = (name: string, bytes: number, modifiedAtMs: number): Buffer => {
  if (Buffer.byteLength(name) > mostNameBytes)
    throw new Error(`The path ${name} is longer than ${mostNameBytes} bytes. Shorten the file's name.`);
  if (bytes > mostFileBytes) throw new Error(`${name} is larger than 8 GB.`);
  const block = Buffer.alloc(blockBytes);
  const octal = (value: number, at: number, length: number) =>
    block.write(
      `${Math.floor(value)
        .toString(8)
        .padStart(length - 1, '0')}\0`,
      at,
      'ascii',
    );
  block.write(name, 0, 'utf8');
  octal(0o600, 100, 8);
  octal(0, 108, 8);
  octal(0, 116, 8);
  octal(bytes, 124, 12);
  octal(modifiedAtMs / 1000, 136, 12);
  block.write('        0', 148, 'ascii');
  block.write('ustar\0' + '00', 257, 'ascii');
  block.write(`${checksumOf(block).toString(8).padStart(6, '0')}\0 `, 148, 'ascii');
  return block;
};

/** What follows a file of this many bytes up to the next block. */
export const tarPadding = (bytes: number): Buffer =>
  Buffer.alloc((blockBytes - (bytes % blockBytes)) % blockBytes);

export const tarEnd = Buffer.alloc(2 * blockBytes);

/** The sum of all bytes, the field of the checksum itself counted as blanks. */
const checksumOf = (block: Buffer): number =>
  block.reduce((sum, byte, i) => sum + (i >= 148 && i < 156 ? 0x20 : byte), 0);

const textAt = (block: Buffer, at: number, length: number): string =>
  block
    .subarray(at, at + length)
    .toString('utf8')
    .replace(/\0.*$/s, '')
    .trim();

/** Thrown for a file that is no whole archive. */
export class ArchiveError extends RoomError {
  readonly code = 'backup-damaged';
  readonly errorCategory = 'unavailable';
}

/**
 * Reads an archive file by file: `onFile` gives where the bytes of one go, and is awaited before the next. Throws
 * `ArchiveError` where it is damaged or ends early.
 */
export const readTar = async (
  stream: Readable,
  onFile: (name: string) => Promise<{ take(bytes: Buffer): Promise<void>; end(): Promise<void> }>,
): Promise<void> => {
  const chunks = stream[Symbol.asyncIterator]() as AsyncIterator<Buffer>;
  let held: Buffer = Buffer.alloc(0);
  const upTo = async (most: number): Promise<Buffer> => {
    if (held.length === 0) {
      const next = await chunks.next();
      if (next.done) throw new ArchiveError('The backup ends early; it was not copied whole.');
      held = next.value;
    }
    const taken = held.subarray(0, most);
    held = held.subarray(taken.length);
    return taken;
  };
  const block = async (): Promise<Buffer> => {
    const parts: Buffer[] = [];
    for (let left = blockBytes; left > 0; left -= parts.at(-1)?.length ?? 0) parts.push(await upTo(left));
    return Buffer.concat(parts);
  };
  for (;;) {
    const header = await block();
    if (header.every((byte) => byte === 0)) break;
    if (
      textAt(header, 257, 5) !== 'ustar' ||
      Number.parseInt(textAt(header, 148, 8), 8) !== checksumOf(header)
    )
      throw new ArchiveError('The backup is damaged: a header does not match its checksum.');
    const bytes = Number.parseInt(textAt(header, 124, 12), 8);
    const file = await onFile(textAt(header, 0, mostNameBytes));
    for (let left = bytes; left > 0; ) {
      const taken = await upTo(left);
      left -= taken.length;
      await file.take(taken);
    }
    await file.end();
    for (let left = tarPadding(bytes).length; left > 0; ) left -= (await upTo(left)).length;
  }
  // Read to the end, so that the checksum of the compression is looked at too.
  for (let next = await chunks.next(); !next.done; next = await chunks.next());
};
