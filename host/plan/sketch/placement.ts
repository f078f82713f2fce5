import { circle, colouredWire, dashed, lines, note, type Point, shape, sketch, text } from './svg.js';

const numbered = ([x, y]: Point, number: number): string =>
  circle([x, y], 11, '#ffe9a8') +
  text([x, y + 4], String(number), { anchor: 'middle', bold: true, size: 12 });

/** Where each probe sits on one engine's exhaust, seen from the side. Not to scale. */
export const placementSketch = (): string =>
  sketch(
    {
      width: 820,
      height: 470,
      title: 'Where the probes sit (one engine, from the side, not to scale)',
      description:
        'Gas leaves the engine through the turbocharger, rises through a dry riser, and turns down in the mixing elbow, where raw water is injected. ' +
        'Probe 1, a thermocouple, is in the dry gas after the turbocharger and before the water. Probe 2, the ring, is clamped on the outside of the bend just after the injection. ' +
        'Probe 3 is a second possible place for it, on the upper side of the hose just after the elbow. Probe 4 sits on the raw-water pipe between strainer and pump. Probe 5 hangs in the air of the engine room.',
    },
    [
      shape('M40 220 h180 v150 h-180 Z', '#e8ecef'),
      text([130, 300], 'engine', { anchor: 'middle', bold: true }),
      circle([250, 250], 34, '#e8ecef'),
      text([250, 254], 'turbo', { anchor: 'middle', size: 12 }),
      // Riser and mixing elbow: outer and inner wall.
      shape(
        'M232 221 V150 C232 70 330 60 392 92 L500 200 L468 232 L372 136 C330 104 282 120 282 158 V226 Z',
        '#f6e3da',
      ),
      // Water injection.
      colouredWire('#1f6fb2', [420, 40], [420, 118]),
      shape('M412 104 L420 122 L428 104 Z', '#1f6fb2', '#1f6fb2'),
      text([432, 50], 'raw water in', { size: 12 }),
      // Hose.
      shape('M468 232 L500 200 L700 330 L674 372 Z', '#d8dde1'),
      text([548, 330], 'exhaust hose', { anchor: 'middle', size: 12 }),
      colouredWire('#c0392b', [420, 121], [494, 195], [692, 324]),
      note([600, 190], ['hot spine: the side the', 'falling water wets last']),
      // Raw-water line.
      colouredWire('#1f6fb2', [60, 430], [330, 430], [330, 400]),
      note([70, 452], ['from the seacock through the strainer to the pump']),
      numbered([220, 185], 1),
      dashed([130, 132], [208, 178]),
      lines([30, 92], ['1 dry exhaust gas:', 'thermocouple, after the turbo,', 'well before the water'], {
        size: 12,
      }),
      numbered([450, 140], 2),
      dashed([462, 134], [530, 96]),
      lines(
        [535, 72],
        [
          '2 wet elbow: ring on the metal of the',
          'outer bend, just after the injection;',
          'a second probe sits close beside it',
        ],
        { size: 12 },
      ),
      numbered([560, 242], 3),
      dashed([571, 246], [640, 262]),
      lines([645, 256], ['3 instead of 2 where', 'the elbow is jacketed:', 'top of the hose, first 10 cm'], {
        size: 12,
      }),
      numbered([200, 430], 4),
      lines([216, 396], ['4 sea water, at the', 'strainer outlet'], { size: 12 }),
      numbered([400, 430], 5),
      lines([418, 428], ['5 engine-room air, free, out of', 'the draught of fans'], { size: 12 }),
    ],
  );
