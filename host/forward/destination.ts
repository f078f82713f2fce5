import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import { z } from 'zod';
import { RoomError } from '../../node/index.js';

/** The settings of the forwarder cannot be used; the message says where and what to do. */
export class ForwardError extends RoomError {
  readonly code = 'forward-settings';
  readonly errorCategory = 'usage';
}

const schema = z.strictObject({
  url: z.url({ protocol: /^https?$/ }),
  org: z.string().min(1),
  bucket: z.string().min(1),
  /** Tag that separates this boat's readings from those of others on the same server. */
  boat: z.string().min(1).max(80),
  /** A file that holds only the access token, which is stored only there. */
  tokenFile: z.string().optional(),
});

/** A time-series server that takes the InfluxDB v2 line protocol. */
export type Destination = z.infer<typeof schema>;

const pathIn = (dataDir: string): string => join(dataDir, 'forward.json');

/** The path of the write call in the open v2 write protocol; the client library adds it by itself. */
const writePath = '/api/v2/write';

/**
 * A destination's address in parts: `http://host:8428`, or with the whole write path,
 * `http://host:8086/api/v2/write?org=boats&bucket=season`. Where the query is left out both are `elbowroom`, which servers
 * that keep one store ignore. Throws `ForwardError` for what is no address.
 */
export const writeAddress = (to: string): Pick<Destination, 'url' | 'org' | 'bucket'> => {
  if (!URL.canParse(to) || !/^https?:$/.test(new URL(to).protocol))
    throw new ForwardError(
      `"${to}" is not the address of a server. Give it with its scheme, such as http://${to.replace(/^[a-z+]*:\/\//i, '')}`,
    );
  const { origin, pathname, searchParams } = new URL(to);
  const path = pathname.endsWith(writePath) ? pathname.slice(0, -writePath.length) : pathname;
  return {
    url: origin + path.replace(/\/$/, ''),
    org: searchParams.get('org') ?? 'elbowroom',
    bucket: searchParams.get('bucket') ?? 'elbowroom',
  };
};

/** What the cursor is kept under: another bucket is another server. */
export const destinationId = ({ url, org, bucket }: Destination): string => `${url} ${org}/${bucket}`;

/** Where the readings go, or undefined when no server is set. Throws `ForwardError` for a file that cannot be used. */
export const readDestination = (dataDir: string): Destination | undefined => {
  const path = pathIn(dataDir);
  if (!existsSync(path)) return undefined;
  let value: unknown;
  try {
    value = JSON.parse(readFileSync(path, 'utf8'));
  } catch (cause) {
    throw new ForwardError(
      `${path} is not JSON (${cause instanceof Error ? cause.message : cause}). Write it again with: elbowroom forward --to URL --boat NAME`,
    );
  }
  return checkDestination(value, path);
};

/** Throws `ForwardError`. */
export const checkDestination = (value: unknown, where: string): Destination => {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const first = parsed.error.issues[0];
  throw new ForwardError(`${where}: ${first?.path.join('.') || 'destination'}: ${first?.message}.`);
};

export const writeDestination = (dataDir: string, destination: Destination): string => {
  const path = pathIn(dataDir);
  writeFileAtomic(path, `${JSON.stringify(destination, null, 2)}\n`);
  return path;
};

/** Throws `ForwardError` when the token file cannot be read. A server without tokens needs none. */
export const tokenOf = ({ tokenFile }: Destination): string | undefined => {
  if (tokenFile === undefined) return undefined;
  try {
    return readFileSync(tokenFile, 'utf8').trim();
  } catch (cause) {
    throw new ForwardError(
      `Cannot read the token file ${tokenFile} (${cause instanceof Error ? cause.message : cause}). Put the server's write token there, readable by you alone.`,
    );
  }
};
