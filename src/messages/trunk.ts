/** How the mass of the trunk is placed: what a reader of the report must know of it. */
export const trunkThatBends = (share: number, measured: boolean) =>
  `The trunk's mass follows a spine that flexes as the lifter leans (${(100 * share).toFixed(0)} % of the flexion published for bending ` +
  `forward, ${measured ? 'read from the points of the back in part' : 'not measured on this lifter'}) and shoulders that rise with the arms. ` +
  'The interval holds how far other backs bend.';

export const straightTrunk = () =>
  'The trunk is one straight rigid body from mid-hip to mid-shoulder: a rounded back or shoulders drawn forward put its mass too far forward when leaning.';
