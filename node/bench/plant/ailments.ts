/** What can be wrong with an engine or its water. 1 and 0 are healthy as the names say. */
export type Ailments = ReturnType<typeof healthy>;

export const healthy = () => ({
  /** Parts of the normal flow that intake, strainer and impeller let through. */
  intake: 1,
  strainer: 1,
  impeller: 1,
  /** Part of the exchanger's conductance that scale leaves. */
  exchanger: 1,
  /** Torque the propeller asks for, against a clean hull. */
  load: 1,
  /** Exhaust gas hotter than it should be, kelvin: dripping injectors, a tired turbocharger. */
  injectorK: 0,
  /** The ring has fallen off the elbow and hangs in the room. */
  fallenProbe: false,
});
