import { box, circle, dashed, lines, note, type Point, shape, sketch, text, wire } from './svg.js';

const called = (from: Point, to: Point, rows: readonly string[], anchor: 'start' | 'middle' = 'middle') =>
  dashed(from, to) +
  lines([to[0], to[1] + (to[1] > from[1] ? 16 : -6 - 16 * (rows.length - 1))], rows, { anchor, size: 12 });

/** A thermistor potted on a ring terminal, cut open, with both joints of its legs. Not to scale. */
export const ringProbeSketch = (): string => {
  const [upper, lower] = [188, 216];
  return sketch(
    {
      width: 820,
      height: 378,
      title: 'A ring probe, cut open (not to scale)',
      description:
        'The bead of the thermistor is on the flat of a ring terminal with a scrap of sleeve between bead and metal. Each leg runs in a sleeve of its own to its joint with the cable; one joint lies 15 mm behind the other, each under its own heat-shrink. ' +
        'Epoxy covers bead, legs and joints; adhesive heat-shrink closes the end over the jacket of the cable.',
    },
    [
      // Ring and tongue.
      box([30, 236], 430, 14, '#d8dde1', 3),
      box([62, 234], 46, 18, '#ffffff'),
      text([85, 282], 'hole for the bolt', { anchor: 'middle', size: 12 }),
      // Epoxy over everything up to the jacket.
      shape('M150 236 C150 150 190 158 240 158 H590 C612 158 612 246 590 246 H462 V236 Z', '#ffe9a8'),
      // Insulation between bead and metal.
      box([158, 226], 62, 8, '#e3f0e5', 3),
      circle([186, 208], 14, '#1b2733'),
      wire([198, 202], [230, upper], [430, upper]),
      wire([198, 214], [230, lower], [500, lower]),
      // A sleeve on each leg.
      box([228, upper - 7], 130, 14, '#e3f0e5', 6),
      box([228, lower - 7], 200, 14, '#e3f0e5', 6),
      // Joints, one behind the other, each under its own heat-shrink.
      box([358, upper - 9], 70, 18, '#c9d3dc', 8),
      box([428, lower - 9], 70, 18, '#c9d3dc', 8),
      wire([428, upper], [600, upper]),
      wire([498, lower], [600, lower]),
      // Cable and the shrink that closes the end.
      box([600, 172], 190, 60, '#c9d3dc', 6),
      box([570, 162], 90, 80, '#8f9ba6', 10),
      called([186, 196], [186, 128], ['bead, a scrap of sleeve', 'between it and the metal']),
      called([300, upper - 7], [330, 104], ['a sleeve', 'on each leg']),
      called([392, upper - 9], [440, 128], ['joint']),
      called([464, lower + 9], [480, 276], ['joint, 15 mm behind the other']),
      called([540, 164], [560, 104], ['epoxy, insulating,', '150 °C or more']),
      called([616, 242], [640, 300], ['adhesive heat-shrink', 'over the end']),
      called([730, 172], [735, 128], ['cable: PTFE', 'near the elbow']),
      note(
        [20, 364],
        ['No metal of the legs may touch the ring or water: prove it with an ohmmeter before you calibrate.'],
      ),
    ],
  );
};
