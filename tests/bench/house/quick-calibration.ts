/** Options of a calibration on the bench, whose barometer is at 1013.25 hPa; a shorter hold than an owner should use. */
export const quickCalibration = [
  ...['--pressure-hpa', '1013.25', '--altitude-m', '0'],
  ...['--hold-s', '10', '--trend-c-per-min', '2'],
];
