import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gunzipSync } from 'node:zlib';

/** How the stand-in treats one request; `take` keeps the lines. */
export type Manner =
  | { readonly kind: 'take' }
  | { readonly kind: 'status'; readonly code: number; readonly headers?: Record<string, string> }
  /** Keeps the lines, and drops the connection in the middle of its answer. */
  | { readonly kind: 'half-answer' }
  | { readonly kind: 'hang' };

/**
 * A server of the InfluxDB v2 write interface for the answers that a real one never gives on request. It refuses a
 * whole request when one line in it is bad, as the interface says.
 */
export class StrictServer {
  readonly lines = new Map<string, number>();
  requests = 0;
  /** Longest body it takes, in bytes; 413 above. */
  mostBytes = Number.MAX_SAFE_INTEGER;
  isBad: (line: string) => boolean = () => false;
  /** One for each request to come; `take` when there is none left. */
  readonly manners: Manner[] = [];
  private readonly server = createServer((request, response) => void this.serve(request, response));

  async start(): Promise<string> {
    await new Promise<void>((resolve) => this.server.listen(0, '127.0.0.1', resolve));
    return `http://127.0.0.1:${(this.server.address() as AddressInfo).port}`;
  }

  stop(): void {
    this.server.closeAllConnections();
    this.server.close();
  }

  private async serve(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const chunks: Buffer[] = [];
    for await (const chunk of request) chunks.push(chunk as Buffer);
    // A client that gave up has sent a part of a line.
    if (!request.complete) return;
    this.requests++;
    const manner = this.manners.shift() ?? { kind: 'take' };
    if (manner.kind === 'hang') return;
    if (manner.kind === 'status') {
      response.writeHead(manner.code, manner.headers).end('{"message":"as asked"}');
      return;
    }
    const body = Buffer.concat(chunks);
    const text = (request.headers['content-encoding'] === 'gzip' ? gunzipSync(body) : body).toString();
    if (text.length > this.mostBytes) response.writeHead(413).end('{"message":"too large"}');
    else if (text.split('\n').some(this.isBad)) response.writeHead(400).end('{"message":"unable to parse"}');
    else {
      for (const line of text.split('\n')) this.lines.set(line, (this.lines.get(line) ?? 0) + 1);
      if (manner.kind === 'take') response.writeHead(204).end();
      else {
        response.writeHead(200, { 'content-length': '100' });
        response.write('half');
        setTimeout(() => response.destroy(), 20);
      }
    }
  }
}
