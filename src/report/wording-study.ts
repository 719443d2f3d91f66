/* What the page of a study says beside its tables. */

export const acrossHeading = () => 'Each lifter across loads and conditions';
export const acrossNote = () =>
  'A dot: mean of the full repetitions; the line: its 95 % interval. Intervals of one lifter share causes of doubt, so two lifts may differ for sure although their lines overlap: the table of changes says which.';
export const lifterHeading = (lifter: string) => `Lifter ${lifter}`;
export const hipsAtParallel = () => 'Hips’ part at parallel';
export const largestLean = () => 'Largest lean of the trunk';
export const dotsDescription = (lifter: string, title: string) =>
  `${title} of lifter ${lifter}: a dot with its interval for each lift.`;
export const liftsCount = (count: number) => `${count} lift${count === 1 ? '' : 's'}`;
export const liftersCount = (count: number) => `${count} lifter${count === 1 ? '' : 's'}`;
