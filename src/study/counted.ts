/** Reasons with how often each is given. */
export function counted(reasons: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const reason of reasons) counts.set(reason, (counts.get(reason) ?? 0) + 1);
  return [...counts].map(([reason, count]) => `${reason}: ${count}`).join('; ');
}
