import type { Message } from '../../../host/outputs/messages/message.js';
import { messageId } from '../../../host/outputs/messages/start-messages.js';

/** A message of an invented boat, now. */
export const message = (over: Partial<Message> = {}): Message => ({
  id: messageId(Date.now()),
  kind: 'trial',
  at: Date.now(),
  boat: 'Marsh Harrier',
  invented: true,
  subject: 'trial',
  text: 'Elbow room: 12 °C',
  changes: [],
  active: [],
  readings: [],
  ...over,
});
