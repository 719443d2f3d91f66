import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { measurePictureFile } from '../../src/figures/measure-pictures/index.ts';
import { MEASURE_GROUPS, MEASURES } from '../../src/lift/measures/index.ts';
import type { Measure } from '../../src/lift/measures/measure.ts';

/** Writes docs/method/measures.md and docs/images/measures/ from the registry. Run: npx tsx tests/generators/write-measures-doc.ts */

export const MEASURES_DOC = fileURLToPath(new URL('../../docs/method/measures.md', import.meta.url));
export const MEASURE_IMAGES = fileURLToPath(new URL('../../docs/images/measures/', import.meta.url));

const INTRODUCTION = `# Measures

Made from the registry in \`src/lift/measures/\` and the pictures in \`src/figures/measure-pictures/\` by \`npx tsx tests/generators/write-measures-doc.ts\`; tests fail where they differ.

Each value in \`measures.csv\` says where in the repetition it was read (\`at\`), which frames show it, and, where it is unknown, why (for instance \`needs left_heel\`).

\`lower\` and \`upper\` are the ends of its 95 % interval: noise, cameras, clocks, points against joints, tables, body mass and load, drawn together through the whole analysis ([uncertainty.md](uncertainty.md)). They are empty where the value is unknown, where intervals were switched off, and where more than 5 % of the draws leave the number unknown; then \`causes.csv\` says why. A cause that the recording does not state is not in the interval; \`quality.json\` names it.

| at | meaning |
|---|---|
| start | the standing height before the descent; the bottom where the ascent comes first |
| parallel descent, parallel ascent | thigh elevation passes 0°, linear between frames |
| parallel | mean of the two (geometric for a ratio); unknown where one of them is |
| bottom | lowest point of the repetition |
| sticking point | least upward velocity after its first peak in the ascent, followed by a second peak |
| drive | after the first third of the way up: two thirds of the drop still to rise, linear between frames |
| end | last frame of the ascent |
| largest, smallest | largest and smallest value within the repetition, or what is held for a quarter of a second where the measure says so |
| descent, ascent | the whole phase |
| set | the whole recording; repetition 0 |

Moments, shares and centres of mass need head, trunk and arms, or force plates, besides the points named here.

In the pictures the accent marks what is measured, a dashed line what it is measured against; \`0\` stands at nought, \`+\` where the value grows. Side views look at the lifter’s right side. From the front the lifter’s right is on the left of the picture, from above on the right; the left leg is dashed.
`;

export function measuresDocument(): string {
  const groups = MEASURE_GROUPS.map(({ title, measures }) => `## ${title}\n\n${measures.map(entry).join('\n')}`);
  return `${INTRODUCTION}\n${contents()}\n${groups.join('\n')}`;
}

/** One line a group: its heading, then its measures. */
function contents(): string {
  const lines = MEASURE_GROUPS.map(({ title, measures }) => {
    const links = measures.map(({ name }) => `[${name}](#${name})`).join(', ');
    return `- [${title}](#${title
      .toLowerCase()
      .replaceAll(/[^a-z ]/g, '')
      .replaceAll(' ', '-')}): ${links}`;
  });
  return `## Contents\n\n${lines.join('\n')}\n`;
}

const UNIT_WORDS: Readonly<Record<string, string>> = {
  '1': 'dimensionless',
  deg: 'degrees',
  nm: 'N·m',
  nms: 'N·m·s',
  j: 'J',
  w: 'W',
  m_per_s: 'm/s',
};

function entry(measure: Measure): string {
  const { name, unit, title, definition, knownAs, needs, source, scope } = measure;
  const lines = [
    `### ${name}`,
    '',
    `![${title}](../images/measures/${name}.svg)`,
    '',
    `**${title}** (${UNIT_WORDS[unit] ?? unit}, one ${scope === 'set' ? 'set' : 'repetition'}). ${definition}`,
    '',
    ...(knownAs.length > 0 ? [`- Known as: ${knownAs.map((word) => `“${word}”`).join(', ')}`] : []),
    ...(needs.length > 0 ? [`- Needs: ${needs.map((landmark) => `\`${landmark}\``).join(', ')}`] : []),
    `- Source: ${source}`,
    '',
  ];
  return lines.join('\n');
}

/** Text of every picture by file name. */
export function measureImages(): Map<string, string> {
  const images = new Map<string, string>();
  for (const { name } of MEASURES) {
    const picture = measurePictureFile(name);
    if (picture === null) throw new Error(`${name}: no picture in src/figures/measure-pictures`);
    images.set(`${name}.svg`, picture);
  }
  return images;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const images = measureImages();
  mkdirSync(MEASURE_IMAGES, { recursive: true });
  // A measure that is gone takes its picture along.
  for (const file of readdirSync(MEASURE_IMAGES)) {
    if (file.endsWith('.svg') && !images.has(file)) rmSync(join(MEASURE_IMAGES, file));
  }
  for (const [file, text] of images) writeFileSync(join(MEASURE_IMAGES, file), text);
  writeFileSync(MEASURES_DOC, measuresDocument());
}
