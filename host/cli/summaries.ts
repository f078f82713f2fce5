/**
 * What `elbowroom --help` lists, apart from the commands themselves: a list should not wait for all of them to be loaded.
 * A command without a description is not listed.
 */
export const summaries = {
  bench: {
    command: 'bench',
    describe: 'Run everything against an emulated board with an invented boat behind it',
  },
  plan: {
    command: 'plan',
    describe: 'Compute a kit before a part is bought: resistors, errors, pins, parts, wiring, kit.yaml',
  },
  flash: {
    command: 'flash [port]',
    describe: 'Put the stock StandardFirmata on an Arduino Uno, Nano or Mega, and check every byte of it',
  },
  wiring: {
    command: 'wiring',
    describe: 'See every link from pin to degree, live, and every wiring fault with what to check',
  },
  watch: {
    command: 'watch',
    describe:
      'Guard the engines and show the page: node and host as two processes, each restarted if it ends or hangs',
  },
  status: {
    command: 'status',
    describe: 'One screen: whether the guard works, what is wrong, and what to do next',
  },
  node: {
    command: 'node',
    describe:
      'Guard the engines: read the board, judge, sound the buzzer, and send readings to any host that connects',
  },
  host: {
    command: 'host',
    describe: 'Listen to one node or several: store every reading, show the page, forward',
  },
  'bench-board': { command: 'bench-board', describe: false },
  convert: {
    command: 'convert',
    describe: 'Convert one value, or a stream of lines on stdin, between electrical quantities and degrees',
  },
  calibrate: {
    command: 'calibrate',
    describe: 'Calibrate probes in ice and boiling water, step by step, to a certificate each',
  },
  'calibrate-pressure': {
    command: 'calibrate-pressure',
    describe: 'Calibrate a pressure probe with a hose of fresh water and a metre rule, to a certificate',
  },
  verify: {
    command: 'verify',
    describe: 'Repeat one point: is the probe still within its certificate, how far did it drift?',
  },
  rederive: {
    command: 'rederive',
    describe: 'Recompute stored readings of a time span under another certificate; the old values stay',
  },
  fit: {
    command: 'fit',
    describe: 'Fit a model to a CSV of points: parameters, uncertainties, residuals, predictions',
  },
  commission: {
    command: 'commission',
    describe: 'Learn what is normal from recorded running, and say what is still to be done before it counts',
  },
  replay: {
    command: 'replay',
    describe: 'Run the guard over recorded history: every alert that would have been raised, and why',
  },
  export: {
    command: 'export',
    describe: 'Write what is stored as text, or copy the whole store, also while the host runs',
  },
  import: {
    command: 'import <file>',
    describe: 'Bring exported readings back: CSV, JSON lines or line protocol, also while the host runs',
  },
  forward: {
    command: 'forward',
    describe: 'Send what is stored to a time-series server, and see how far it is',
  },
  degrees: {
    command: 'degrees [scale]',
    describe:
      'Choose Celsius or Fahrenheit, once for terminal, reports, messages and page; or say what is chosen',
  },
  access: {
    command: 'access',
    describe:
      'Set the pass-phrase of the page, or make, list and revoke tokens for programs; needed to listen wider than loopback',
  },
  log: { command: 'log [work]', describe: 'The service log: write down work done on an engine, or list it' },
  report: {
    command: 'report',
    describe:
      'One voyage or span as one file to mail to a mechanic: plots, alerts, hours, extremes, health, certificates',
  },
  backup: {
    command: 'backup <file>',
    describe:
      'Everything about the boat in one checked file: kit, certificates, baseline, settings, store, alerts',
  },
  restore: {
    command: 'restore <file>',
    describe: 'Put a backup back; checked whole first, and what it replaces is kept',
  },
  service: {
    command: 'service <task>',
    describe: 'Start the watch with the computer: install, look at or remove its systemd unit',
  },
  outputs: {
    command: 'outputs',
    describe: 'Check host.yaml (NMEA 0183, MQTT, messages); with --test send every recipient a test message',
  },
} as const;
