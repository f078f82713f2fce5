import 'johnny-five';

/** What the published types of johnny-five 2.1 leave out. */
declare module 'johnny-five' {
  interface BoardOption {
    readonly sigint?: boolean;
  }
  interface Board {
    /** Its own handshake timer. */
    readonly timer: NodeJS.Timeout;
  }
}
