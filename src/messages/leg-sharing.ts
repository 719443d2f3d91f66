/** Why the loads of one leg are not known, in plain words. */
export const sharingReasons = {
  needsFeet: (landmarks: readonly string[]) => `needs ${landmarks.join(', ')}`,
  noTotal: () => 'needs head, trunk, arms and legs',
  switchedOff: () => 'switched off: leg_sharing: none',
  pointsMissing: () => 'points of feet or body are missing here',
  unloaded: () => 'hardly any force on the floor',
  feetUnfit: () => 'the feet stand too near each other, or one behind the other: nothing tells which one carries',
  outside: () => 'the centre of pressure lies where two feet that can only push cannot put it',
  slips: () => 'more sideways force than friction holds',
};

/** What a reader of per-leg numbers must know. */
export const sharingNotes = {
  assumed: (choice: string) =>
    `Loads of each leg: the total force of the floor is shared between the feet by assumption (leg_sharing: ${choice}), not measured.`,
  hipsDrawnIn: (apartM: number) =>
    `Loads of each leg: the hip points lie over the trochanters; moments of one leg are taken about centres ${apartM.toFixed(2)} m apart on their line.`,
  notEverywhere: (reason: string) => `Loads of each leg are unknown in some frames: ${reason}.`,
};
