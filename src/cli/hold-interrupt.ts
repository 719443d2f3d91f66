/** Exit code of a program that Ctrl-C ended: 128 + SIGINT. */
const INTERRUPTED = 130;

/**
 * Keeps Ctrl-C from ending the program in the middle of what follows. The function returned lets go: an interrupt that came
 * meanwhile then ends the program once the event loop has turned.
 */
export function holdInterrupt(): () => void {
  const end = () => process.exit(INTERRUPTED);
  process.on('SIGINT', end);
  return () => void fullTurn().then(() => process.off('SIGINT', end));
}

/**
 * Lets the event loop turn once, whole, so that an interrupt is heard between two long steps. Signals are heard when the
 * loop polls; from within that phase the first `setImmediate` comes before the next poll, the second after it.
 */
export function fullTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(() => setImmediate(resolve)));
}
