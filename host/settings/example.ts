/** A host.yaml to start from, shown by `elbowroom outputs --help`. */
export const exampleHostSettings = `settings: 1
degrees: fahrenheit
calibrateEveryDays: 365
nmea:
  names: { port-elbow: Elbow P, starboard-elbow: Elbow S }
  udp: [{ to: 192.168.4.255:10110, broadcast: true }]
  tcp: { listen: 0.0.0.0:10110 }
mqtt: { url: mqtt://127.0.0.1:1883, topic: elbowroom }
metrics: false
backup: { to: /media/stick, keep: 5 }
messages:
  least: warning
  mostPerHour: 12
  signOfLife: "08:00"
  quietHours: { from: "22:00", to: "07:00" }
  webhooks: [{ url: https://example.org/boat, secretFile: webhook.secret }]
  plainPosts: [{ url: https://push.example.org/boat, headers: { Title: "{subject}", Priority: "{priority}" } }]
  mail:
    server: mail.example.org
    user: boat@example.org
    passwordFile: mail.password
    from: boat@example.org
    to: [owner@example.org]
`;
