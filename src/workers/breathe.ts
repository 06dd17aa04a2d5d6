/** A message to oneself comes after those that wait, and sooner than a timer. */
const channel = new MessageChannel();
let resume: (() => void) | undefined;
channel.port1.onmessage = () => resume?.();

/** Resolves once messages that wait have been handled. */
export function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const earlier = resume;
    resume = () => {
      earlier?.();
      resume = undefined;
      resolve();
    };
    channel.port2.postMessage(null);
  });
}
