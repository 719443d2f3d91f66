/** Exit codes of a program that a signal ended: 128 + its number. */
const CODES = { SIGINT: 130, SIGTERM: 143 } as const;

/**
 * On Ctrl-C, or when the system asks the program to end (a cluster does before it kills), `tidy` is called and the program ends.
 * The function returned lets go.
 */
export function onInterrupt(tidy: () => void): () => void {
  const enders = (Object.keys(CODES) as (keyof typeof CODES)[]).map((signal) => {
    const end = () => {
      try {
        tidy();
      } finally {
        process.exit(CODES[signal]);
      }
    };
    process.on(signal, end);
    return () => process.off(signal, end);
  });
  return () => {
    for (const off of enders) off();
  };
}
