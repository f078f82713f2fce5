import { describe, expect, it } from 'vitest';
import { ForwardError } from '../../../host/forward/destination.js';
import { writeAddress } from '../../../host/forward/index.js';

describe('the address of a time-series server', () => {
  it.each([
    ['http://192.168.1.20:8428', { url: 'http://192.168.1.20:8428', org: 'elbowroom', bucket: 'elbowroom' }],
    ['https://h/', { url: 'https://h', org: 'elbowroom', bucket: 'elbowroom' }],
    [
      'http://h:8086/api/v2/write?org=boats&bucket=one%20season',
      { url: 'http://h:8086', org: 'boats', bucket: 'one season' },
    ],
    [
      'http://proxy/series/api/v2/write?bucket=b',
      { url: 'http://proxy/series', org: 'elbowroom', bucket: 'b' },
    ],
  ])('%s is read in parts', (to, parts) => expect(writeAddress(to)).toEqual(parts));

  it.each(['192.168.1.20:8428', 'localhost:8428', 'ftp://h', 'nonsense'])(
    '%s is refused with an address that has a scheme',
    (to) => {
      expect(() => writeAddress(to)).toThrow(ForwardError);
      expect(() => writeAddress(to)).toThrow(/such as http:\/\//);
    },
  );
});
