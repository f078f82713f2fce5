/** A host.yaml to start from, shown by `elbowroom outputs --help`. */
export const exampleHostSettings = `settings: 1
degrees: fahrenheit
calibrateEveryDays: 365
nmea:
  names: { port-elbow: Elbow P, starboard-elbow: Elbow S }
  udp: [{ to: 192.168.4.255:10110, broadcast: true }]
  tcp: { listen: 0.0.0.0:10110 }
messages:
  least: warning
  mostPerHour: 12
  signOfLife: "08:00"
  webhooks: [{ url: https://example.org/boat, secretFile: webhook.secret }]
  mail:
    server: mail.example.org
    user: boat@example.org
    passwordFile: mail.password
    from: boat@example.org
    to: [owner@example.org]
`;
