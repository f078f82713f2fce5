/** The settings of the forwarder cannot be used; the message says where and what to do. */
export class ForwardError extends Error {
  readonly errorCategory = 'asked-wrongly';
}
