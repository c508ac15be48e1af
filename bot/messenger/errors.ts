/** Something between the bot and the messenger broke for good; the message tells the operator what to do. */
export class MessengerError extends Error {
  constructor(message: string, options?: { cause?: unknown }) {
    super(message, options);
    this.name = "MessengerError";
  }
}
