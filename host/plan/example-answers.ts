/** A file of answers that names every question, with the possible answers, to be edited. */
export const exampleAnswers = `# Answers for: elbowroom plan --answers this-file.yaml --out .
# What you leave out keeps its usual answer, which is the one written here (but one engine). Numbers are in the unit of their name;
# with a unit of your own in words they are converted: 167 F, 13 ft, AWG 20.
plan: 1 # the layout of this file
boat: Example (invented)
engines: # one to four; the id is yours, kind is propulsion or generator
  - { id: port, name: Port, kind: propulsion }
  - { id: starboard, name: Starboard, kind: propulsion }
  # - { id: generator, name: Generator, kind: generator, ratedKw: 9 }
alike: [[port, starboard]] # engines to compare with each other; write [] where no two are the same, or with one engine
# ratedKw: 40 # of each propulsion engine, where you know it

board: uno # uno, nano (two more analogue pins) or mega (ten more)
supplyVolts: 5 # what the board gives its pins: 5, or 3.3
thermistor: # as on the sheet of the one you buy
  r25Ohms: 10000
  betaK: 3977 # 25 to 85 C; 3435 is the other usual one
  r25TolerancePercent: 1
  betaTolerancePercent: 0.75

# platinum: { r0Ohms: 1000, grade: B } # a Pt1000 (or 100) in place of each thermistor, read over an ADS1115

wetElbow: # the probe that counts most
  mounting: strap-on # a ring on the metal, opens nothing; or well, much quicker, where the elbow has a boss for it
  # second: well # a second probe on each elbow, so that one fault leaves the engine guarded
  limits: { warnAtC: 68, alarmAtC: 75 } # a start; yours after a sea trial, never above what the hose bears
exhaustGas: # a thermocouple in the dry exhaust
  amplifier: mcp9601 # mcp9601, ad8495 (put converter: ads1115 with it, see below) or none
  wireClass: iec-1 # tolerance of the thermocouple: iec-1, iec-2, astm-special or astm-standard
  warnAtC: 480
  beforeTurbo: false # a second one before the turbocharger: only fitted by someone who knows turbochargers
  beforeTurboWarnAtC: 620
seaWaterProbe: true
engineRoomProbe: true
rawWaterPressure: false # a pressure transducer behind each raw-water pump: it sees the water itself

converter: auto # who reads the probes: auto (the board where that is fine enough), board, or ads1115 for all
runningInputs: true # one opto-coupler for each engine, lit while it turns: without them the guard waits longer
runningSource: oil-pressure # or alternator-d-plus, alternator-w, ignition (the least: the key, not the engine)
cable: { metres: 4, squareMm: 0.5 } # from the board to the farthest probe
# buzzerMilliamps: 25 # reads the buzzer's current back, so that a dead buzzer is found: what it takes by its data sheet
sampleHz: 10 # passes a second, 1 to 10

# Only with a second board; each has its own plan:
# node: engine-room
# linkPort: 8472
`;
