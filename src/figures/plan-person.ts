/** A line of the plan in page coordinates, metres. */
export interface PlanPart {
  readonly kind: 'person' | 'bar' | 'sight' | 'axis' | 'box';
  readonly line: readonly (readonly [number, number])[];
}

/*
 * A standing person with a bar, only to give the eye a scale: parts of the height from drawn proportions (head an
 * eighth, hip at half, shoulder at 0.82; common practice of figure drawing, no source). Not a model of anyone.
 */

/** Seen from above, facing up the page: shoulders, head and the bar across them, about (0, 0). */
export function personFromAbove(heightM: number, barM: number): PlanPart[] {
  const shoulder = 0.13 * heightM;
  return [
    { kind: 'person', line: ellipse(0, 0, shoulder, 0.07 * heightM) },
    { kind: 'person', line: ellipse(0, 0.02 * heightM, 0.045 * heightM, 0.055 * heightM) },
    {
      kind: 'bar',
      line: [
        [-barM / 2, 0],
        [barM / 2, 0],
      ],
    },
  ];
}

/** Seen from the right, facing to the right of the page, feet at (0, 0); the bar is its disc. */
export function personFromSide(heightM: number, _barM: number): PlanPart[] {
  const h = heightM;
  return [
    { kind: 'person', line: ellipse(0.01 * h, 0.93 * h, 0.055 * h, 0.07 * h) },
    {
      kind: 'person',
      line: [
        [0, 0.85 * h],
        [0, 0.5 * h],
        [0.01 * h, 0.26 * h],
        [-0.01 * h, 0.03 * h],
        [0.1 * h, 0.01 * h],
      ],
    },
    // A disc of 0.45 m: International Weightlifting Federation, Technical and Competition Rules and Regulations.
    { kind: 'bar', line: ellipse(0.02 * h, 0.82 * h, 0.225, 0.225) },
  ];
}

function ellipse(x: number, y: number, halfWidth: number, halfHeight: number): (readonly [number, number])[] {
  return Array.from({ length: 25 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 24;
    return [x + halfWidth * Math.cos(angle), y + halfHeight * Math.sin(angle)] as const;
  });
}
