/**
 * Edits that turn `a` into `b`: insert, delete, replace, or swap two neighbours (optimal string alignment distance;
 * Damerau 1964, Levenshtein 1966). Case is ignored.
 */
export function editDistance(a: string, b: string): number {
  const s = a.toLowerCase();
  const t = b.toLowerCase();
  let beforePrevious: number[] = [];
  let previous = Array.from({ length: t.length + 1 }, (_, j) => j);
  for (let i = 1; i <= s.length; i++) {
    const row = [i];
    for (let j = 1; j <= t.length; j++) {
      const replace = previous[j - 1] + (s[i - 1] === t[j - 1] ? 0 : 1);
      row[j] = Math.min(previous[j] + 1, row[j - 1] + 1, replace);
      if (i > 1 && j > 1 && s[i - 1] === t[j - 2] && s[i - 2] === t[j - 1]) {
        row[j] = Math.min(row[j], beforePrevious[j - 2] + 1);
      }
    }
    beforePrevious = previous;
    previous = row;
  }
  return previous[t.length];
}

/**
 * The known name a mistyped one most likely meant, or null where none is near. Near = at most a third of the longer
 * name's letters differ (common practice, no source), or the same words in another order or with a word left out.
 */
export function nearestName(name: string, known: readonly string[]): string | null {
  let best: string | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const distance = editDistance(name, candidate);
    if (distance < bestDistance && distance <= Math.max(1, Math.floor(Math.max(name.length, candidate.length) / 3))) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best ?? known.find((candidate) => shareWords(name, candidate)) ?? null;
}

function shareWords(a: string, b: string): boolean {
  const first = words(a);
  const second = words(b);
  const [few, many] = first.length <= second.length ? [first, second] : [second, first];
  return few.length > 0 && few.every((word) => many.includes(word));
}

const words = (name: string): string[] => {
  return name
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word.length > 0);
};
