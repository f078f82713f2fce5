/** What thermometry offers to the other rooms: pure functions, degrees Celsius, units in every name. */

export {
  type Bath,
  boilingBath,
  type CalibrationPoint,
  iceBath,
  type Pressure,
  referenceBath,
  seaLevelDoubtHectopascals,
  stationPressureOf,
} from './bath/point.js';
export { type ReferenceThermometer, referenceStandardUncertaintyC } from './bath/reference-thermometer.js';
export { hectopascalsTyped, pressureTyped } from './bath/typed-pressure.js';
export { type Certificate, certificateName } from './certificate/certificate.js';
export {
  certifiedReading,
  certifiedTemperatureC,
  expandedUncertaintyAt,
} from './certificate/certified-reading.js';
export { guardBandC, guardedLimitC, usualLateChance } from './certificate/guard-band.js';
export { issueCertificate } from './certificate/issue.js';
export { parseCertificate } from './certificate/parse.js';
export { certificatePicture } from './certificate/picture.js';
export { rederivationUnder, uncertaintiesUnder } from './certificate/rederive.js';
export { certificateText } from './certificate/text.js';
export { type Verification, verifyPoint } from './certificate/verify.js';
export { type ErrorCategory, RoomError, ThermometryError } from './errors.js';
export { fitBeta3 } from './fit/beta3.js';
export type { NamedFit } from './fit/named-fit.js';
export { fitPolynomial } from './fit/polynomial.js';
export { fitSteinhartHart } from './fit/steinhart-hart.js';
export { studentFactor95 } from './fit/student-t.js';
export { fitTwoPoints } from './fit/two-points.js';
export { standardPressureHectopascals, stationPressureHectopascals } from './fixed-points/atmosphere.js';
export { boilingC, boilingSlopeCPerHectopascal } from './fixed-points/steam.js';
export { calibrate } from './model/calibrate.js';
export {
  ad8495Chain,
  ads1115Divider,
  ads1115ThermocoupleChain,
  boardDivider,
  type InputChain,
  mcp960xChain,
} from './model/input-chain.js';
export {
  type PlatinumClass,
  platinumOhms,
  platinumOhmsPerC,
  platinumTemperatureC,
  platinumToleranceC,
} from './platinum/law.js';
export type { HosePoint } from './pressure/calibrate-pressure.js';
export {
  certifiedPressure,
  issuePressureCertificate,
  type PressureCertificate,
  parsePressureCertificate,
} from './pressure/pressure-certificate.js';
export { hoseKpa } from './pressure/water-column.js';
export { nominalReading, type Sensor, sensorName, unitOf } from './reading/sensor.js';
export { type BathFinding, compareBaths } from './session/compare-baths.js';
export {
  type CalibratedInput,
  type ProbeProgress,
  progressOf,
  type Session,
  type SessionEvent,
  startSession,
  stepSession,
} from './session/session.js';
export { type SettlingRules, usualRules } from './session/settling.js';
export { degreesPerCount, dividerCounts, dividerOhms, selfHeatingC } from './thermistor/divider.js';
export { betaLaw, steinhartHart4Law, steinhartHartLaw, type ThermistorLaw } from './thermistor/law-schema.js';
export {
  thermistorOhms,
  thermistorSlopeCPerOhm,
  thermistorTemperatureC,
} from './thermistor/laws.js';
export { shapeOf } from './thermistor/shape.js';
export { hotJunctionC, measuredEmfMicrovolts } from './thermocouple/cold-junction.js';
export { ThermocoupleCurve, thermocoupleCurve } from './thermocouple/curve.js';
export { ad8495TemperatureC, ad8495Volts, max31855TemperatureC } from './thermocouple/linear-amplifiers.js';
export { type ThermocoupleType, thermocoupleTypes } from './thermocouple/reference-functions.js';
export { type ToleranceClass, toleranceClass, toleranceLimitC } from './thermocouple/tolerance.js';
