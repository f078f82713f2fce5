/** 'Elbr' in ASCII: marks the file as ours. */
export const applicationId = 0x456c_6272;
export const layoutVersion = 2;

/** What a probe measures, where it is no temperature. New with layout 2. */
export const quantityTable = `
CREATE TABLE quantity(probe INTEGER PRIMARY KEY, quantity TEXT NOT NULL);
`;

/**
 * Times are whole wall milliseconds UTC; an hour is whole hours since 1970. A series is what one probe gives at
 * one rate: once a second always, at full rate around an alert. `recent` is keyed by time first, so that a
 * commit dirties its last page only; the sealed hours are in `block`, and long charts read its index alone.
 */
export const layout = `
CREATE TABLE node(id TEXT PRIMARY KEY, boat TEXT NOT NULL, invented INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE progress(
  node TEXT NOT NULL, boot TEXT NOT NULL, seq INTEGER NOT NULL, PRIMARY KEY(node, boot)
) WITHOUT ROWID;

CREATE TABLE probe(
  id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, node TEXT, probe TEXT NOT NULL, card TEXT,
  UNIQUE(node, probe)
);
CREATE TABLE series(id INTEGER PRIMARY KEY, probe INTEGER NOT NULL, rate TEXT NOT NULL, UNIQUE(probe, rate));
CREATE TABLE certificate(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);

CREATE TABLE recent(
  time INTEGER NOT NULL, series INTEGER NOT NULL, milliCelsius INTEGER, raw REAL, coldJunction REAL,
  uncertaintyMilliCelsius INTEGER, certificate INTEGER, quality INTEGER NOT NULL,
  PRIMARY KEY(time, series)
) WITHOUT ROWID;
CREATE TABLE block(
  id INTEGER PRIMARY KEY, series INTEGER NOT NULL, hour INTEGER NOT NULL,
  n INTEGER NOT NULL, missing INTEGER NOT NULL, min INTEGER NOT NULL, max INTEGER NOT NULL, sum INTEGER NOT NULL,
  trace BLOB NOT NULL, rest BLOB NOT NULL
);
CREATE UNIQUE INDEX blockSums ON block(series, hour, n, missing, min, max, sum);

CREATE TABLE gap(
  id INTEGER PRIMARY KEY, node TEXT NOT NULL, boot TEXT NOT NULL, fromSeq INTEGER, toSeq INTEGER,
  fromAt INTEGER, toAt INTEGER, reason TEXT NOT NULL
);
CREATE TABLE clockStep(
  id INTEGER PRIMARY KEY, node TEXT NOT NULL, boot TEXT NOT NULL, beforeAt INTEGER NOT NULL,
  afterAt INTEGER NOT NULL, stepMs INTEGER NOT NULL
);
CREATE TABLE alert(
  id INTEGER PRIMARY KEY, node TEXT NOT NULL, alertId TEXT NOT NULL, raisedAt INTEGER NOT NULL, endedAt INTEGER
);
CREATE INDEX alertTime ON alert(raisedAt);
CREATE INDEX alertStanding ON alert(node) WHERE endedAt IS NULL;
CREATE TABLE alertChange(
  alert INTEGER NOT NULL, at INTEGER NOT NULL, row TEXT NOT NULL, PRIMARY KEY(alert, at)
) WITHOUT ROWID;

CREATE TABLE run(
  engine TEXT NOT NULL, node TEXT NOT NULL, startAt INTEGER NOT NULL, endAt INTEGER NOT NULL,
  PRIMARY KEY(engine, startAt, node)
) WITHOUT ROWID;
CREATE TABLE serviceEntry(id INTEGER PRIMARY KEY, at INTEGER NOT NULL, entry TEXT NOT NULL);
CREATE INDEX serviceTime ON serviceEntry(at);

CREATE TABLE sent(
  destination TEXT NOT NULL, series INTEGER NOT NULL, throughAt INTEGER NOT NULL,
  PRIMARY KEY(destination, series)
) WITHOUT ROWID;
CREATE TABLE owed(
  destination TEXT NOT NULL, series INTEGER NOT NULL, hour INTEGER NOT NULL, marks INTEGER NOT NULL DEFAULT 1,
  PRIMARY KEY(destination, series, hour)
) WITHOUT ROWID;
CREATE TABLE destination(id TEXT PRIMARY KEY, counters TEXT NOT NULL DEFAULT '{}') WITHOUT ROWID;
CREATE TABLE refusedLine(
  id INTEGER PRIMARY KEY, destination TEXT NOT NULL, at INTEGER NOT NULL, line TEXT NOT NULL, why TEXT NOT NULL
);
${quantityTable}`;

/** Made on opening where it is missing: stores of the first layout have two engines and no list of them. */
export const engineLayout =
  'CREATE TABLE IF NOT EXISTS engineList(node TEXT PRIMARY KEY, cards TEXT NOT NULL) WITHOUT ROWID';
