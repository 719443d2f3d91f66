import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { MEASURE_GROUPS } from '../../src/lift/measures/index.ts';
import type { Measure } from '../../src/lift/measures/measure.ts';

/** Writes docs/method/measures.md from the registry. Run: npx tsx tests/generators/write-measures-doc.ts */

export const MEASURES_DOC = fileURLToPath(new URL('../../docs/method/measures.md', import.meta.url));

const INTRODUCTION = `# Measures

Made from the registry in \`src/lift/measures/\` by \`npx tsx tests/generators/write-measures-doc.ts\`; a test fails where the two differ.

Each value in \`measures.csv\` says where in the repetition it was read (\`at\`), which frames show it, and, where it is unknown, why (for instance \`needs left_heel\`). This version computes no intervals: \`lower\` and \`upper\` are empty.

| at | meaning |
|---|---|
| start | the standing height before the descent; the bottom where the ascent comes first |
| parallel descent, parallel ascent | thigh elevation passes 0°, linear between frames |
| parallel | mean of the two (geometric for a ratio); unknown where one of them is |
| bottom | lowest point of the repetition |
| sticking point | least upward velocity after its first peak in the ascent, followed by a second peak |
| largest | largest value within the repetition |
| descent, ascent | the whole phase |
| set | the whole recording; repetition 0 |

Moments, shares and centres of mass need head, trunk and arms, or force plates, besides the points named here.
`;

export function measuresDocument(): string {
  const groups = MEASURE_GROUPS.map(({ title, measures }) => `## ${title}\n\n${measures.map(entry).join('\n')}`);
  return `${INTRODUCTION}\n${groups.join('\n')}`;
}

function entry(measure: Measure): string {
  const { name, unit, title, definition, knownAs, needs, source, scope } = measure;
  const lines = [
    `### ${name}`,
    '',
    `**${title}** (${unit === '1' ? 'dimensionless' : unit.replaceAll('_per_', '/').replace('nm', 'N·m')}, one ${scope === 'set' ? 'set' : 'repetition'}). ${definition}`,
    '',
    ...(knownAs.length > 0 ? [`- Known as: ${knownAs.map((word) => `“${word}”`).join(', ')}`] : []),
    ...(needs.length > 0 ? [`- Needs: ${needs.map((landmark) => `\`${landmark}\``).join(', ')}`] : []),
    `- Source: ${source}`,
    '',
  ];
  return lines.join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(MEASURES_DOC, measuresDocument());
